"""What tests of substitution share: documents that are changed, graded in all their sizes, and judged from outside."""

from __future__ import annotations

import json
from typing import Any

from grading.pipeline import grade_document, grade_size, read_document
from grading.substitute import substitute
from grading.verify import judge
from grading.workroom import substitution
from tests.patterns import Json, changed, pouch

PLAIN: Json = {"says": "plain calico", "usable_width": "1400 mm"}
ADD_PLAIN: Json = {"add": "plain", "material": PLAIN}


def made(document: Json, *changes: Json) -> Json:
    """The document that changes give; the one given must stay as it is."""
    before = json.dumps(document)
    result = substitute(document, list(changes)).document
    assert json.dumps(document) == before
    return result


def kept(document: Json, *changes: Json) -> Json:
    """The same, with no size lost by it."""
    return substitution(document, list(changes)).made.document


def graded(document: Json, **asked: Any) -> Json:
    """A size as plain data; the base size if none is asked."""
    grade = grade_size(read_document(document), **(asked or {"size": "base"}))
    written: Json = json.loads(json.dumps(grade_document(grade)))
    return written


def unproven(document: Json, *requests: Json) -> list[str]:
    """What the independent verifier finds wrong with the named sizes of a document, and with more requests."""
    sizes = ("base", *document.get("sizes", {}))
    asked: list[Json] = [{"size": name} for name in sizes] + [{"request": request} for request in requests]
    return [
        f"{each}: {claim.about}: {claim.says}"
        for each in asked
        for claim in judge(document, graded(document, **each)).failing
    ]


def panel_pouch(**panel: Any) -> Json:
    """The pouch with more said of its panel."""
    document = pouch()
    for key, value in panel.items():
        document = changed(document, f"pieces.panel.{key}", value)
    return document
