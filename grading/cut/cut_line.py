"""Cut lines: stitching lines moved outwards by the allowance of each edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from grading.cut.geometry import Curve, Place, dot, meetings, minus, outwards, plus, turning

GREATEST_MITRE = 4
"""A corner that runs out further than this many allowances is cut off straight; common practice, no source."""
LINKS = 32
"""Straight lines of the chain that an ellipse or a cubic moves to."""


@dataclass(frozen=True)
class CutSegment:
    """One segment of a cut line: a moved segment of the edge, or the straight step behind it to the next one.

    `through` are the points between the ends of a moved ellipse or cubic, which is a chain of straight lines; None of
    all others.
    """

    edge: str
    start: Place
    end: Place
    centre: Place | None
    turn: str | None
    through: tuple[Place, ...] | None = None


def cut_line(curves: Sequence[tuple[str, Curve]], allowances: dict[str, Fraction]) -> tuple[CutSegment, ...]:
    """The cut line of a clockwise outline: each (edge, curve) moved outwards by its edge's allowance, in mm.

    Where two moved segments do not meet, a straight step of its own leads from the one to the other. Points are
    exact where all lines are parallel to the axes and all arcs quarters, else within 10**-30 mm.
    """
    count = len(curves)
    joints = [_joint(curves[place], curves[(place + 1) % count], allowances) for place in range(count)]
    segments = []
    for place, (edge, curve) in enumerate(curves):
        end, onwards = joints[place]
        start = joints[place - 1][1]
        if curve.is_chain:
            before, after = curves[place - 1][1], curves[(place + 1) % count][1]
            cut_back = (
                turning(before.way_in, curve.way_out) > 0 and joints[place - 1][0] == start,
                turning(curve.way_in, after.way_out) > 0 and end == onwards,
            )
            through = _chain(curve, allowances[edge], start, end, cut_back)
            segments.append(CutSegment(edge, start, end, None, None, through))
        else:
            segments.append(CutSegment(edge, start, end, curve.centre, curve.turn))
        if end != onwards:
            segments.append(CutSegment(edge, end, onwards, None, None))
    return tuple(segments)


def _joint(before: tuple[str, Curve], after: tuple[str, Curve], allowances: dict[str, Fraction]) -> tuple[Place, Place]:
    """Where the moved segment before a corner ends, and where the one after it starts."""
    (edge, curve), (other_edge, other) = before, after
    by, other_by = allowances[edge], allowances[other_edge]
    corner = curve.end
    turn = turning(curve.way_in, other.way_out)
    runs_on = not turn and dot(curve.way_in, other.way_out) > 0
    if turn:
        moved = meetings(curve.tangent(at_end=True), by, other.tangent(at_end=False), other_by)
        met = min(moved, key=lambda place: _far(place, corner), default=None)
        most = GREATEST_MITRE * max(by, other_by)
        if met is not None and (turn > 0 or _far(met, corner) <= most * most):
            return met, met
    end = plus(corner, outwards(curve.way_in), by)
    if runs_on and by == other_by:
        return end, end
    return end, plus(corner, outwards(other.way_out), other_by)


def _chain(curve: Curve, by: Fraction, start: Place, end: Place, cut_back: tuple[bool, bool]) -> tuple[Place, ...]:
    """The points between the ends of a moved ellipse or cubic, without those beyond where a concave corner meets."""
    points = []
    for link in range(1, LINKS):
        t = Fraction(link, LINKS)
        points.append(plus(curve.point_at(t), outwards(curve.way_at(t)), by))
    if cut_back[0]:
        while points and dot(minus(points[0], start), curve.way_out) <= 0:
            points.pop(0)
    if cut_back[1]:
        while points and dot(minus(points[-1], end), curve.way_in) >= 0:
            points.pop()
    return tuple(points)


def _far(place: Place, corner: Place) -> Fraction:
    way = minus(place, corner)
    return dot(way, way)
