"""The skyline of what lies on the strip, and the decoder that fills its lowest gap with the item that fits it best.

An order of items becomes a packing: the lowest gap of the skyline, leftmost first, takes the item that fits it best,
and among items that fit equally well the one that comes first in the order. Which fit is better is coarse on purpose:
the search works through the order. After Wei, Oon, Zhu and Lim, "A skyline heuristic for the 2D rectangular packing
and strip packing problems" (European Journal of Operational Research 215, 2011), with sets of items as bits.
"""

from __future__ import annotations

from typing import Any

from numba.cpython.unsafe.numbers import trailing_zeros

from grading.packing.kernel import kernel
from grading.packing.table import (
    ACROSS,
    ALONG,
    AREA,
    AT_FOLD,
    EVERY_ACROSS,
    EVERY_ALONG,
    HEIGHT_RANK,
    HEIGHT_SHIFT,
    HELD,
    HELD_ENTRIES,
    IN_ORDER,
    ITEM,
    LEFT_OF_WIDTH,
    MOTIF_ACROSS,
    MOTIF_ALONG,
    START,
    WAY,
    WIDTH,
    WIDTH_RANK,
    WIDTH_SHIFT,
    Whole,
    X,
    Y,
)

number_of_lowest_bit: Any = trailing_zeros

ENDLESS = 1 << 60
"""The height of the walls beside the strip, and the cost of a packing that was given up."""

FILLS_LEVEL, FILLS, LEVEL_LEFT, LEVEL_RIGHT, TIGHT_LEFT, TIGHT_RIGHT, USABLE, FITS, WASTEFUL, NONE = range(9, -1, -1)
"""How well an item fits a gap, best first: it fills the gap and ends level with a wall; it fills the gap; it stands
level at the left or the right wall and leaves a rest that another item may use, or one that none can; it leaves a rest
that another may use; it fits; it fits only far from the corner, for its motif; it does not fit."""


@kernel("int64(int64[::1], int64[::1], int64, int64, int64, int64, int64)", lean=True)
def lay(edges: Whole, tops: Whole, count: int, segment: int, near: int, far: int, top: int) -> int:
    """Raise the skyline to `top` from `near`, which lies in this segment, to `far`; give the new count of segments.

    Segment k runs from edges[k] to edges[k + 1] at tops[k]; neighbours at one height are one segment.
    """
    first, last = segment, segment
    while edges[last + 1] < far:
        last += 1
    if edges[first] == near and first > 0 and tops[first - 1] == top:
        first -= 1
        near = edges[first]
    if edges[last + 1] == far and last + 1 < count and tops[last + 1] == top:
        last += 1
        far = edges[last + 1]
    before, after, beyond = edges[first] < near, far < edges[last + 1], tops[last]
    shift = before + after + first - last
    if shift > 0:
        for k in range(count - 1, last, -1):
            edges[k + shift + 1] = edges[k + 1]
            tops[k + shift] = tops[k]
        edges[last + shift + 1] = edges[last + 1]
    elif shift < 0:
        edges[last + shift + 1] = edges[last + 1]
        for k in range(last + 1, count):
            tops[k + shift] = tops[k]
            edges[k + shift + 1] = edges[k + 1]
    place = first + before
    edges[place] = near
    tops[place] = top
    if after:
        edges[place + 1] = far
        tops[place + 1] = beyond
    return int(count + shift)


@kernel("int64(int64[::1], int64[::1], int64, int64)", lean=True)
def _up_to(values: Whole, table: Whole, shift: int, value: int) -> int:
    """How many of the sorted values are not above this one; the table holds where to begin to look."""
    begin = value >> shift
    if begin >= table.shape[0]:
        return int(values.shape[0])
    rank = int(table[begin])
    while rank < values.shape[0] and values[rank] <= value:
        rank += 1
    return rank


