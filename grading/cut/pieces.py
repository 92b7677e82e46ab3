"""Pieces in numbers: the stitched outline of each piece at one size, its cut line and its boxes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from grading.cut.cut_line import CutSegment, cut_line
from grading.cut.geometry import Curve, Place
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
    def place(point: Point) -> Place:
        return value_of(point.x, values), value_of(point.y, values)

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
        true = _extent([*_reached(line)])
        cut = Extent(ruler.raised(true.width - _ROOT_ERROR), ruler.raised(true.height - _ROOT_ERROR))
    else:
        cut = _square_cut(curves, piece.allowances)
    return DrawnPiece(piece, curves, line, stitched, cut)


def _extent(points: Sequence[Place]) -> Extent:
    across, along = [point[0] for point in points], [point[1] for point in points]
    return Extent(max(across) - min(across), max(along) - min(along))


def _reached(line: Sequence[CutSegment]) -> list[Place]:
    """The points of a cut line that may be outermost: quarter arcs reach furthest at their ends."""
    return [point for segment in line for point in (segment.start, segment.end)]


def _square_cut(curves: Sequence[tuple[str, Curve]], allowances: dict[str, Fraction]) -> Extent:
    """The cut box of a piece with only lines parallel to the axes and arcs, exactly."""
    reach: dict[str, list[Fraction]] = {"left": [], "right": [], "top": [], "bottom": []}
    for edge, curve in curves:
        by = allowances[edge]
        points = (curve.start, curve.end)
        way = curve.way_out
        if curve.centre is not None or way[0] > 0:
            reach["top"] += [point[1] + by for point in points]
        if curve.centre is not None or way[0] < 0:
            reach["bottom"] += [point[1] - by for point in points]
        if curve.centre is not None or way[1] < 0:
            reach["right"] += [point[0] + by for point in points]
        if curve.centre is not None or way[1] > 0:
            reach["left"] += [point[0] - by for point in points]
    return Extent(max(reach["right"]) - min(reach["left"]), max(reach["top"]) - min(reach["bottom"]))
