"""Contents, boxes and rules: what must fit, what the bag must fit into, and what else the designer states."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from grading.verify.document.requests import BAG, Held, Within
from grading.verify.document.sides import Use
from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import ZERO, Form, constant
from grading.verify.exact.relations import EQUAL, EXACT, NOT_BELOW, Relation
from grading.verify.reading import fields, items, joined, text
from grading.verify.unreadable import refuse

WAYS = ("across", "along", "deep")
_COMPARISON = re.compile(r"(.*?)(>=|<=|==)(.*)", re.DOTALL)


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
        plain = self.expressions.plain
        if isinstance(value, dict) and value.get("opening") is not None:
            given = fields(value, path, ("opening", "least"))
            opening = plain(given["opening"], joined(path, "opening"))
            least = plain(given["least"], joined(path, "least"))
            says = f"{title}: the opening is wide enough"
            yield Relation(f"contents:{title}", opening, least, NOT_BELOW, EXACT, says)
            return
        given = fields(value, path, ("in", "object"), ("ease", "stands_out"))
        sides = read_three(given["object"], joined(path, "object"), self.expressions)
        ease, stands_out = (
            plain(given[key], joined(path, key)) if key in given else ZERO for key in ("ease", "stands_out")
        )
        for way, room, need in self.fits(given["in"], sides, ease, stands_out, joined(path, "in")):
            yield Relation(f"contents:{title}:{way}", room, need, NOT_BELOW, EXACT, f"{title} fits {way}")

    def held(self, index: int, held: Held, path: str) -> Iterator[Relation]:
        """Yield that an object of a request fits."""
        sides = tuple(constant(side) for side in held.sides)
        fits = self.fits(held.place, sides, constant(held.ease), constant(held.stands_out), joined(path, "in"))
        for way, room, need in fits:
            says = f"object {index + 1} of the request fits {way} into the {held.place}"
            yield Relation(f"hold:{index}:{way}", room, need, NOT_BELOW, EXACT, says)

    def fits(
        self, place: object, sides: tuple[Form, ...], ease: Form, stands_out: Form, path: str
    ) -> list[tuple[str, Form, Form]]:
        """Return each way in which an object must fit, with the room there is and the room it needs."""
        width, height, depth = sides
        if place == BAG:
            if self.inside is None:
                refuse("is in a bag that does not say how much room is inside", path)
            needs = (width + ease, height - stands_out + ease, depth + ease)
            return list(zip(WAYS, self.inside, needs, strict=True))
        use = self.uses.get(place) if isinstance(place, str) else None
        if use is None or use.piece is None:
            refuse("names neither a use of a piece nor the bag", path)
        if use.piece.is_flat:
            refuse("is the use of a flat, in which nothing is held", path)
        box = use.outline.box
        return [("across", box.width, width + depth + ease), ("along", box.height + stands_out, height)]


def within_relations(within: Within, outside: tuple[Form, ...], order: tuple[int, ...]) -> Iterator[Relation]:
    """Yield that the bag stays within a box, the box's sides taken in the given order: across, along, deep."""
    for way, side, size in zip(WAYS, order, outside, strict=True):
        room = constant(within.sides[side] - within.added)
        yield Relation(f"within:{way}", room, size, NOT_BELOW, EXACT, f"the bag stays within its box {way}")


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
