"""Plans of strips made better: some strips are taken out and their pieces cut anew, again and again.

What the pieces are worth to the filling of a strip is their area, made a little uneven by chance, and the height of a
strip is that of a piece that is hard to place, or of some. A plan that is not longer replaces the one before, and now
and then one that is. (Knapsacks over pieces whose values change, strip after strip: after G. Belov and G. Scheithauer,
"Setup and open-stacks minimization in one-dimensional stock cutting", INFORMS Journal on Computing 19 (2007) 27-35;
from memory.)
"""

from __future__ import annotations

from typing import Final

import numpy as np

from grading.packing.kernel import kernel
from grading.packing.knapsack import Whole
from grading.packing.strip_filling import KIND, STRIP, WAY, fill_strip

TAKEN_OUT: Final = 3
"""Strips cut anew at a time; these shares and numbers were found by trying."""
ALL_ANEW: Final = 0.02
"""Share of the trials in which all strips are cut anew."""
UNEVEN: Final = 0.1
"""By how much of itself a piece's worth may be off."""
LARGE_FIRST: Final = 0.1
"""By up to how much the power of the area is above one, so that large pieces are worth more."""
LOW: Final = 0.8
"""Share of the pieces that are laid along their shorter side where they give a strip its height."""
ANY: Final = 0.1
"""Share of the strips whose height is that of any piece, however easy it is to place."""
STACKED: Final = 0.35
"""Share of the strips whose height is that of a further piece too, of these that of yet another, and so on."""
MOST_HEIGHTS: Final = 32
"""Kinds whose heights are tried for the fullest strip."""
WORTH: Final = 1 << 40
"""What all pieces are worth together, about."""


@kernel("int64(int64[:, ::1], int64)")
def _height_of(alongs: Whole, kind: int) -> int:
    low, high = min(alongs[kind, 0], alongs[kind, 1]), max(alongs[kind, 0], alongs[kind, 1])
    return int(low if np.random.random() < LOW else high)


@kernel("int64(int64[:, ::1], int64[::1])")
def _hardest(alongs: Whole, left: Whole) -> int:
    """The kind that is longest along its shorter side, or nearly."""
    hardest, most = 0, 0.0
    for kind in range(left.shape[0]):
        if left[kind] > 0:
            hard = min(alongs[kind, 0], alongs[kind, 1]) * (LOW + (1 - LOW) * np.random.random())
            if hard > most:
                hardest, most = kind, hard
    return hardest


@kernel("int64(int64[::1], int64)")
def _any(left: Whole, besides: int) -> int:
    """Any kind of which a piece is left besides one of this kind (-1: of none); -1 if there is none."""
    first = int(np.random.randint(left.shape[0]))
    for step in range(left.shape[0]):
        kind = (first + step) % left.shape[0]
        if left[kind] > (kind == besides):
            return int(kind)
    return -1


@kernel("int64(int64[:, ::1], int64[::1])")
def _strip_height(alongs: Whole, left: Whole) -> int:
    """A height for a strip: that of a piece, mostly one that is hard to place, or of some on top of one another."""
    kind = _any(left, -1) if np.random.random() < ANY else _hardest(alongs, left)
    height = 0
    while kind >= 0:
        height += _height_of(alongs, kind)
        kind = _any(left, kind) if np.random.random() < STACKED else -1
    return height


@kernel("void(int64[::1], int64, int64[::1])")
def _set_worths(areas: Whole, total: int, worths: Whole) -> None:
    """Worths for the kinds, from the area of a piece and that of all pieces."""
    power = 1.0 + LARGE_FIRST * np.random.random()
    uneven = UNEVEN * np.random.random()
    for kind in range(areas.shape[0]):
        worth = (areas[kind] / total) ** power * (1 + uneven * (2 * np.random.random() - 1))
        worths[kind] = max(1, int(worth * WORTH))


@kernel(
    "UniTuple(int64, 3)(int64[:, ::1], int64[:, ::1], int64[::1], int64, int64, int64[::1], int64[:, ::1], int64[::1])"
)
def _take_out(
    ways: Whole, plan: Whole, heights: Whole, strips: int, number: int, left: Whole, new: Whole, new_heights: Whole
) -> tuple[int, int, int]:
    """Copy the plan without some strips, whose pieces are then left; gives pieces and strips kept, and their length."""
    renumbered = np.zeros(strips, dtype=np.int64)
    out = number
    while out > 0:
        strip = np.random.randint(strips)
        if renumbered[strip] == 0:
            renumbered[strip] = -1
            out -= 1
    kept, length = 0, 0
    for strip in range(strips):
        if renumbered[strip] == 0:
            renumbered[strip] = kept
            new_heights[kept] = heights[strip]
            length += heights[strip]
            kept += 1
    pieces = 0
    for piece in range(plan.shape[0]):
        strip = renumbered[plan[piece, STRIP]]
        if strip < 0:
            left[ways[plan[piece, WAY], KIND]] += 1
        else:
            new[pieces] = plan[piece]
            new[pieces, STRIP] = strip
            pieces += 1
    return pieces, kept, length


