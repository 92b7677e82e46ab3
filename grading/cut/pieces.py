"""Pieces in numbers: the stitched outline of each piece at one size, its cut line and its boxes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from grading.cut.cut_line import CutSegment, cut_line
from grading.cut.geometry import Curve, Place, cross, minus, outwards, plus, size
from grading.exact import Ruler
from grading.form import Form
from grading.model.model import Model
from grading.model.outline import Point
from grading.model.pieces import Piece

_ROOT_ERROR = Fraction(1, 10**20)
"""Far above the error of a root to 40 digits, far below any ruler: a measure this little above a step is on it."""


@dataclass(frozen=True)
class Extent:
    """A box: its measures in x and y, in mm."""

    width: Fraction
    height: Fraction

    def grown(self, by: Fraction) -> Extent:
        """The box, larger by `by` on every side."""
        return Extent(self.width + 2 * by, self.height + 2 * by)


@dataclass(frozen=True)
class DrawnPiece:
    """A piece at one size. `curves` is the stitching line, exact; `stitched` and `cut` are boxes in mm."""

    piece: Piece
    curves: tuple[tuple[str, Curve], ...]
    cut_line: tuple[CutSegment, ...]
    stitched: Extent
    cut: Extent


def value_of(form: Form, values: Mapping[str, Fraction]) -> Fraction:
    """The value of a rational form at a size, in mm."""
    return form.enclosure(values).low


def draw_pieces(model: Model, values: Mapping[str, Fraction]) -> dict[str, DrawnPiece]:
    """All pieces at the printed dimensions, with cut lines and boxes; template boxes are raised to the ruler."""
    return {name: _draw(piece, values, model.ruler) for name, piece in model.pieces.items()}


def _draw(piece: Piece, values: Mapping[str, Fraction], ruler: Ruler) -> DrawnPiece:
    places: dict[int, Place] = {}

    def place(point: Point) -> Place:
        if id(point) not in places:
            places[id(point)] = value_of(point.x, values), value_of(point.y, values)
        return places[id(point)]

    curves = tuple(
        (
            edge.name,
            Curve(
                place(segment.start),
                place(segment.end),
                None if segment.turn is None else place(segment.centre),
                segment.turn,
            ),
        )
        for edge, segment in piece.outline.segments
    )
    line = cut_line(curves, piece.allowances)
    stitched = _extent([point for _, curve in curves for point in (curve.start, curve.end)])
    if piece.is_template:
        true = _extent(list(_reached(line)))
        cut = Extent(ruler.raised(true.width - _ROOT_ERROR), ruler.raised(true.height - _ROOT_ERROR))
    else:
        cut = _square_cut(curves, piece.allowances)
    return DrawnPiece(piece, curves, line, stitched, cut)


def _extent(points: Sequence[Place]) -> Extent:
    across, along = [point[0] for point in points], [point[1] for point in points]
    return Extent(max(across) - min(across), max(along) - min(along))


def _reached(line: Sequence[CutSegment]) -> Iterator[Place]:
    """The points of a cut line that may be outermost: ends, and where a lengthened arc runs along an axis."""
    for segment in line:
        yield segment.start
        yield segment.end
        if segment.centre is not None and segment.turn == "right":
            radius = size(minus(segment.start, segment.centre))
            for way in ((1, 0), (-1, 0), (0, 1), (0, -1)):
                place = plus(segment.centre, (Fraction(way[0]), Fraction(way[1])), radius)
                # To the left of the chord lies what a clockwise arc of less than half a turn passes.
                if cross(minus(segment.end, segment.start), minus(place, segment.start)) > 0:
                    yield place


def _square_cut(curves: Sequence[tuple[str, Curve]], allowances: dict[str, Fraction]) -> Extent:
    """The cut box of a piece with only lines parallel to the axes and arcs, exactly."""
    width, height = _reach(curves, allowances, 0), _reach(curves, allowances, 1)
    return Extent(width[1] - width[0], height[1] - height[0])


def _reach(
    curves: Sequence[tuple[str, Curve]], allowances: dict[str, Fraction], axis: int
) -> tuple[Fraction, Fraction]:
    """How far a measures piece reaches as cut, in x (axis 0) or y (axis 1): where its outside faces along the axis."""
    least: list[Fraction] = []
    greatest: list[Fraction] = []
    for edge, curve in curves:
        if curve.turn == "left":
            continue  # its outside lies on its hollow side
        for place, way in ((curve.start, curve.way_out), (curve.end, curve.way_in)):
            facing = outwards(way)[axis]
            if facing:
                (greatest if facing > 0 else least).append(place[axis] + facing * allowances[edge])
    places = [curve.start[axis] for _, curve in curves]
    most = max(allowances.values())
    return (
        min(least) if least else min(places) - most,
        max(greatest) if greatest else max(places) + most,
    )
