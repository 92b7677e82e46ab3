"""Steps of a document's plain data: which of them has to do with a piece, and where a new one goes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from grading.substitute.layers import Json

LISTS = ("uses", "makes", "lays", "finishes", "binds")
PREPARING = ("cut", "fuse", "quilt", "trim", "mark")
"""What is done to a piece, or to its parts, before anything is sewn to it."""


def use_of(entry: Any) -> str:
    """The use that an entry of a side names."""
    text = entry if isinstance(entry, str) else entry.get("edge") or entry.get("line") or ""
    return str(text).split(".")[0]


def uses_of(document: Json, piece: str) -> list[str]:
    """The names of a piece's uses."""
    uses = document["pieces"][piece].get("uses") or [piece]
    return [use if isinstance(use, str) else use["name"] for use in uses]


def about(document: Json, uses: Iterable[str]) -> frozenset[str]:
    """The names in steps that have to do with uses: theirs, and those of their seams, coverings and bindings."""
    wanted = {*uses}
    names = set(wanted)
    for name, seam in document.get("seams", {}).items():
        if wanted & {use_of(entry) for entry in (*seam["join"], *seam["to"])}:
            names.add(name)
    for name, covering in document.get("coverings", {}).items():
        if wanted & {covering["piece"], covering["over"]}:
            names.add(name)
    for name, finding in document.get("findings", {}).items():
        if wanted & {use_of(entry) for entry in finding.get("binding", {}).get("along", ())}:
            names.add(name)
    return frozenset(names)


def insert_step(document: Json, step: Json, names: frozenset[str]) -> None:
    """Put a step before the first that has to do with these names, preparing apart; nothing without steps."""
    steps = document.get("steps")
    if not steps:
        return
    places = [place for place, other in enumerate(steps) if not names.isdisjoint(_named(other))]
    sewn = [place for place in places if steps[place]["action"] not in PREPARING]
    place = sewn[0] if sewn else (places[-1] + 1 if places else 0)
    steps.insert(place, step)


def _named(step: Json) -> Iterator[str]:
    for key in LISTS:
        yield from (str(name).split(".")[0] for name in step.get(key, ()))