@kernel(
    "UniTuple(int64, 2)(int64[:, ::1], int64[:, ::1], int64[::1], int64, int64[::1], int64[::1], int64[::1],"
    "int64[:, ::1], int64[::1], int64, int64, int64, float64)"
)
def _cut_rest(
    ways: Whole, alongs: Whole, areas: Whole, width: int, cell: Whole, left: Whole, worths: Whole,
    new: Whole, heights: Whole, pieces: int, strip: int, length: int, limit: float,
) -> tuple[int, int]:  # fmt: skip
    """Cut what is left into further strips while the limit can be kept; gives all pieces placed, and the length."""
    rest = (left * areas).sum()
    while pieces < new.shape[0] and length + rest / width <= limit:
        first = pieces
        height = _strip_height(alongs, left)
        pieces, heights[strip] = fill_strip(ways, left, worths, width, cell, height, strip, new, pieces)
        for piece in range(first, pieces):
            rest -= areas[ways[new[piece, WAY], KIND]]
        length += heights[strip]
        strip += 1
    heights[strip:] = 0
    return pieces, length


@kernel(
    "int64(int64[:, ::1], int64[:, ::1], int64[::1], int64, int64[::1], int64[:, ::1], int64[::1],"
    "int64[:, ::1], int64[::1], int64, int64, float64, float64, int64)"
)
def improve(
    ways: Whole, alongs: Whole, areas: Whole, width: int, cell: Whole, plan: Whole, heights: Whole,
    best: Whole, best_heights: Whole, trials: int, enough: int, warm: float, cool: float, seed: int,
) -> int:  # fmt: skip
    """Try to better a plan; the plan goes on being changed, the best one is kept. Gives the best length.

    ways      the table of ways; `alongs`: for each kind, the measures along of its first and last way
    areas     of a piece of each kind
    heights   of the strips, 0 where there is none: those of the plan, and of the best
    warm      steps by which a plan may be longer, about, to replace the one before: at first, `cool` at last
    """
    np.random.seed(seed)
    left, worths = np.zeros_like(areas), np.zeros_like(areas)
    total = 0
    for piece in range(plan.shape[0]):
        total += areas[ways[plan[piece, WAY], KIND]]
    new, new_heights = np.empty_like(plan), np.empty_like(heights)
    length, shortest = heights.sum(), best_heights.sum()
    for trial in range(trials):
        if shortest <= enough:
            break
        strips = (heights > 0).sum()
        number = strips if np.random.random() < ALL_ANEW else min(strips, TAKEN_OUT)
        left[:] = 0
        pieces, kept, new_length = _take_out(ways, plan, heights, strips, number, left, new, new_heights)
        _set_worths(areas, total, worths)
        limit = length - (warm + (cool - warm) * trial / trials) * np.log(1 - np.random.random())
        pieces, new_length = _cut_rest(
            ways, alongs, areas, width, cell, left, worths, new, new_heights, pieces, kept, new_length, limit
        )
        if pieces == plan.shape[0] and new_length <= limit:
            plan[:], heights[:], length = new, new_heights, new_length
            if length < shortest:
                best[:], best_heights[:], shortest = new, new_heights, length
    return int(shortest)


@kernel("int64(int64[:, ::1], int64[::1])")
def _greatest_height(alongs: Whole, left: Whole) -> int:
    """The height that some piece needs, even along its shorter side."""
    height = 0
    for kind in range(left.shape[0]):
        if left[kind] > 0:
            height = max(height, min(alongs[kind, 0], alongs[kind, 1]))
    return height


@kernel("int64(int64[:, ::1], int64[:, ::1], int64[::1], int64, int64[::1], int64[::1], int64[:, ::1], int64)")
def _fullest_height(
    ways: Whole, alongs: Whole, areas: Whole, width: int, cell: Whole, left: Whole, trial: Whole, pieces: int
) -> int:
    """The height of a piece with which a strip is filled best; the trial plan is written to."""
    fullest, height = -1.0, _greatest_height(alongs, left)
    for kind in range(0, left.shape[0], left.shape[0] // MOST_HEIGHTS + 1):
        for way in range(2 if left[kind] > 0 else 0):
            tried = left.copy()
            _, reached = fill_strip(ways, tried, areas, width, cell, alongs[kind, way], 0, trial, pieces)
            full = ((left - tried) * areas).sum() / reached
            if full > fullest:
                fullest, height = full, alongs[kind, way]
    return height


@kernel(
    "int64(int64[:, ::1], int64[:, ::1], int64[::1], int64, int64[::1], int64[::1], boolean, int64[:, ::1], int64[::1])"
)
def first_plan(
    ways: Whole, alongs: Whole, areas: Whole, width: int, cell: Whole, left: Whole, fullest: bool,
    plan: Whole, heights: Whole,
) -> int:  # fmt: skip
    """A plan of all pieces that are left, the fullest strip first or the highest. Gives its length."""
    np.random.seed(0)
    pieces, strip = 0, 0
    trial = np.empty_like(plan)
    while pieces < plan.shape[0]:
        if fullest:
            height = _fullest_height(ways, alongs, areas, width, cell, left, trial, pieces)
        else:
            height = _greatest_height(alongs, left)
        pieces, heights[strip] = fill_strip(ways, left, areas, width, cell, height, strip, plan, pieces)
        strip += 1
    return int(heights.sum())
