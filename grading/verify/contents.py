"""Contents and rules: what must fit, and what else the designer states."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from grading.verify.expressions import Expressions
from grading.verify.forms import ZERO, Form
from grading.verify.reading import fields, items, joined, text
from grading.verify.relations import EQUAL, EXACT, NOT_BELOW, Relation
from grading.verify.sides import Use
from grading.verify.unreadable import refuse

WAYS = ("across", "along", "deep")
_COMPARISON = re.compile(r"(.*?)(>=|<=|==)(.*)", re.DOTALL)


def read_inside(value: object, expressions: Expressions) -> tuple[Form, ...] | None:
    """Return the room inside the bag: width, height and depth."""
    if value is None:
        return None
    listed = items(value, "inside", 3)
    return tuple(expressions.plain(item, joined("inside", index)) for index, item in enumerate(listed))


def content_relations(
    title: str,
    value: object,
    path: str,
    expressions: Expressions,
    uses: Mapping[str, Use],
    inside: tuple[Form, ...] | None,
) -> Iterator[Relation]:
    """Yield that an object fits, or that an opening is wide enough."""
    if isinstance(value, dict) and value.get("opening") is not None:
        given = fields(value, path, ("opening", "least"))
        opening = expressions.plain(given["opening"], joined(path, "opening"))
        least = expressions.plain(given["least"], joined(path, "least"))
        yield Relation(f"contents:{title}", opening, least, NOT_BELOW, EXACT, f"{title}: the opening is wide enough")
        return
    given = fields(value, path, ("in", "object"), ("ease", "stands_out"))
    width, height, depth = (
        expressions.plain(item, joined(path, f"object.{index}"))
        for index, item in enumerate(items(given["object"], joined(path, "object"), 3))
    )
    ease, stands_out = (
        expressions.plain(given[key], joined(path, key)) if key in given else ZERO for key in ("ease", "stands_out")
    )
    if given["in"] == "bag":
        if inside is None:
            refuse("is in a bag that does not say how much room is inside", joined(path, "in"))
        rooms, needs = list(inside), [width + ease, height - stands_out + ease, depth + ease]
    else:
        use = uses.get(given["in"]) if isinstance(given["in"], str) else None
        if use is None or use.piece is None:
            refuse("names neither a use of a piece nor the bag", joined(path, "in"))
        box = use.outline.box
        rooms, needs = [box.width, box.height + stands_out], [width + depth + ease, height]
    for way, room, need in zip(WAYS, rooms, needs, strict=False):
        yield Relation(f"contents:{title}:{way}", room, need, NOT_BELOW, EXACT, f"{title} fits {way}")


def rule_relation(title: str, value: object, path: str, expressions: Expressions) -> Relation:
    """Return a rule: both sides, the greater first."""
    given = fields(value, path, ("holds", "because"))
    because = text(given["because"], joined(path, "because"))
    found = _COMPARISON.fullmatch(text(given["holds"], joined(path, "holds")))
    if found is None:
        refuse("is no rule such as `length >= 600`", joined(path, "holds"))
    left, comparison, right = found.groups()
    first, second = (left, right) if comparison != "<=" else (right, left)
    difference = expressions.difference(first.strip(), second.strip(), joined(path, "holds"))
    sense = EQUAL if comparison == "==" else NOT_BELOW
    return Relation(f"rule:{title}", difference, ZERO, sense, EXACT, f"{title}: {given['holds']}, since {because}")
