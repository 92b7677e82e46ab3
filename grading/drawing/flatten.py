"""Curves as points, so close that the straight lines between them lie within FINE of the curve."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import acos, atan2, ceil, cos, hypot, pi, radians, sin

from grading.drawing.cut_path import Place
from grading.drawing.scene import Arc, ArcTo, CubicTo, LineTo, Part, Path

FINE = 0.01
"""How far in mm a straight line between two points of a drawn curve may lie from it; as fine as a grade is printed."""
LEAST_STEPS, MOST_STEPS = 4, 512


def path_points(path: Path, fine: float = FINE) -> tuple[Place, ...]:
    """The points of a path from its start, `fine` in mm; of a closed one the start is not repeated at the end."""
    points = [path.start]
    for part in path.parts:
        points += part_points(points[-1], part, fine)
    if path.closed and len(points) > 1 and hypot(points[0][0] - points[-1][0], points[0][1] - points[-1][1]) < FINE:
        points.pop()
    return tuple(points)


def part_points(start: Place, part: Part, fine: float = FINE) -> list[Place]:
    """The points of a part after its start, the last one its end."""
    match part:
        case LineTo():
            return [part.end]
        case ArcTo():
            return [*_turning(start, part, fine), part.end]
        case CubicTo():
            return [*_bending(start, part, fine), part.end]


def arc_points(arc: Arc) -> tuple[Place, ...]:
    """The points of an arc, its ends included."""
    steps = _steps(arc.radius, radians(arc.end - arc.start), FINE)
    angles = (radians(arc.start + (arc.end - arc.start) * number / steps) for number in range(steps + 1))
    return tuple((arc.centre[0] + arc.radius * cos(angle), arc.centre[1] + arc.radius * sin(angle)) for angle in angles)


def sweep(start: Place, part: ArcTo) -> tuple[float, float, float]:
    """Radius, first angle and signed angle (anticlockwise above 0) of an arc, in radians."""
    radius = hypot(start[0] - part.centre[0], start[1] - part.centre[1])
    first = atan2(start[1] - part.centre[1], start[0] - part.centre[0])
    last = atan2(part.end[1] - part.centre[1], part.end[0] - part.centre[0])
    span = (first - last if part.clockwise else last - first) % (2 * pi)
    return radius, first, -span if part.clockwise else span


def _turning(start: Place, part: ArcTo, fine: float) -> Iterator[Place]:
    radius, first, span = sweep(start, part)
    steps = _steps(radius, span, fine)
    for number in range(1, steps):
        angle = first + span * number / steps
        yield part.centre[0] + radius * cos(angle), part.centre[1] + radius * sin(angle)


def _bending(start: Place, part: CubicTo, fine: float) -> Iterator[Place]:
    points = (start, part.first, part.second, part.end)
    reach = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))
    # A chord over 1/n of a cubic is off by at most (reach of its second differences) / (8 n²); 6 bounds them here.
    steps = min(max(ceil((6 * reach / (8 * fine)) ** 0.5), LEAST_STEPS), MOST_STEPS)
    for number in range(1, steps):
        yield cubic_at(points, number / steps)


def cubic_at(points: tuple[Place, Place, Place, Place], t: float) -> Place:
    """The point of a cubic curve at t, from 0 to 1."""
    s = 1 - t
    weights = (s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t)
    x = sum(weight * point[0] for weight, point in zip(weights, points, strict=True))
    y = sum(weight * point[1] for weight, point in zip(weights, points, strict=True))
    return x, y


def _steps(radius: float, span: float, fine: float) -> int:
    """Into how many chords an arc falls, none of which lies further than `fine` from it."""
    if radius <= fine:
        return LEAST_STEPS
    return min(max(ceil(abs(span) / (2 * acos(1 - fine / radius))), LEAST_STEPS), MOST_STEPS)
