"""One strip filled: the most valuable stacks of pieces for columns of every width, and the best columns side by side.

Two knapsacks, one in the other. Pieces are taken by their measure across, narrow ones first; the knapsack over the
height of the strip then gives, after all pieces up to a width, the best stack for a column of that width. The knapsack
over the width of the cloth puts stacks side by side. As both know nothing of pieces that two stacks would share, stacks
are taken from the best one on, for as long as their pieces are left; what remains of the strip is then filled anew.

Each knapsack is solved exactly, in cells: whole numbers of steps, so many that the cells are few enough.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from grading.packing.kernel import kernel
from grading.packing.knapsack import Flags, Whole, fill_one_by_one

ACROSS: Final = 0
ALONG: Final = 1
KIND: Final = 2
TURNED: Final = 3
"""Columns of the table of ways, whose rows are sorted by the measure across."""

AFRESH: Final = 0.3
"""How often what is left of the strip is filled anew after a stack, though others could be taken too."""

ENOUGH: Final = 150
"""Pieces that a strip can well be chosen from: of more, a part is taken by chance."""

STRIP: Final = 0
COLUMN: Final = 1
WAY: Final = 2
"""Columns of a plan, whose rows are pieces: the strip, the column in it, and the row in the table of ways."""


@kernel("int64(int64[:, ::1], int64[::1], int64, int64, float64, int64[::1])")
def _copies(ways: Whole, left: Whole, height: int, room: int, share: float, copies: Whole) -> int:
    """List the way of each piece that could lie in the strip, once for each piece of its kind; gives how many.

    Of the ways, only a share by chance.
    """
    count = 0
    for way in range(ways.shape[0]):
        if ways[way, ALONG] <= height and ways[way, ACROSS] <= room and (share >= 1 or np.random.random() < share):
            for _ in range(min(left[ways[way, KIND]], height // ways[way, ALONG])):
                copies[count] = way
                count += 1
    return count


@kernel("int64(int64[:, ::1], int64[::1], int64[::1], int64, int64[:, ::1])")
def _stacks(ways: Whole, copies: Whole, after: Whole, count: int, stacks: Whole) -> int:
    """For each width from which a better stack is possible: how many copies it draws on, their width; how many."""
    found, value = 0, 0
    for copy in range(count):
        across = ways[copies[copy], ACROSS]
        last = copy == count - 1 or ways[copies[copy + 1], ACROSS] != across
        if last and after[copy] > value:
            value = after[copy]
            stacks[found, 0], stacks[found, 1], stacks[found, 2] = copy + 1, across, value
            found += 1
    return found


@kernel("int64(int64[:, ::1], int64[::1], int64[::1], boolean[:, ::1], int64, int64, int64[::1], int64[::1])")
def _members(
    ways: Whole, copies: Whole, sizes: Whole, taken: Flags, drawn: int, cells: int, left: Whole, members: Whole
) -> int:
    """List the ways in the best stack of the copies drawn on; gives their number, below zero if not all are left."""
    count, enough = 0, True
    for copy in range(drawn - 1, -1, -1):
        if taken[copy, cells]:
            way, used = copies[copy], 1
            for other in range(count):
                used += ways[members[other], KIND] == ways[way, KIND]
            enough = enough and used <= left[ways[way, KIND]]
            members[count] = way
            count += 1
            cells -= sizes[copy]
    return count if enough else -count


@kernel("int64(int64[:, ::1], int64[::1], int64[::1], int64)")
def _times(ways: Whole, left: Whole, members: Whole, count: int) -> int:
    """How often a stack of these members can be made of the pieces that are left; once at least."""
    times = 1 << 30
    for member in range(count):
        kind, used = ways[members[member], KIND], 0
        for other in range(count):
            used += ways[members[other], KIND] == kind
        times = min(times, left[kind] // used)
    return max(times, 1)


@kernel("UniTuple(int64, 2)(int64[:, ::1], int64[::1], int64, int64[::1], int64, int64, int64[:, ::1], int64)")
def _take(
    ways: Whole, members: Whole, count: int, left: Whole, strip: int, column: int, plan: Whole, placed: int
) -> tuple[int, int]:
    """Put the members that are left into a column of the plan; gives the column's width, and its height."""
    width, height = 0, 0
    for member in range(count):
        way = members[member]
        if left[ways[way, KIND]] > 0:
            left[ways[way, KIND]] -= 1
            plan[placed, STRIP], plan[placed, COLUMN], plan[placed, WAY] = strip, column, way
            placed += 1
            width = max(width, ways[way, ACROSS])
            height += ways[way, ALONG]
    return width, height


