"""Convex hulls: whether an edge of one of two keeps them apart, judged exactly."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from grading.verify.exact.fraction import Fraction
from grading.verify.geometry.shapes import Spot


def hull_of(spots: Iterable[Spot]) -> tuple[Spot, ...]:
    """Return the corners of the convex hull, left turn by left turn; fewer than 3 where all lie on a line."""
    ordered = sorted(set(spots))
    if len(ordered) < 3:
        return tuple(ordered)
    return tuple(_chain(ordered)[:-1] + _chain(ordered[::-1])[:-1])


def _chain(ordered: Sequence[Spot]) -> list[Spot]:
    chain: list[Spot] = []
    for spot in ordered:
        while len(chain) > 1 and _side(chain[-2], chain[-1], spot) <= 0:
            chain.pop()
        chain.append(spot)
    return chain


def are_apart(first: Sequence[Spot], second: Sequence[Spot], gap: Fraction) -> bool:
    """Whether an edge of one of two hulls has all of the other beyond it, at least the gap away.

    Hulls as `hull_of` returns them; a hull without an inside has no edge that keeps anything apart.
    """
    return _keeps_off(first, second, gap) or _keeps_off(second, first, gap)


def _keeps_off(hull: Sequence[Spot], other: Sequence[Spot], gap: Fraction) -> bool:
    if len(hull) < 3:
        return False
    return any(_is_beyond(hull[index - 1], corner, other, gap) for index, corner in enumerate(hull))


def _is_beyond(start: Spot, end: Spot, other: Sequence[Spot], gap: Fraction) -> bool:
    """Whether all spots lie on the right of an edge, which has its hull on the left. Squares are compared."""
    square = (end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2
    least = min(-_side(start, end, spot) for spot in other)
    return least >= 0 and least * least >= gap * gap * square


def _side(start: Spot, end: Spot, spot: Spot) -> Fraction:
    return (end[0] - start[0]) * (spot[1] - start[1]) - (end[1] - start[1]) * (spot[0] - start[0])
