"""Coverings as symbols: where a piece comes to lie on another, and the relations that keep it there."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Literal

from grading.document.coverings import AtLeast
from grading.document.coverings import Covering as WrittenCovering
from grading.form import Form
from grading.model.draft import Draft
from grading.model.outline import Box
from grading.model.pieces import Piece
from grading.model.relation import Origin, Relation, Sense
from grading.model.seams import Parts
from grading.model.segment import Edge, Point

Axis = Literal["across", "along"]
SIDES = ("left", "right", "top", "bottom")
_AXIS_OF: dict[str, Axis] = {"left": "across", "right": "across", "top": "along", "bottom": "along"}


@dataclass(frozen=True)
class SeenPiece:
    """A use as it is seen on the bag: mirrored or not, with what its folds take up."""

    draft: Draft
    piece: Piece
    mirrored: bool
    takes_up: tuple[Form, Form]

    def point(self, point: Point) -> Point:
        """Where a point of the outline is seen, before the piece is shifted to its place."""
        x = -point.x if self.mirrored else point.x
        return Point(
            x - self._taken(x, self._mirrored_box.left, self._mirrored_box.right, self.takes_up[0], 1),
            point.y + self._taken(point.y, self._mirrored_box.bottom, self._mirrored_box.top, self.takes_up[1], -1),
        )

    def _taken(self, value: Form, least: Form, greatest: Form, amount: Form, sign: int) -> Form:
        if amount.is_zero:
            return amount
        beyond = self.draft.at_base(value.times(2) - least - greatest) * sign
        return amount.times(Fraction((beyond > 0) - (beyond < 0) + 1, 2))

    @cached_property
    def _mirrored_box(self) -> Box:
        box = self.piece.outline.box
        return Box(-box.right, -box.left, box.top, box.bottom) if self.mirrored else box

    @cached_property
    def box(self) -> Box:
        """Its box as seen, before the shift."""
        box = self._mirrored_box
        corner, opposite = Point(box.left, box.top), Point(box.right, box.bottom)
        if self.mirrored:
            corner, opposite = Point(-corner.x, corner.y), Point(-opposite.x, opposite.y)
        first, second = self.point(corner), self.point(opposite)
        return Box(first.x, second.x, first.y, second.y)


@dataclass(frozen=True)
class Covering:
    """A covering as symbols: its clearances on the four sides of what it lies on, and its relations."""

    name: str
    written: WrittenCovering
    clearances: dict[str, Form]
    relations: tuple[Relation, ...]


def read_coverings(parts: Parts) -> dict[str, Covering]:
    """All coverings but those whose place is not decided; their faults are noted in the draft."""
    coverings = {}
    for name, written in parts.draft.pattern.coverings.items():
        covering = _Reading(parts, name, written).covering()
        if covering is not None:
            coverings[name] = covering
    return coverings


class _Reading:
    """One covering being read."""

    def __init__(self, parts: Parts, name: str, written: WrittenCovering) -> None:
        self.draft, self.name, self.written = parts.draft, name, written
        self.path = f"coverings.{name}"
        uses = parts.draft.index.uses
        takes_up = (
            self.draft.rational(f"{self.path}.takes_up.across", written.takes_up.across),
            self.draft.rational(f"{self.path}.takes_up.along", written.takes_up.along),
        )
        mirrored = uses[written.piece].mirrored != (written.face == "down")
        self.own = SeenPiece(parts.draft, parts.piece_of(written.piece), mirrored, takes_up)
        self.over = SeenPiece(parts.draft, parts.piece_of(written.over), uses[written.over].mirrored, (Form(), Form()))
        self.shift: dict[Axis, Form] = {}
        self.given_by: dict[Axis, str] = {}
        self.relations: list[Relation] = []

    def covering(self) -> Covering | None:
        """The covering, or None with its faults noted."""
        caught = [(self._edge(self.own, own), self._edge(self.over, over)) for own, over in self.written.caught.items()]
        catchable = [self._catchable(own, over) for own, over in caught]
        if not all(catchable):
            return None
        for own, over in caught:
            self._shift_from_caught(own, over)
        values = self._clear_values()
        self._shift_from_clear(values)
        for axis, sides in (("across", "left or right"), ("along", "top or bottom")):
            if axis not in self.shift:
                self.draft.fault(
                    self.path,
                    f"its place {axis} is not decided",
                    f"catch an edge, or give its distance from the {sides}",
                )
        if len(self.shift) < 2:
            return None
        for own, over in caught:
            self._caught_relations(own, over)
        clearances = self._clearances()
        for side in SIDES:
            self._clear_relation(side, clearances[side], values.get(side), self._side_is_caught(side, caught))
        return Covering(self.name, self.written, clearances, tuple(self.relations))

    def _edge(self, seen: SeenPiece, name: str) -> Edge:
        return seen.piece.outline.by_name[name]

    def _catchable(self, own: Edge, over: Edge) -> bool:
        single = len(own.segments) == len(over.segments) == 1
        both_arcs = own.first.is_quarter and over.first.is_quarter
        level = own.first.is_level and over.first.is_level
        upright = own.first.is_upright and over.first.is_upright
        if single and (level or upright or (both_arcs and own.first.turn == over.first.turn)):
            return True
        self.draft.fault(
            f"{self.path}.caught.{own.name}",
            f"{own.name} and {over.name} cannot lie on each other",
            "catch level edges in level ones, upright ones in upright ones, and quarter arcs in quarter arcs",
        )
        return False

    def _ends(self, own: Edge, over: Edge) -> tuple[tuple[Point, Point], tuple[Point, Point]]:
        """The pairs of points of two arcs that lie on each other: own start and end with theirs of the over."""
        start, end = self.own.point(own.start), self.own.point(own.end)
        others = self.over.point(over.start), self.over.point(over.end)
        if self.own.mirrored != self.over.mirrored:
            others = others[1], others[0]
        return (start, others[0]), (end, others[1])

    def _shift_from_caught(self, own: Edge, over: Edge) -> None:
        (start, other), _ = self._ends(own, over)
        if not own.first.is_level:
            self._give("across", other.x - start.x, f"caught:{own.name}")
        if not own.first.is_upright:
            self._give("along", other.y - start.y, f"caught:{own.name}")

    def _give(self, axis: Axis, shift: Form, giver: str) -> None:
        if axis not in self.shift:
            self.shift[axis], self.given_by[axis] = shift, giver

    def _clear_values(self) -> dict[str, tuple[Form, bool]]:
        values = {}
        for side in SIDES:
            value = getattr(self.written.clear, side)
            if value is not None:
                least = isinstance(value, AtLeast)
                path = f"{self.path}.clear.{side}{'.at_least' if least else ''}"
                form = self.draft.rational(path, value.at_least if least else value)
                values[side] = (form, least)
        return values

    def _shift_from_clear(self, values: dict[str, tuple[Form, bool]]) -> None:
        inwards = {"left": 1, "right": -1, "top": -1, "bottom": 1}
        for side, (value, least) in values.items():
            if not least:
                place = self.over.box.side(side) - self.own.box.side(side) + value.times(inwards[side])
                self._give(_AXIS_OF[side], place, f"clear:{side}")

    def _placed(self, point: Point) -> Point:
        return point.shifted(self.shift["across"], self.shift["along"])

    def _clearances(self) -> dict[str, Form]:
        own, over, shift = self.own.box, self.over.box, self.shift
        return {
            "left": own.left + shift["across"] - over.left,
            "right": over.right - own.right - shift["across"],
            "top": over.top - own.top - shift["along"],
            "bottom": own.bottom + shift["along"] - over.bottom,
        }

    def _caught_relations(self, own: Edge, over: Edge) -> None:
        pairs = self._ends(own, over)
        says = f"{self.written.piece}.{own.name} lies on {self.written.over}.{over.name}"
        if own.first.turn is not None:
            for end, (point, other) in zip(("start", "end"), pairs, strict=True):
                placed = self._placed(point)
                gaps: tuple[tuple[Axis, Form], ...] = (("across", placed.x - other.x), ("along", placed.y - other.y))
                for axis, gap in gaps:
                    if end != "start" or not self._gave(axis, own):
                        self._add(f"caught:{own.name}:{end}:{axis}", gap, Sense.EQUAL, says)
            return
        upright = own.first.is_upright
        points = [self._placed(point) for point, _ in pairs]
        others = [self.over.point(over.start), self.over.point(over.end)]
        if not self._gave(_AXIS_OF["left" if upright else "top"], own):
            gap = points[0].x - others[0].x if upright else points[0].y - others[0].y
            self._add(f"caught:{own.name}", gap, Sense.EQUAL, says)
        mine = sorted(((p.y if upright else p.x) for p in points), key=self.draft.at_base)
        theirs = sorted(((p.y if upright else p.x) for p in others), key=self.draft.at_base)
        within = f"{says}, between its ends"
        self._add(f"caught:{own.name}:from", mine[0] - theirs[0], Sense.NOT_BELOW, within)
        self._add(f"caught:{own.name}:to", theirs[1] - mine[1], Sense.NOT_BELOW, within)

    def _gave(self, axis: Axis, own: Edge) -> bool:
        return self.given_by[axis] == f"caught:{own.name}"

    def _side_is_caught(self, side: str, caught: list[tuple[Edge, Edge]]) -> bool:
        box = self.own.box
        for own, _ in caught:
            if own.first.turn is not None:
                continue
            point = self.own.point(own.start)
            place = point.x if own.first.is_upright else point.y
            suits = own.first.is_upright == (_AXIS_OF[side] == "across")
            if suits and self.draft.at_base(place - box.side(side)) == 0:
                return True
        return False

    def _clear_relation(self, side: str, distance: Form, value: tuple[Form, bool] | None, caught: bool) -> None:
        where = f"the {side} side of {self.written.over}"
        if value is None:
            if not caught:
                self._add(f"clear:{side}", distance, Sense.NOT_BELOW, f"{self.written.piece} stays inside {where}")
            return
        form, least = value
        if least:
            self._add(
                f"clear:{side}",
                distance - form,
                Sense.NOT_BELOW,
                f"{self.written.piece} keeps its distance from {where}",
            )
        elif self.given_by[_AXIS_OF[side]] != f"clear:{side}":
            self._add(
                f"clear:{side}",
                distance - form,
                Sense.EQUAL,
                f"{self.written.piece} lies where it is placed from {where}",
            )

    def _add(self, aspect: str, form: Form, sense: Sense, says: str) -> None:
        because = self.written.says or f"{self.written.piece} is laid on {self.written.over}"
        if sense is Sense.NOT_BELOW and form.is_constant and form.is_rational and form.constant >= 0:
            return
        self.relations.append(
            Relation(f"covering:{self.name}:{aspect}", Origin.COVERING, form, sense, says, because, self.path)
        )
