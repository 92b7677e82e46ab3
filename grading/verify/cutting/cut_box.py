"""Cut boxes: how wide and high a layer is first cut, as forms where the piece is cut by measures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grading.verify.document.pieces import Layer, Piece
from grading.verify.exact.forms import Form, constant
from grading.verify.exact.fraction import Fraction
from grading.verify.geometry.outlines import Segment

HALF = Fraction(1, 2)
TWICE = Fraction(2)
WAYS = ("left", "right", "bottom", "top")


@dataclass(frozen=True, eq=False)
class CutBox:
    """The width and height of the cut line's box."""

    width: Form
    height: Form


def measured_cut_box(piece: Piece) -> CutBox:
    """Return the cut box of a piece of lines parallel to an axis and arcs: the moved sides that reach furthest.

    Which side reaches furthest is decided at the base size, the first in the order of the outline on a tie.
    """
    left, right, bottom, top = measured_sides(piece)
    return CutBox(right - left, top - bottom)


def measured_sides(piece: Piece) -> tuple[Form, ...]:
    """Return the left, right, bottom and top of that box."""
    return tuple(_furthest(piece, way) for way in WAYS)


def _furthest(piece: Piece, way: str) -> Form:
    axis = 0 if way in ("left", "right") else 1
    sign = 1 if way in ("right", "top") else -1
    base = piece.outline.base
    best: tuple[Fraction, Form] | None = None
    for edge, segment in piece.outline.segments:
        allowance = piece.treatments[edge].allowance
        for place in _facing(segment, axis, sign):
            form = place[axis] + allowance if sign > 0 else place[axis] - allowance
            reach = sign * base.near(form)
            if best is None or reach > best[0]:
                best = reach, form
    if best is not None:
        return best[1]
    # Only points of arcs reach this side: the box of the outline, with the greatest allowance.
    box = piece.outline.box
    side = {"left": box.left, "right": box.right, "bottom": box.bottom, "top": box.top}[way]
    greatest = greatest_allowance(piece)
    return side + greatest if sign > 0 else side - greatest


def _facing(segment: Segment, axis: int, sign: int) -> Iterator[tuple[Form, Form]]:
    """Yield the ends of a segment where its outward normal points along the axis in the given direction."""
    across, along = segment.signs
    if segment.turns is None:
        # Outward is on the left of the way: a line upwards (0, 1) faces left, one to the right (1, 0) faces up.
        normal = (-along, across)
        if normal[axis] == sign and normal[1 - axis] == 0:
            yield segment.start
        return
    if segment.turns == "right" and segment.centre is not None:
        for place in (segment.start, segment.end):
            arm = place[axis] - segment.centre[axis]
            if not arm.is_zero and _is_level_arm(segment, place, axis) and _points(segment, place, axis) == sign:
                yield place


def _is_level_arm(segment: Segment, place: tuple[Form, Form], axis: int) -> bool:
    return segment.centre is not None and (place[1 - axis] - segment.centre[1 - axis]).is_zero


def _points(segment: Segment, place: tuple[Form, Form], axis: int) -> int:
    # The arm from the centre to an end is, along its axis, the whole reach of the quarter one way or the other.
    return -segment.signs[axis] if place is segment.start else segment.signs[axis]


def greatest_allowance(piece: Piece) -> Form:
    """Return the allowance that is greatest at the base size, the first on a tie."""
    base = piece.outline.base
    return max((piece.treatments[edge].allowance for edge in piece.outline.edges), key=base.near)


def trimmed_box(piece: Piece, layer: Layer) -> CutBox:
    """Return the box that the layer is trimmed to, or cut to at once; of a template piece a bound above it.

    The bound is the stitched box with the greatest allowance all round, as in the relation `cloth`.
    """
    box = piece.outline.box
    if layer.inset is not None:
        inset = layer.inset.times(TWICE)
        return CutBox(box.width - inset, box.height - inset)
    if piece.is_template:
        room = greatest_allowance(piece).times(TWICE)
        return CutBox(box.width + room, box.height + room)
    return measured_cut_box(piece)


def width_on_cloth(piece: Piece, layer: Layer, step: Fraction) -> Form:
    """Return how much of the cloth's width the first cut takes: half of it on the fold.

    What the layer loses by quilting or fusing is added, and a step of the ruler, to which the whole is raised.
    """
    box = trimmed_box(piece, layer)
    part = HALF if piece.on_fold else Fraction(1)
    across = (box.height if piece.turned else box.width).times(part)
    share = layer.shrinks[0]
    if share:
        across = across.times(1 / (1 - share)) + constant(step)
    return across + layer.oversize.times(TWICE * part)


def half_on_fold(piece: Piece) -> Form:
    """Return half the cut width of a measures piece that is cut on the fold."""
    cut = measured_cut_box(piece)
    return (cut.height if piece.turned else cut.width).times(HALF)
