"""Seams: two sides that are sewn together, with their ease and the notches that must meet."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from grading.verify.document.sides import Entry, Side, SideReader, side_length, side_title
from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import ZERO, Form, constant, total
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import percentage_or_none, read_factor, read_length
from grading.verify.exact.points import Point
from grading.verify.exact.relations import EQUAL, NOT_BELOW, Relation
from grading.verify.geometry.outlines import sign_of
from grading.verify.reading import choice, fields, items, joined, truth
from grading.verify.unreadable import UnreadableInput, refuse

# ISO 4915: classes of stitch are numbers of three digits.
STITCH = re.compile(r"[1-8]\d\d", re.ASCII)
LOCKSTITCH = "301"
KINDS = ("plain", "topstitched", "lapped", "zip", "bound")
# A notch that lies within this of a part's end belongs to the part (mm, at the base size).
NOTCH_REACH = Fraction(1, 100)


@dataclass(frozen=True, eq=False)
class Seam:
    """Two sides; the eased one is longer by `ease`, or `factor` times as long as the other."""

    name: str
    join: Side
    to: Side
    ease: Form | None
    written_ease: Form | None
    factor: Fraction | None
    eased_join: bool
    closed: bool
    kind: str
    tolerance: Fraction
    notches: tuple[tuple[Form, Form], ...]
    follows_thickness: bool = False
    match: bool = False
    stitch: str = LOCKSTITCH

    @property
    def longer_and_other(self) -> tuple[Form, Form]:
        """The length of the eased side, and that of the other."""
        join, to = side_length(self.join), side_length(self.to)
        return (join, to) if self.eased_join else (to, join)

    @property
    def required_ease(self) -> Form:
        """By how much the eased side must be longer."""
        if self.ease is not None:
            return self.ease
        other = self.longer_and_other[1]
        return ZERO if self.factor is None else other.times(self.factor - 1)

    @property
    def is_exact(self) -> bool:
        """Whether the sides must agree exactly: neither pi nor roots, no proportion, no thickness, no zip as sold."""
        if self.follows_thickness or any(entry.use.sold_in_lengths for entry in (*self.join, *self.to)):
            return False
        longer, other = self.longer_and_other
        return self.factor is None and (longer - self.required_ease - other).is_rational

    @property
    def sentence(self) -> str:
        """What the seam says, in a maker's words."""
        return f"seam {self.name}: {side_title(self.join)} is sewn to {side_title(self.to)}"


def seam_relations(seam: Seam, base: Point) -> Iterator[Relation]:
    """Yield the relation of the seam's lengths and those of its notches."""
    longer, other = seam.longer_and_other
    ease = seam.required_ease
    slack = Fraction(0) if seam.is_exact else seam.tolerance
    if seam.factor is not None:
        yield Relation(f"seam:{seam.name}", longer, other.times(seam.factor), EQUAL, slack, seam.sentence)
    else:
        yield Relation(f"seam:{seam.name}", longer - ease, other, EQUAL, slack, seam.sentence)
    for index, (join, to) in enumerate(seam.notches):
        yield from _notch_relations(seam, f"notch:{seam.name}:{index}", join, to, base)


def _notch_relations(seam: Seam, title: str, join: Form, to: Form, base: Point) -> Iterator[Relation]:
    says = f"seam {seam.name}: the notches meet"
    factor = seam.factor
    if factor is not None:
        left, right = (join, to.times(factor)) if seam.eased_join else (join.times(factor), to)
        yield Relation(title, left, right, EQUAL, seam.tolerance, says)
        return
    slack = Fraction(0) if seam.is_exact and (join - to).is_rational else seam.tolerance
    if seam.ease is None or seam.ease.is_zero:
        yield Relation(title, join, to, EQUAL, slack, says)
        return
    ease = -seam.ease if sign_of(base.near(seam.ease)) < 0 else seam.ease
    if not ease.is_rational:
        slack = seam.tolerance
    room = ease + constant(seam.tolerance)
    yield Relation(f"{title}:early", room + join, to, NOT_BELOW, slack, f"{says}, not too early")
    yield Relation(f"{title}:late", room + to, join, NOT_BELOW, slack, f"{says}, not too late")