@kernel("int64(int64[::1], int64[::1], int64)", lean=True)
def _first_of_both(some: Whole, others: Whole, begin: int) -> int:
    """The first number in both sets, or -1; `begin` is the word to begin with."""
    for word in range(begin, some.shape[0]):
        bits = some[word] & others[word]
        if bits:
            return int((word << 6) + number_of_lowest_bit(bits))
    return -1


@kernel("int64(int64[::1], int64[::1], int64[::1], int64)", lean=True)
def _first_of_three(some: Whole, others: Whole, thirds: Whole, begin: int) -> int:
    for word in range(begin, some.shape[0]):
        bits = some[word] & others[word] & thirds[word]
        if bits:
            return int((word << 6) + number_of_lowest_bit(bits))
    return -1


@kernel("int64(int64[::1], int64[:, ::1], int64[:, ::1], int64[:, ::1], int64[:, ::1], int64)", lean=True)
def _enter(order: Whole, items: Whole, ways: Whole, sets: Whole, lists: Whole, widths: int) -> int:
    """Fill the sets and lists for this order of ways; an entry stands for a way in all of them.

    Row 0 of the sets has all entries; then, for each width rank, those of that width; for each, those of no greater
    width; and for each height rank those of that height. Entries of held items are in row 0 only; gives their count.
    """
    sets[:] = 0
    lists[LEFT_OF_WIDTH] = 0
    entry, held = 0, 0
    for place in range(order.shape[0]):
        way = order[place]
        item = ways[ITEM, way]
        for _ in range(items[START, item + 1] - items[START, item]):
            word, bit = entry >> 6, 1 << (entry & 63)
            lists[IN_ORDER, entry] = way
            lists[LEFT_OF_WIDTH, ways[WIDTH_RANK, way]] += 1
            sets[0, word] |= bit
            if items[HELD, item] == 0:
                sets[1 + ways[WIDTH_RANK, way], word] |= bit
                sets[1 + 2 * widths + ways[HEIGHT_RANK, way], word] |= bit
            else:
                lists[HELD_ENTRIES, held] = entry
                held += 1
            entry += 1
            way = items[START, item] + items[START, item + 1] - 1 - way  # the other way, if there are two
    for word in range(sets.shape[1]):
        bits = 0
        for rank in range(widths):
            bits |= sets[1 + rank, word]
            sets[1 + widths + rank, word] = bits
    return held


@kernel(
    "UniTuple(int64, 2)(int64, int64, int64, int64, int64, int64[::1], int64[::1], int64[::1], int64[::1], int64[::1],"
    "int64[:, ::1], int64)",
    lean=True,
)
def _best_free(
    gap: int,
    left: int,
    right: int,
    fitting: int,
    least: int,
    strip: Whole,
    widths: Whole,
    width_table: Whole,
    heights: Whole,
    height_table: Whole,
    sets: Whole,
    begin: int,
) -> tuple[int, int]:
    """The best fit for a gap and the first entry with it, of items that are not held.

    `left` and `right` are the heights of the walls above the gap, `fitting` is how many width ranks are no wider than
    the gap, `least` the least width that is left, `begin` the first word of the sets that has any left.
    """
    left_rank, right_rank = -1, -1
    if left <= heights[-1]:
        rank = _up_to(heights, height_table, strip[HEIGHT_SHIFT], left)
        if rank > 0 and heights[rank - 1] == left:
            left_rank = 1 + 2 * widths.shape[0] + rank - 1
    if right <= heights[-1] and right != left:
        rank = _up_to(heights, height_table, strip[HEIGHT_SHIFT], right)
        if rank > 0 and heights[rank - 1] == right:
            right_rank = 1 + 2 * widths.shape[0] + rank - 1
    entry = -1
    if widths[fitting - 1] == gap:
        if left_rank >= 0:
            entry = _first_of_three(sets[0], sets[fitting], sets[left_rank], begin)
        if entry < 0 and right_rank >= 0:
            entry = _first_of_three(sets[0], sets[fitting], sets[right_rank], begin)
        if entry >= 0:
            return FILLS_LEVEL, entry
        entry = _first_of_both(sets[0], sets[fitting], begin)
        if entry >= 0:
            return FILLS, entry
    usable = _up_to(widths, width_table, strip[WIDTH_SHIFT], gap - least)
    for ranks, fit in ((usable, LEVEL_LEFT), (fitting, TIGHT_LEFT)):
        if ranks > 0 and left_rank >= 0:
            entry = _first_of_three(sets[0], sets[widths.shape[0] + ranks], sets[left_rank], begin)
            if entry >= 0:
                return fit, entry
        if ranks > 0 and right_rank >= 0:
            entry = _first_of_three(sets[0], sets[widths.shape[0] + ranks], sets[right_rank], begin)
            if entry >= 0:
                return fit - 1, entry
    if usable > 0:
        entry = _first_of_both(sets[0], sets[widths.shape[0] + usable], begin)
        if entry >= 0:
            return USABLE, entry
    entry = _first_of_both(sets[0], sets[widths.shape[0] + fitting], begin)
    return (FITS, entry) if entry >= 0 else (NONE, -1)


