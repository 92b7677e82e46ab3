"""Cut chains: the 33 points through which the cut line of an ellipse or a cubic goes, and how far an arc reaches."""

from __future__ import annotations

from grading.verify.exact.enclosures import near_root
from grading.verify.exact.fraction import Fraction
from grading.verify.geometry.bends import Bow
from grading.verify.geometry.shapes import Part, Spot

# A moved curve is a chain of 32 lines; part of the format.
STEPS = 32
AXES = ((1, 0), (0, 1), (-1, 0), (0, -1))


def outward(heading: Spot) -> Spot:
    """Return the unit vector to the left of a heading, which is outside of a clockwise outline; (0, 0) for none."""
    x, y = heading
    length = abs(x + y) if 0 in heading else near_root(x * x + y * y)
    return (-y / length, x / length) if length else heading


def passed_by(part: Part) -> list[tuple[Spot, Spot]]:
    """Return the points at t = 0, 1/32, …, 1 of an ellipse or a cubic, each with the way in which it is passed."""
    times = [Fraction(step, STEPS) for step in range(STEPS + 1)]
    if isinstance(part.bend, Bow):
        return [_of_cubic((part.start, part.bend.first, part.bend.second, part.end), t) for t in times]
    middle = part.centre or part.start
    return [_of_ellipse(middle, part.start, part.end, t) for t in times]


def _of_ellipse(middle: Spot, start: Spot, end: Spot, t: Fraction) -> tuple[Spot, Spot]:
    below = 1 + t * t
    cosine, sine = (1 - t * t) / below, 2 * t / below
    first = start[0] - middle[0], start[1] - middle[1]
    last = end[0] - middle[0], end[1] - middle[1]
    spot = middle[0] + first[0] * cosine + last[0] * sine, middle[1] + first[1] * cosine + last[1] * sine
    return spot, (last[0] * cosine - first[0] * sine, last[1] * cosine - first[1] * sine)


def _of_cubic(points: tuple[Spot, Spot, Spot, Spot], t: Fraction) -> tuple[Spot, Spot]:
    rest = 1 - t
    weights = rest**3, 3 * t * rest**2, 3 * t * t * rest, t**3
    x, y = (sum((w * p[axis] for w, p in zip(weights, points, strict=True)), Fraction(0)) for axis in (0, 1))
    steps = [(points[i + 1][0] - points[i][0], points[i + 1][1] - points[i][1]) for i in range(3)]
    slopes = rest * rest, 2 * t * rest, t * t
    dx, dy = (sum((w * step[axis] for w, step in zip(slopes, steps, strict=True)), Fraction(0)) for axis in (0, 1))
    if dx == dy == 0:
        # It comes to rest: the way in which it goes on, or at its end came in.
        towards = steps if t < 1 else steps[::-1]
        dx, dy = next((step for step in towards if any(step)), steps[0])
    return (x, y), (dx, dy)


def furthest_of_arc(centre: Spot, radius: Fraction, start: Spot, end: Spot) -> list[Spot]:
    """Return the points of an arc that turns right which lie furthest along an axis, each way."""
    first, last = (start[0] - centre[0], start[1] - centre[1]), (end[0] - centre[0], end[1] - centre[1])
    return [
        (centre[0] + x * radius, centre[1] + y * radius)
        for x, y in AXES
        if _is_passed((Fraction(x), Fraction(y)), first, last)
    ]


def _is_passed(way: Spot, first: Spot, last: Spot) -> bool:
    """Whether a direction is passed in turning right from the first direction to the last."""
    half, half_last = _is_second_half(first, way), _is_second_half(first, last)
    if half != half_last:
        return half_last
    return way[0] * last[1] - way[1] * last[0] <= 0


def _is_second_half(first: Spot, way: Spot) -> bool:
    """Whether turning right from the first direction a way lies half a turn or more on."""
    cross = first[0] * way[1] - first[1] * way[0]
    return not (cross < 0 or (cross == 0 and first[0] * way[0] + first[1] * way[1] > 0))