class SeamReader:
    """Reads the seams of a document."""

    def __init__(self, expressions: Expressions, sides: SideReader, tolerance: Fraction, base: Point) -> None:
        self.expressions = expressions
        self.sides = sides
        self.tolerance = tolerance
        self.base = base

    def seam(self, title: str, value: object, path: str) -> Seam:
        """Return one seam."""
        optional = ("ease", "fullness", "eased", "closed", "kind", "tolerance", "notches", "match", "stitch")
        given = fields(value, path, ("join", "to"), optional)
        if "ease" in given and "fullness" in given:
            refuse("has ease and fullness at once", path)
        join = self.sides.side(given["join"], joined(path, "join"), "forward")
        to = self.sides.side(given["to"], joined(path, "to"), "backward")
        factor, ease, written = self.ease(given, path)
        tolerance = self.tolerance
        if "tolerance" in given:
            tolerance = read_length(given["tolerance"], self.expressions.unit, joined(path, "tolerance"))
        if tolerance < 0:
            refuse("is below 0", joined(path, "tolerance"))
        return Seam(
            title,
            join,
            to,
            ease,
            written,
            factor,
            choice(given.get("eased"), joined(path, "eased"), ("join", "to"), "join") == "join",
            truth(given.get("closed"), joined(path, "closed")),
            choice(given.get("kind"), joined(path, "kind"), KINDS, "plain"),
            tolerance,
            tuple(self.notches(given.get("notches"), joined(path, "notches"), join, to)),
            factor is None and self.expressions.names_thickness(given.get("ease")),
            truth(given.get("match"), joined(path, "match")),
            _stitch(given.get("stitch", LOCKSTITCH), joined(path, "stitch")),
        )

    def ease(self, given: Mapping[str, object], path: str) -> tuple[Fraction | None, Form | None, Form | None]:
        """Return the factor between the sides, or the ease as put on the ruler and as written."""
        if "fullness" in given:
            return read_factor(given["fullness"], joined(path, "fullness")), None, None
        if "ease" not in given:
            return None, None, None
        part = percentage_or_none(given["ease"])
        if part is not None:
            return 1 + part, None, None
        where = joined(path, "ease")
        ease = self.expressions.drawn(given["ease"], where, is_ease=True)
        return None, ease, self.expressions.plain(given["ease"], where)

    def notches(self, value: object, path: str, join: Side, to: Side) -> Iterator[tuple[Form, Form]]:
        """Yield the two positions of each pair of notches that meet."""
        for index, entry in enumerate(items(value, path)):
            where = joined(path, index)
            first, second = items(entry, where, 2)
            yield (
                self.position(first, joined(where, 0), join),
                self.position(second, joined(where, 1), to),
            )

    def position(self, value: object, path: str, side: Side) -> Form:
        """Return how far along the side a notch lies, from the side's start."""
        use, title = self.sides.use_and(value, path)
        if use.piece is None or title not in use.piece.notches:
            refuse(f"names no notch of {use.name}", path)
        notch = use.piece.notches[title]
        before: list[Form] = []
        for entry in side:
            if entry.use is use and not entry.is_line and entry.name == notch.edge and self.holds(entry, notch.at):
                start, end = entry.ends
                return total(before) + (notch.at - start if entry.forward else end - notch.at)
            before.append(entry.length)
        raise UnreadableInput("names a notch that does not lie on this side of the seam", path)

    def holds(self, entry: Entry, at: Form) -> bool:
        """Whether a place along the edge lies in the entry's part, at the base size."""
        start, end = entry.ends
        here = self.base.near(at)
        return self.base.near(start) - NOTCH_REACH <= here <= self.base.near(end) + NOTCH_REACH


def _stitch(value: object, path: str) -> str:
    if not isinstance(value, str) or STITCH.fullmatch(value) is None:
        refuse('is no class of stitch such as "301"', path)
    return value
