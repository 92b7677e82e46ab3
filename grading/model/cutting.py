"""The size of a piece as cut, as symbols."""

from __future__ import annotations

from fractions import Fraction

from grading.form import Form, length
from grading.model.draft import Draft
from grading.model.pieces import Layer, Piece
from grading.model.segment import Point, Segment

_OUTWARDS = {"left": (-1, 0), "right": (1, 0), "top": (0, 1), "bottom": (0, -1)}


def side_allowance(draft: Draft, piece: Piece, side: str) -> Form:
    """How far the cut line of a measures piece lies beyond a side of its stitched box, as at the base size."""
    along_x = side in {"left", "right"}
    sign = 1 if side in {"right", "top"} else -1
    reach = [
        (
            draft.at_base(place) * sign + piece.allowances[edge.name],
            place.times(sign) + length(piece.allowances[edge.name]),
        )
        for edge, segment in piece.outline.segments
        for place in _outermost(segment, side, along_x)
    ]
    if not reach:  # only hollow arcs end there
        return length(max(piece.allowances.values()))
    furthest = max(reach, key=lambda pair: pair[0])[1]
    return furthest - piece.outline.box.side(side).times(sign)


def _outermost(segment: Segment, side: str, along_x: bool) -> list[Form]:
    points = [point for point, outward in _facing(segment) if outward == _OUTWARDS[side]]
    return [point.x if along_x else point.y for point in points]


def _facing(segment: Segment) -> list[tuple[Point, tuple[int, int]]]:
    """The points of a segment with the sides that the outside lies on there: on the left of a clockwise way."""
    across, along = segment.signs
    if segment.turn is None:
        return [(segment.start, (-along, across))]
    if segment.turn == "left":
        return []  # the outside lies on the hollow side
    level_first = across != along  # a clockwise quarter that runs right and down, or left and up, sets out level
    level, upright = (0, -along if level_first else along), (across if level_first else -across, 0)
    return [(segment.start, level if level_first else upright), (segment.end, upright if level_first else level)]


def cut_width(draft: Draft, piece: Piece) -> Form:
    """The width of a piece's cut box: exact for a measures piece, an upper bound for a template piece."""
    return _cut_extent(draft, piece, piece.outline.box.width, ("left", "right"))


def cut_height(draft: Draft, piece: Piece) -> Form:
    """The height of a piece's cut box, likewise."""
    return _cut_extent(draft, piece, piece.outline.box.height, ("top", "bottom"))


def _cut_extent(draft: Draft, piece: Piece, stitched: Form, sides: tuple[str, str]) -> Form:
    if piece.is_template:
        return stitched + length(2 * max(piece.allowances.values()))
    return stitched + side_allowance(draft, piece, sides[0]) + side_allowance(draft, piece, sides[1])


def width_across(draft: Draft, piece: Piece, layer: Layer) -> Form:
    """The width of a layer's first cut across the grain; half of it for a piece on the fold.

    An upper bound where the layer shrinks: what is raised to the ruler is raised by less than a step.
    """
    turned = piece.written.grain == "across"
    if layer.inset is not None:
        box = piece.outline.box
        extent = (box.height if turned else box.width) - length(2 * layer.inset)
    else:
        extent = cut_height(draft, piece) if turned else cut_width(draft, piece)
    part = Fraction(1, 2) if piece.written.on_fold else Fraction(1)
    extent, share = extent.times(part), layer.shrinks[0]
    if share:
        extent = extent.times(1 / (1 - share)) + length(draft.ruler.step)
    return extent + length(2 * part * (layer.oversize or Fraction(0)))
