"""Contents, boxes and rules: what must fit, what the bag must fit into, and what else the designer states."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from grading.verify.expressions import Expressions
from grading.verify.forms import ZERO, Form
from grading.verify.reading import Fields, choice, fields, items, joined, text
from grading.verify.relations import EQUAL, EXACT, NOT_BELOW, Relation
from grading.verify.sides import Use
from grading.verify.unreadable import refuse

WAYS = ("across", "along", "deep")
_COMPARISON = re.compile(r"(.*?)(>=|<=|==)(.*)", re.DOTALL)


BAG = "bag"


def read_three(value: object, path: str, expressions: Expressions) -> tuple[Form, ...]:
    """Return width, height and depth, as written."""
    return tuple(expressions.plain(item, joined(path, index)) for index, item in enumerate(items(value, path, 3)))


@dataclass(frozen=True)
class Rooms:
    """What objects can be put into: the uses of pieces, and the bag if it says how much room is inside."""

    expressions: Expressions
    uses: Mapping[str, Use]
    inside: tuple[Form, ...] | None

    def content(self, title: str, value: object, path: str) -> Iterator[Relation]:
        """Yield that an object fits, or that an opening is wide enough."""
        if not isinstance(value, dict) or value.get("opening") is None:
            yield from self.object(f"contents:{title}", title, fields(value, path, ("in", *_OBJECT), _ROOM), path)
            return
        given = fields(value, path, ("opening", "least"))
        opening = self.expressions.plain(given["opening"], joined(path, "opening"))
        least = self.expressions.plain(given["least"], joined(path, "least"))
        yield Relation(f"contents:{title}", opening, least, NOT_BELOW, EXACT, f"{title}: the opening is wide enough")

    def held(self, index: int, value: object, path: str) -> Iterator[Relation]:
        """Yield that an object of a request fits, in the bag unless it says where."""
        given = {"in": BAG, **fields(value, path, _OBJECT, ("in", *_ROOM))}
        yield from self.object(f"hold:{index}", f"object {index + 1} of the request", given, path)

    def object(self, name: str, title: str, given: Fields, path: str) -> Iterator[Relation]:
        """Yield that an object fits across, along and, in the bag, deep."""
        width, height, depth = read_three(given["object"], joined(path, "object"), self.expressions)
        ease, stands_out = (
            self.expressions.plain(given[key], joined(path, key)) if key in given else ZERO for key in _ROOM
        )
        if given["in"] == BAG:
            if self.inside is None:
                refuse("is in a bag that does not say how much room is inside", joined(path, "in"))
            rooms, needs = list(self.inside), [width + ease, height - stands_out + ease, depth + ease]
        else:
            use = self.uses.get(given["in"]) if isinstance(given["in"], str) else None
            if use is None or use.piece is None:
                refuse("names neither a use of a piece nor the bag", joined(path, "in"))
            box = use.outline.box
            rooms, needs = [box.width, box.height + stands_out], [width + depth + ease, height]
        for way, room, need in zip(WAYS, rooms, needs, strict=False):
            yield Relation(f"{name}:{way}", room, need, NOT_BELOW, EXACT, f"{title} fits {way}")


@dataclass(frozen=True)
class Allowed:
    """A box that the bag must stay within, and which of its sides may lie which way."""

    box: tuple[Form, ...]
    added: Form
    any_way: bool
    outside: tuple[Form, ...]

    def relations(self, order: tuple[int, ...]) -> Iterator[Relation]:
        """Yield that the bag is no larger than the box, the box's sides taken in the given order."""
        for way, side, out in zip(WAYS, order, self.outside, strict=True):
            says = f"the bag stays within the box {way}"
            yield Relation(f"within:{way}", self.box[side] - self.added, out, NOT_BELOW, EXACT, says)


def read_allowed(value: object, path: str, expressions: Expressions, outside: object) -> Allowed | None:
    """Return the box of a request, if it has one."""
    if value is None:
        return None
    given = fields(value, path, ("box",), ("added", "turned"))
    if outside is None:
        refuse("is asked of a bag that does not say its size from outside", path)
    return Allowed(
        read_three(given["box"], joined(path, "box"), expressions),
        expressions.plain(given.get("added", 0), joined(path, "added")),
        choice(given.get("turned"), joined(path, "turned"), ("any", "as given"), "as given") == "any",
        read_three(outside, "outside", expressions),
    )


_OBJECT = ("object",)
_ROOM = ("ease", "stands_out")


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
