"""What lies at the edges and lines of the pieces of one grade: their own layers, and what is caught in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.form import Form
from grading.grade import Grade
from grading.model.coverings import SeenPiece
from grading.model.seams import SeamEntry
from grading.model.segment import Edge, Point
from grading.supplies.plies import TAPE, Plies, thickness, together

HEM_LAYERS: Mapping[str | None, int] = {"hemmed once": 2, "hemmed twice": 3}
"""How many times the cloth of a hemmed edge lies on itself."""


@dataclass(frozen=True)
class Catch:
    """An edge of a covering, `edge` of the use `piece`, that is caught in an edge of what it lies on.

    `part` is where it lies along that edge, from its start, in mm; None for all along. `own_start` is where the
    covering's edge starts, `runs` whether it runs the same way (1) or the other (-1).
    """

    covering: str
    piece: str
    edge: str
    part: tuple[Fraction, Fraction] | None
    own_start: Fraction
    runs: int

    def own_place(self, place: Fraction | None) -> Fraction | None:
        """The place on the covering's edge that lies at a place of the other; None where it is not known."""
        return None if place is None or self.part is None else self.runs * (place - self.own_start)

    def lies_at(self, place: Fraction | None) -> bool:
        """Whether it is caught at this place; without a place, whether it is anywhere."""
        return place is None or self.part is None or self.part[0] <= place <= self.part[1]


@dataclass(frozen=True)
class Layering:
    """The layers of one grade by place. `catches` lists what each edge, (use, edge), catches."""

    grade: Grade
    tape: Fraction
    catches: Mapping[tuple[str, str], tuple[Catch, ...]]

    def thickness(self, plies: Plies) -> Fraction:
        """The thickness of these, stitched, in mm."""
        return thickness(self.grade.model, plies, self.tape)

    def at_entry(self, entry: SeamEntry, place: Fraction | None = None) -> Plies:
        """What an entry of a seam brings to it, at a place along the edge (from its start, in mm) or in all."""
        return self.at_line(entry.use) if entry.is_line else self.at_edge(entry.use, entry.edge.name, place)

    def at_line(self, use: str) -> Plies:
        """The layers that a line inside a piece goes through: all of the piece's."""
        layers = self.grade.model.parts.piece_of(use).layers
        return together(*({layer.material: layer.count} for layer in layers))

    def at_edge(self, use: str, edge: str, place: Fraction | None = None) -> Plies:
        """What lies in the allowance of an edge, at a place along it or in all; folded where it is hemmed."""
        if use in self.grade.model.draft.index.zips:
            return {TAPE: 1}
        total: dict[str, int] = {}
        counted: set[str] = set()
        waiting = [(use, edge, place, 1)]
        while waiting:
            use, edge, place, times = waiting.pop()
            piece = self.grade.model.parts.piece_of(use)
            times *= HEM_LAYERS.get(piece.settings(edge).fate, 1)
            for layer in piece.layers:
                if layer.inset is None:
                    total[layer.material] = total.get(layer.material, 0) + layer.count * times
            for catch in self.catches.get((use, edge), ()):
                # No covering is counted twice, also where coverings lie on each other in a ring.
                if catch.covering not in counted and catch.lies_at(place):
                    counted.add(catch.covering)
                    waiting.append((catch.piece, catch.edge, catch.own_place(place), times))
        return total


def layering(grade: Grade, tape: Fraction) -> Layering:
    """The layers of a grade; `tape` is the thickness of a zip's tape in mm."""
    catches: dict[tuple[str, str], list[Catch]] = {}
    for name, covering in grade.model.coverings.items():
        for own, over in covering.written.caught.items():
            catches.setdefault((covering.written.over, over), []).append(_catch(grade, name, own, over))
    return Layering(grade, tape, {key: tuple(found) for key, found in catches.items()})


def _catch(grade: Grade, name: str, own: str, over: str) -> Catch:
    written = grade.model.coverings[name].written
    lies = _Lying(grade, name)
    own_edge, over_edge = lies.own.piece.outline.by_name[own], lies.over.piece.outline.by_name[over]
    if not (own_edge.first.is_level or own_edge.first.is_upright):
        return Catch(name, written.piece, own, None, Fraction(0), 1)  # an arc, which lies on the other all along
    own_ends, over_ends = lies.own_ends(own_edge), lies.over_ends(over_edge)
    way = 1 if over_ends[1] > over_ends[0] else -1
    start, end = ((place - over_ends[0]) * way for place in own_ends)
    runs = 1 if end > start else -1
    return Catch(name, written.piece, own, (min(start, end), max(start, end)), start, runs)


class _Lying:
    """A covering on what it lies on, as seen, at one size."""

    def __init__(self, grade: Grade, name: str) -> None:
        written, draft = grade.model.coverings[name].written, grade.model.draft
        uses, path = draft.index.uses, f"coverings.{name}.takes_up"
        takes_up = (
            draft.rational(f"{path}.across", written.takes_up.across),
            draft.rational(f"{path}.along", written.takes_up.along),
        )
        nothing = Form(), Form()
        mirrored = uses[written.piece].mirrored != (written.face == "down")
        self.values, self.clear = grade.values, grade.clearances[name]
        self.own = SeenPiece(draft, grade.model.parts.piece_of(written.piece), mirrored, takes_up)
        self.over = SeenPiece(draft, grade.model.parts.piece_of(written.over), uses[written.over].mirrored, nothing)

    def own_ends(self, edge: Edge) -> tuple[Fraction, Fraction]:
        """Where a straight edge of the covering starts and ends along its axis, in the place of the other."""
        own, over, side = self.own.box, self.over.box, "top" if edge.first.is_upright else "left"
        gap = self._value(over.side(side)) - self._value(own.side(side))
        shift = gap - self.clear["top"] if edge.first.is_upright else gap + self.clear["left"]
        start, end = self._ends(self.own, edge)
        return start + shift, end + shift

    def over_ends(self, edge: Edge) -> tuple[Fraction, Fraction]:
        """Where a straight edge of what it lies on starts and ends along its axis, as seen."""
        return self._ends(self.over, edge)

    def _ends(self, seen: SeenPiece, edge: Edge) -> tuple[Fraction, Fraction]:
        return self._along(seen, edge, edge.start), self._along(seen, edge, edge.end)

    def _along(self, seen: SeenPiece, edge: Edge, point: Point) -> Fraction:
        placed = seen.point(point)
        return self._value(placed.y if edge.first.is_upright else placed.x)

    def _value(self, form: Form) -> Fraction:
        return form.enclosure(self.values).low
