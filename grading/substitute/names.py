"""New names of parts, which no other part may have."""

from __future__ import annotations

from collections.abc import Iterator

from grading.document.values import MOST_NAME
from grading.substitute.apart import refuse
from grading.substitute.layers import Json
from grading.substitute.steps import uses_of

SHARED = ("uses", "pieces", "seams", "coverings", "findings")
"""Sections whose names may stand for a measure in a step, so that no two of them should share one."""


def check_new(document: Json, section: str, name: str, path: str) -> None:
    """Refuse a name that another part has already, or that is too long; a piece may be named as its use."""
    shared = [each for each in SHARED if {each, section} != {"uses", "pieces"}]
    for other in shared if section in SHARED else [section]:
        if name in (_uses(document) if other == "uses" else document.get(other, {})):
            raise refuse(path, f"the name {name!r} is taken among the {other}", "give the parts names of their own")
    if len(name) > MOST_NAME:
        raise refuse(path, f"the name {name!r} is longer than {MOST_NAME}", "give the parts shorter names")


def _uses(document: Json) -> Iterator[str]:
    for piece in document["pieces"]:
        yield from uses_of(document, piece)
