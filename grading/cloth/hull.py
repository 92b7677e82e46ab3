"""The convex hulls of a shape and of the same shape turned by 180 degrees, slid together until they are a gap apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from grading.cut.geometry import Place, cross, dot, minus
from grading.exact import enclose_root


def hull(points: Iterable[Place]) -> tuple[Place, ...]:
    """The corners of the convex hull of points, counterclockwise, without those that lie on its edges; exact."""
    ordered = sorted(set(points))
    return (*_chain(ordered), *_chain(ordered[::-1]))


def _chain(ordered: Sequence[Place]) -> list[Place]:
    """The corners to the right of the way from the first point to the last, without the last."""
    corners: list[Place] = []
    for point in ordered:
        while len(corners) > 1 and cross(minus(corners[-1], corners[-2]), minus(point, corners[-2])) <= 0:
            corners.pop()
        corners.append(point)
    return corners[:-1]


def slid_together(corners: Sequence[Place], way: Place, gap: Fraction, step: Fraction) -> Fraction:
    """How far along `way`, of length 1, a hull turned by 180 degrees about (0, 0) lies at least, in whole steps, so
    that an edge of one of the two has all of the other the gap beyond it.

    A line that parts the two by an edge of the one does so by the parallel edge of the other, so that only the edges of
    one are looked at. Exact. `corners` are those of a hull that (0, 0) is in; mm.
    """
    if not gap and any(dot(normal, corner) <= 0 for corner, normal in _edges(corners)):
        # (0, 0) is on an edge, which parts the two as they lie, whatever the way.
        return Fraction(0)
    return min(
        _beyond(normal, 2 * dot(normal, corner), way, gap, step)
        for corner, normal in _edges(corners)
        if dot(normal, way) > 0
    )


def _edges(corners: Sequence[Place]) -> Iterator[tuple[Place, Place]]:
    """A corner of each edge, and the direction out of the hull over it, as long as the edge."""
    for start, end in pairwise((*corners, corners[0])):
        x, y = minus(end, start)
        yield start, (y, -x)


def _beyond(normal: Place, both: Fraction, way: Place, gap: Fraction, step: Fraction) -> Fraction:
    """The least whole number of steps along `way` that leads the gap further over an edge than both hulls reach.

    `both` is how far they reach together in the direction of `normal`, times its length.
    """
    square, rate = dot(normal, normal), dot(normal, way) * step
    steps = -(-(both + gap * enclose_root(square).low) // rate)
    while (rest := steps * rate - both) < 0 or rest * rest < gap * gap * square:
        steps += 1
    return steps * step
