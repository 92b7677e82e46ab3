"""Pieces in numbers: the stitched outline of each piece at one size, its cut line and its boxes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from grading.cut.cut_line import CutSegment, cut_line
from grading.cut.flats import flat_curves
from grading.cut.geometry import Curve, Place, cross, minus, outwards, plus, size
from grading.exact import Ruler
from grading.form import Form
from grading.model.bounds import arc_centre, arc_extremes
from grading.model.model import Model
from grading.model.pieces import Piece
from grading.model.segment import Point, Segment

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
    """A piece at one size. `curves` is the stitching line, exact where it can be; `stitched` and `cut` are boxes."""

    piece: Piece
    curves: tuple[tuple[str, Curve], ...]
    vertices: tuple[Place, ...]
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

    flat = piece.outline.flat
    if flat is None:
        curves = tuple((edge.name, curve_of(segment, values, place)) for edge, segment in piece.outline.segments)
    else:
        curves = flat_curves(flat, values)
    line = cut_line(curves, piece.allowances)
    vertices = tuple(_vertices(piece, curves, place))
    stitched = _extent(vertices)
    if flat is not None:
        stitched = Extent(ruler.raised(stitched.width - _ROOT_ERROR), ruler.raised(stitched.height - _ROOT_ERROR))
    if piece.is_template:
        true = _extent(list(_reached(line)))
        cut = Extent(ruler.raised(true.width - _ROOT_ERROR), ruler.raised(true.height - _ROOT_ERROR))
    else:
        cut = _square_cut(curves, piece.allowances)
    return DrawnPiece(piece, curves, vertices, line, stitched, cut)


def curve_of(segment: Segment, values: Mapping[str, Fraction], placed: Callable[[Point], Place] | None = None) -> Curve:
    """A segment of a stitching line at a size; `placed` may keep the points that segments share."""

    def place(point: Point) -> Place:
        return (value_of(point.x, values), value_of(point.y, values)) if placed is None else placed(point)

    start, end, turn = place(segment.start), place(segment.end), segment.turn
    if segment.inner is not None:
        return Curve(start, end, inner=(place(segment.inner[0]), place(segment.inner[1])))
    if turn is None:
        return Curve(start, end)
    if segment.rise is not None:
        rise = value_of(segment.rise, values)
        return Curve(start, end, arc_centre(start, end, turn, rise), turn, rise=rise)
    return Curve(start, end, place(segment.centre), turn, segment.ellipse)


def _vertices(piece: Piece, curves: Sequence[tuple[str, Curve]], place: Callable[[Point], Place]) -> Iterator[Place]:
    """The points that the stitched box is measured by: of a flat those that are outermost."""
    for _, curve in curves:
        yield curve.start
        if piece.outline.flat is not None and curve.centre is not None and curve.turn is not None:
            yield from arc_extremes(curve.start, curve.end, curve.centre, curve.turn)
    for _, segment in piece.outline.segments:
        if segment.middle is not None:
            yield place(segment.middle)


def cut_box(drawn: DrawnPiece) -> tuple[Place, Place]:
    """The least and the greatest corner of the box of a piece's cut line in its drawing, within 10**-30 mm."""
    points = list(_reached(drawn.cut_line))
    across, along = [point[0] for point in points], [point[1] for point in points]
    return (min(across), min(along)), (max(across), max(along))


def _extent(points: Sequence[Place]) -> Extent:
    across, along = [point[0] for point in points], [point[1] for point in points]
    return Extent(max(across) - min(across), max(along) - min(along))


def _reached(line: Sequence[CutSegment]) -> Iterator[Place]:
    """The points of a cut line that may be outermost: ends, and where a lengthened arc runs along an axis."""
    for segment in line:
        yield segment.start
        yield segment.end
        yield from segment.through or ()
        if segment.centre is not None and segment.turn == "right":
            radius = size(minus(segment.start, segment.centre))
            for way in ((1, 0), (-1, 0), (0, 1), (0, -1)):
                place = plus(segment.centre, (Fraction(way[0]), Fraction(way[1])), radius)
                # To the left of the chord lies what a clockwise arc passes.
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