@kernel("int64(int64[:, ::1], int64, int64[::1], int64[::1], int64, int64, int64[::1])")
def _side_by_side(
    stacks: Whole, count: int, times: Whole, cells_across: Whole, capacity: int, most: int, chosen: Whole
) -> int:
    """Choose the stacks with the greatest value that fit the capacity, densest first; gives how many."""
    sizes, values = np.empty(most, dtype=np.int64), np.empty(most, dtype=np.int64)
    source = np.empty(most, dtype=np.int64)
    options = 0
    for stack in range(count):
        for _ in range(min(times[stack], capacity // cells_across[stack])):
            if options < most:
                sizes[options], values[options], source[options] = cells_across[stack], stacks[stack, 2], stack
                options += 1
    greatest, after = np.empty(capacity + 1, dtype=np.int64), np.empty(options, dtype=np.int64)
    taken = np.empty((options, capacity + 1), dtype=np.bool_)
    fill_one_by_one(sizes, values, options, capacity, greatest, after, taken)
    found, density = 0, np.empty(options, dtype=np.float64)
    for option in range(options - 1, -1, -1):
        if taken[option, capacity]:
            stack = source[option]
            place, dense = found, stacks[stack, 2] / stacks[stack, 1]
            while place > 0 and density[place - 1] < dense:
                chosen[place], density[place] = chosen[place - 1], density[place - 1]
                place -= 1
            chosen[place], density[place] = stack, dense
            found += 1
            capacity -= sizes[option]
    return found


@kernel(
    "UniTuple(int64, 2)(int64[:, ::1], int64[::1], int64[::1], int64, int64[::1], int64, int64, int64[:, ::1], int64)"
)
def fill_strip(
    ways: Whole, left: Whole, values: Whole, width: int, cell: Whole, height: int, strip: int, plan: Whole, placed: int
) -> tuple[int, int]:
    """Fill a strip from its near edge on with the pieces that are left; gives the pieces placed so far, and its height.

    `cell`: the steps of a cell across and along. What is placed is taken off `left` and written to the plan from row
    `placed` on. The height of the strip may be passed by less than a cell.
    """
    most = left.sum() * 2
    copies, sizes, worths = (
        np.empty(most, dtype=np.int64),
        np.empty(most, dtype=np.int64),
        np.empty(most, dtype=np.int64),
    )
    cells = -(-height // cell[1])
    greatest, after = np.empty(cells + 1, dtype=np.int64), np.empty(most, dtype=np.int64)
    taken = np.empty((most, cells + 1), dtype=np.bool_)
    stacks = np.empty((ways.shape[0], 3), dtype=np.int64)
    times, cells_across = np.empty(ways.shape[0], dtype=np.int64), np.empty(ways.shape[0], dtype=np.int64)
    members, chosen = np.empty(most, dtype=np.int64), np.empty(most, dtype=np.int64)
    room, column, tallest = width, 0, 0
    while True:
        count = _copies(ways, left, height, room, ENOUGH / max(left.sum(), 1), copies)
        if count == 0:
            count = _copies(ways, left, height, room, 1.0, copies)
        if count == 0:
            return placed, tallest
        for copy in range(count):
            sizes[copy] = min(-(-ways[copies[copy], ALONG] // cell[1]), cells)
            worths[copy] = values[ways[copies[copy], KIND]]
        fill_one_by_one(sizes, worths, count, cells, greatest, after, taken)
        found = _stacks(ways, copies, after, count, stacks)
        capacity = max(room // cell[0], 1)
        for stack in range(found):
            number = abs(_members(ways, copies, sizes, taken, stacks[stack, 0], cells, left, members))
            times[stack] = _times(ways, left, members, number)
            cells_across[stack] = min(-(-stacks[stack, 1] // cell[0]), capacity)
        for turn in range(_side_by_side(stacks, found, times, cells_across, capacity, most, chosen)):
            number = _members(ways, copies, sizes, taken, stacks[chosen[turn], 0], cells, left, members)
            if number < 0 and turn > 0:
                break
            before = left.sum()
            used, high = _take(ways, members, abs(number), left, strip, column, plan, placed)
            placed += before - left.sum()
            room, column, tallest = room - used, column + 1, max(tallest, high)
            if number < 0 or np.random.random() < AFRESH:
                break
