"""Cut lines: stitching lines moved outwards by the allowance of each edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from grading.cut.geometry import Curve, Place, cross, dot, meetings, minus, outwards, plus

GREATEST_MITRE = 4
"""A corner that runs out further than this many allowances is cut off straight; common practice, no source."""


@dataclass(frozen=True)
class CutSegment:
    """One segment of a cut line: a moved segment of the edge, or the straight step behind it to the next one."""

    edge: str
    start: Place
    end: Place
    centre: Place | None
    turn: str | None


def cut_line(curves: Sequence[tuple[str, Curve]], allowances: dict[str, Fraction]) -> tuple[CutSegment, ...]:
    """The cut line of a clockwise outline: each (edge, curve) moved outwards by its edge's allowance, in mm.

    Where two moved segments do not meet, a straight step of its own leads from the one to the other. Points are
    exact where all lines are parallel to the axes, else within 10**-30 mm.
    """
    count = len(curves)
    joints = [_joint(curves[place], curves[(place + 1) % count], allowances) for place in range(count)]
    segments = []
    for place, (edge, curve) in enumerate(curves):
        end, onwards = joints[place]
        segments.append(CutSegment(edge, joints[place - 1][1], end, curve.centre, curve.turn))
        if end != onwards:
            segments.append(CutSegment(edge, end, onwards, None, None))
    return tuple(segments)


def _joint(before: tuple[str, Curve], after: tuple[str, Curve], allowances: dict[str, Fraction]) -> tuple[Place, Place]:
    """Where the moved segment before a corner ends, and where the one after it starts."""
    (edge, curve), (other_edge, other) = before, after
    by, other_by = allowances[edge], allowances[other_edge]
    corner = curve.end
    turning = cross(curve.way_in, other.way_out)
    runs_on = not turning and dot(curve.way_in, other.way_out) > 0
    if turning:
        met = min(meetings(curve, by, other, other_by), key=lambda place: _far(place, corner), default=None)
        most = GREATEST_MITRE * max(by, other_by)
        if met is not None and (turning > 0 or _far(met, corner) <= most * most):
            return met, met
    end = plus(corner, outwards(curve.way_in), by)
    if runs_on and by == other_by:
        return end, end
    return end, plus(corner, outwards(other.way_out), other_by)


def _far(place: Place, corner: Place) -> Fraction:
    way = minus(place, corner)
    return dot(way, way)