@kernel("int64(int64, int64, int64, int64, int64, int64, int64, int64)", lean=True)
def _fit_of_held(gap: int, left: int, right: int, least: int, across: int, along: int, aside: int, ahead: int) -> int:
    """How well an item fits that lies this far aside and ahead of the gap's corner, for its motif."""
    if aside + across > gap:
        return NONE
    if aside or ahead:
        waste, area = aside * along + ahead * across, across * along
        return USABLE if waste * 4 <= area else FITS if waste * 2 <= area else WASTEFUL
    if across == gap:
        return FILLS_LEVEL if along in (left, right) else FILLS
    usable = gap - across >= least
    if along == left:
        return LEVEL_LEFT if usable else TIGHT_LEFT
    return USABLE if usable else FITS


@kernel("UniTuple(int64, 2)(int64, int64, int64, int64[:, ::1])", lean=True)
def to_motif(near: int, floor: int, item: int, items: Whole) -> tuple[int, int]:
    """How far aside and ahead of a corner the item's motif allows it to lie first."""
    aside, ahead = 0, 0
    if items[EVERY_ACROSS, item] > 0:
        aside = (items[MOTIF_ACROSS, item] - near) % items[EVERY_ACROSS, item]
    if items[EVERY_ALONG, item] > 0:
        ahead = (items[MOTIF_ALONG, item] - floor) % items[EVERY_ALONG, item]
    return aside, ahead


@kernel(
    "UniTuple(int64, 2)(int64, int64, int64, int64, int64, int64, int64, int64[:, ::1], int64[:, ::1], int64[:, ::1],"
    "int64[:, ::1])",
    lean=True,
)
def _best_held(
    held: int,
    gap: int,
    near: int,
    floor: int,
    left: int,
    right: int,
    least: int,
    items: Whole,
    ways: Whole,
    sets: Whole,
    lists: Whole,
) -> tuple[int, int]:
    """The best fit for a gap and the first entry with it, of items that their motif or the fold holds."""
    best, chosen = NONE, -1
    for number in range(held):
        entry = lists[HELD_ENTRIES, number]
        way = lists[IN_ORDER, entry]
        item = ways[ITEM, way]
        if sets[0, entry >> 6] >> (entry & 63) & 1 == 0 or (items[AT_FOLD, item] and near > 0):
            continue
        aside, ahead = to_motif(near, floor, item, items)
        fit = _fit_of_held(gap, left, right, least, ways[ACROSS, way], ways[ALONG, way], aside, ahead)
        if fit > best:
            best, chosen = fit, entry
    return best, chosen


