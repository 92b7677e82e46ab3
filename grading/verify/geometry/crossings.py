"""Crossings: whether lines and curves of an outline meet, shown by halving them until they are clearly apart.

Two stretches are apart where a line parts their points of control. Neighbours share a corner: they have no other point
in common where a line through the corner parts the points of control of both from each other. A curve that runs on in
one direction does not cross itself. What can be shown in none of these ways counts as meeting.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import isqrt

from grading.verify.geometry.stretches import DEEPEST, ROUNDING, Dot, Stretch

# Pairs of stretches to look at before two edges count as meeting.
MOST_PAIRS = 6000
# Directions are whole numbers of about this many digits; what is nearer to a parting line than a part in 2**40 of its
# distance from the corner counts as lying on it.
_WAY_PLACES = 60
_NARROW = 40
Way = tuple[int, int]


def first_meeting(
    stretches: Sequence[Stretch], straight: Sequence[bool], touch: Callable[[int, int], bool]
) -> tuple[int, int] | None:
    """Return the places of two parts of an outline that meet where they should not, or None.

    Parts that are `straight` (lines and quarter arcs) are judged among each other by `touch`.
    """
    count = len(stretches)
    for index, stretch in enumerate(stretches):
        if not straight[index] and not is_simple(stretch):
            return index, index
    order = sorted(range(count), key=lambda index: stretches[index].box[0])
    active: list[int] = []
    for index in order:
        left = stretches[index].box[0] - ROUNDING
        active = [other for other in active if stretches[other].box[1] >= left]
        for other in active:
            first, second = min(index, other), max(index, other)
            if straight[first] and straight[second]:
                met = touch(first, second)
            else:
                forward, around = second == first + 1, first == 0 and second == count - 1
                met = not are_apart(stretches[first], stretches[second], forward, around)
            if met:
                return first, second
        active.append(index)
    return None


def is_simple(stretch: Stretch) -> bool:
    """Whether it shows that a stretch does not cross or touch itself, nor comes to rest."""
    waiting, looked = [stretch], 0
    while waiting:
        part = waiting.pop()
        looked += 1
        if _runs_on(part):
            continue
        if part.depth >= DEEPEST or looked > MOST_PAIRS:
            return False
        first, second = part.halves
        if not are_apart(first, second, forward=True, around=False):
            return False
        waiting += [first, second]
    return True


def _runs_on(stretch: Stretch) -> bool:
    """Whether all steps between its points of control go in the direction of its chord."""
    dots = stretch.dots
    way = _way(dots[0], dots[-1])
    return way != (0, 0) and all(
        _reach(way, first, second) > ROUNDING << _WAY_PLACES for first, second in pairwise(dots)
    )


def are_apart(first: Stretch, second: Stretch, forward: bool, around: bool) -> bool:
    """Whether it shows that two stretches do not meet.

    `forward`: but for the end of the first, at which the second starts; `around`: but for the end of the second, at
    which the first starts.
    """
    waiting, looked = [(first, second, forward, around)], 0
    while waiting:
        one, other, forward, around = waiting.pop()
        looked += 1
        if not forward and not around:
            if _parted(one, other):
                continue
        elif forward != around and (_parted_at(one, other) if forward else _parted_at(other, one)):
            continue
        if min(one.depth, other.depth) >= DEEPEST or looked > MOST_PAIRS:
            return False
        if forward or around:
            (a, b), (c, d) = one.halves, other.halves
            waiting += [(a, c, False, False), (b, d, False, False), (b, c, forward, False), (a, d, False, around)]
        elif one.extent > other.extent:
            waiting += [(half, other, False, False) for half in one.halves]
        else:
            waiting += [(one, half, False, False) for half in other.halves]
    return True


def _parted(one: Stretch, other: Stretch) -> bool:
    """Whether a line parallel to an axis, or to one of the chords, parts them."""
    (left, right, bottom, top), (l2, r2, b2, t2) = one.box, other.box
    if left > r2 + ROUNDING or l2 > right + ROUNDING or bottom > t2 + ROUNDING or b2 > top + ROUNDING:
        return True
    for stretch in (one, other):
        x, y = _way(stretch.dots[0], stretch.dots[-1])
        across = (-y, x)
        first, second = ([_reach(across, (0, 0), dot) for dot in item.dots] for item in (one, other))
        slack = ROUNDING << _WAY_PLACES
        if min(first) > max(second) + slack or min(second) > max(first) + slack:
            return True
    return False


def _parted_at(before: Stretch, after: Stretch) -> bool:
    """Whether a line through the corner where `before` ends and `after` starts parts them.

    It is the one that makes equal angles with both, so that none parts them better close to the corner.
    """
    corner = after.dots[0]
    back = [dot for dot in before.dots[:-1] if not _is_at(dot, corner)]
    on = [dot for dot in after.dots[1:] if not _is_at(dot, corner)]
    if not back or not on:
        return False
    (ax, ay), (bx, by) = _way(corner, back[-1]), _way(corner, on[0])
    way = (bx - ax, by - ay)
    return all(_lies(way, corner, dot) for dot in on) and all(_lies((-way[0], -way[1]), corner, dot) for dot in back)


def _lies(way: Way, corner: Dot, dot: Dot) -> bool:
    distance = abs(dot[0] - corner[0]) + abs(dot[1] - corner[1])
    return _reach(way, corner, dot) > ((distance >> _NARROW) + ROUNDING) << _WAY_PLACES


def _is_at(dot: Dot, corner: Dot) -> bool:
    return abs(dot[0] - corner[0]) <= ROUNDING and abs(dot[1] - corner[1]) <= ROUNDING


def _way(start: Dot, end: Dot) -> Way:
    """Return the direction from start to end as a vector of about 2**_WAY_PLACES units."""
    x, y = end[0] - start[0], end[1] - start[1]
    length = isqrt(x * x + y * y)
    return (0, 0) if length == 0 else ((x << _WAY_PLACES) // length, (y << _WAY_PLACES) // length)


def _reach(way: Way, start: Dot, end: Dot) -> int:
    return way[0] * (end[0] - start[0]) + way[1] * (end[1] - start[1])
