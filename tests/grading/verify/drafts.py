"""Small drafts for tests: a document of a few parts, drawn for a request."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from grading.verify.document.pattern import Pattern, read_head, read_pattern
from grading.verify.printing.expected import Expected, expected_at

MATERIALS = {
    "main": {"says": "canvas", "usable_width": "1000 mm"},
    "foam": {"says": "foam"},
    "lining": {"says": "silk"},
}


def document(**parts: Any) -> dict[str, Any]:
    plain = {
        "format": 1,
        "name": "draft",
        "dimensions": {"w": {"base": 200}, "h": {"base": 100}},
        "materials": MATERIALS,
    }
    return plain | parts


def panel(outline: Any = None, **parts: Any) -> dict[str, Any]:
    return {"outline": outline or {"rectangle": ["w", "h"]}, "layers": [{"material": "main"}]} | parts


def drawn(request: dict[str, Any] | None = None, **parts: Any) -> Pattern:
    head = read_head(document(**parts), {})
    return read_pattern(head, head.request({"scale": 1} if request is None else request, "request"))


def expected(pattern: Pattern) -> Expected:
    """What is expected at the base size."""
    return expected_at(pattern, pattern.base)


def value(pattern: Pattern, form: Any) -> Fraction:
    return pattern.base.near(form)