@kernel("void(int64, int64, int64[:, ::1], int64[:, ::1], int64[:, ::1], int64[:, ::1])", lean=True)
def _take(entry: int, way: int, items: Whole, ways: Whole, sets: Whole, lists: Whole) -> None:
    """Take an item off the sets of what is left."""
    item = ways[ITEM, way]
    first = entry if entry == 0 or ways[ITEM, lists[IN_ORDER, entry - 1]] != item else entry - 1
    for other in range(items[START, item], items[START, item + 1]):
        lists[LEFT_OF_WIDTH, ways[WIDTH_RANK, other]] -= 1
        sets[0, first >> 6] &= ~(1 << (first & 63))
        first += 1


@kernel(
    "UniTuple(int64, 2)(int64[::1], int64, int64, int64[::1], int64[:, ::1], int64[:, ::1], int64[::1], int64[::1],"
    "int64[::1], int64[::1], int64[:, ::1], int64[:, ::1], int64[::1], int64[::1], int64[:, ::1])",
    lean=True,
)
def fill_lowest_gaps(
    order: Whole,
    target: int,
    limit: int,
    strip: Whole,
    items: Whole,
    ways: Whole,
    widths: Whole,
    width_table: Whole,
    heights: Whole,
    height_table: Whole,
    sets: Whole,
    lists: Whole,
    edges: Whole,
    tops: Whole,
    places: Whole,
) -> tuple[int, int]:
    """Decode an order of ways, of which the items count: the length, and the area that is used beyond `target`.

    Both are ENDLESS as soon as it is clear that this area is above the limit.
    """
    held = _enter(order, items, ways, sets, lists, widths.shape[0])
    edges[0], edges[1], tops[0] = 0, strip[WIDTH], 0
    count, placed, length, beyond, waste, least, begin = 1, 0, 0, 0, 0, 0, 0
    spare = strip[WIDTH] * target - strip[AREA]
    while placed < order.shape[0]:
        while sets[0, begin] == 0:
            begin += 1
        while lists[LEFT_OF_WIDTH, least] == 0:
            least += 1
        lowest = 0
        for segment in range(1, count):
            if tops[segment] < tops[lowest]:
                lowest = segment
        near, far, floor = edges[lowest], edges[lowest + 1], tops[lowest]
        gap = far - near
        left = tops[lowest - 1] - floor if lowest > 0 else ENDLESS
        right = tops[lowest + 1] - floor if lowest + 1 < count else ENDLESS
        fit, entry = NONE, -1
        fitting = _up_to(widths, width_table, strip[WIDTH_SHIFT], gap)
        if fitting > least:
            fit, entry = _best_free(
                gap, left, right, fitting, widths[least], strip, widths, width_table, heights, height_table, sets, begin
            )
        if held:
            other_fit, other = _best_held(held, gap, near, floor, left, right, widths[least], items, ways, sets, lists)
            if other_fit > fit or (other_fit == fit and other < entry):
                fit, entry = other_fit, other
        if fit == NONE:
            top = floor + min(left, right)
            waste += gap * (top - floor)
        else:
            way = lists[IN_ORDER, entry]
            item, across, along = ways[ITEM, way], ways[ACROSS, way], ways[ALONG, way]
            aside, ahead = to_motif(near, floor, item, items)
            if items[HELD, item] == 0 and (
                fit in (LEVEL_RIGHT, TIGHT_RIGHT) or (fit <= USABLE and left < right < ENDLESS)
            ):
                aside = gap - across
            near += aside
            far, top = near + across, floor + ahead + along
            waste += across * ahead
            length = max(length, top)
            places[X, item], places[Y, item], places[WAY, item] = near, floor + ahead, way
            _take(entry, way, items, ways, sets, lists)
            placed += 1
        beyond += (far - near) * max(0, top - max(floor, target))
        if beyond > limit or waste - spare > limit:
            return ENDLESS, ENDLESS
        count = lay(edges, tops, count, lowest, near, far, top)
    return length, beyond
