"""Simulated annealing over orders of items, by either decoder.

What is made small is the area that a packing uses beyond a target one step below the best length known: unlike the
length itself it tells better from worse among packings that are equally long. How much worse a packing may be is drawn
before it is decoded, so that the decoder can give up as soon as it is worse than that.
"""

from __future__ import annotations

import numpy as np

from grading.packing.kernel import kernel
from grading.packing.sequence import place_in_order
from grading.packing.skyline import ENDLESS, fill_lowest_gaps
from grading.packing.table import ACROSS, ALONG, BEYOND, ITEM, START, WAY, Whole, Y

SWAPS, TURNS = 0.6, 0.1
"""Up to these shares of the moves: an item that may be turned is; two items change places. Else one is moved."""

BEYOND_FIRST = 0.5
"""Share of the moves that are made with an item that ends beyond the target; found by trying on generated bags."""

BY_GAPS = -1
"""The rule of the decoder that fills the lowest gaps; those of the strict one are its own."""


@kernel(
    "UniTuple(int64, 2)(int64[::1], int64, int64, int64, int64[::1], int64[:, ::1], int64[:, ::1], int64[::1],"
    "int64[::1], int64[::1], int64[::1], int64[:, ::1], int64[:, ::1], int64[::1], int64[::1], int64[:, ::1])",
    lean=True,
)
def decode(
    order: Whole,
    rule: int,
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
    """Decode by the rule of the strict decoder, or by the lowest gaps."""
    if rule != BY_GAPS:
        return place_in_order(order, rule, target, limit, strip, items, ways, edges, tops, places)
    return fill_lowest_gaps(
        order, target, limit, strip, items, ways, widths, width_table, heights, height_table, sets, lists, edges, tops,
        places,
    )  # fmt: skip


@kernel("int64(int64[::1], int64, int64[:, ::1], int64[:, ::1], int64[:, ::1])", lean=True)
def _list_beyond(order: Whole, target: int, ways: Whole, lists: Whole, places: Whole) -> int:
    """List the places in the order of items that end beyond the target; gives their count."""
    count = 0
    for place in range(order.shape[0]):
        item = ways[ITEM, order[place]]
        if places[Y, item] + ways[ALONG, places[WAY, item]] > target:
            lists[BEYOND, count] = place
            count += 1
    return count


@kernel("UniTuple(int64, 2)(int64[::1], int64[::1], int64, int64[:, ::1], int64[:, ::1], int64[:, ::1])", lean=True)
def _move(order: Whole, new: Whole, beyond: int, items: Whole, ways: Whole, lists: Whole) -> tuple[int, int]:
    """Change the new order, which is like the old one: where the changes begin and end; nothing: the end is first.

    `beyond` is how many places with items beyond the target are listed.
    """
    first, last = np.random.randint(order.shape[0]), np.random.randint(order.shape[0])
    if beyond > 0 and np.random.random() < BEYOND_FIRST:
        first = lists[BEYOND, np.random.randint(beyond)]
    kind = np.random.random()
    some, other = order[first], order[last]
    start, end = items[START, ways[ITEM, some]], items[START, ways[ITEM, some] + 1]
    if kind < TURNS and end - start == 2:
        new[first] = start + end - 1 - some
        return first, first
    if ways[ACROSS, some] == ways[ACROSS, other] and ways[ALONG, some] == ways[ALONG, other]:
        return 0, -1
    if kind < SWAPS:
        new[first], new[last] = other, some
    elif first < last:
        for place in range(first, last):
            new[place] = order[place + 1]
        new[last] = some
    else:
        for place in range(first, last, -1):
            new[place] = order[place - 1]
        new[last] = some
    return min(first, last), max(first, last)


@kernel("void(int64[::1], int64[::1], int64, int64)", lean=True)
def _copy(source: Whole, to: Whole, first: int, last: int) -> None:
    for place in range(first, last + 1):
        to[place] = source[place]


@kernel("void(int64[::1], int64[:, ::1], int64[::1], int64[:, ::1])", lean=True)
def _keep(order: Whole, places: Whole, best_order: Whole, best_places: Whole) -> None:
    _copy(order, best_order, 0, order.shape[0] - 1)
    for row in range(places.shape[0]):
        _copy(places[row], best_places[row], 0, order.shape[0] - 1)


@kernel(
    "int64(int64[::1], int64[::1], int64[::1], int64[:, ::1], int64[:, ::1], int64, int64, int64, int64, int64,"
    "float64, float64, int64, int64[::1], int64[:, ::1], int64[:, ::1], int64[::1], int64[::1], int64[::1], int64[::1],"
    "int64[:, ::1], int64[:, ::1], int64[::1], int64[::1])",
    lean=True,
)
def anneal(
    order: Whole,
    new: Whole,
    best_order: Whole,
    places: Whole,
    best_places: Whole,
    best: int,
    known: int,
    least: int,
    rule: int,
    steps: int,
    heat: float,
    last_heat: float,
    seed: int,
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
) -> int:
    """Change an order in place for so many steps; give the best length, its order and places kept where it is new.

    `best` is the best length that this decoder had before, `known` the best of all; at `least` the search ends. The
    heat, an area, goes evenly from the first to the last. The same seed gives the same answer.
    """
    np.random.seed(seed)
    _copy(order, new, 0, order.shape[0] - 1)
    limit, changed, until = ENDLESS, 0, -1
    target = max(least, min(best, known) - 1)
    cost, step, listed = ENDLESS, 0, 0
    while step < steps and best > least:
        length, beyond = decode(
            new, rule, target, limit, strip, items, ways, widths, width_table, heights, height_table, sets, lists,
            edges, tops, places,
        )  # fmt: skip
        step += 1
        if length < best:
            best = length
            _keep(new, places, best_order, best_places)
        if length <= target and length > least:  # this order is decoded again, for the new target
            target, limit = max(least, length - 1), ENDLESS
            _copy(new, order, changed, until)
            continue
        if beyond <= limit:
            _copy(new, order, changed, until)
            cost = beyond
            listed = _list_beyond(order, target, ways, lists, places)
        else:
            _copy(order, new, changed, until)
        changed, until = 0, -1
        while until < changed and step < steps:
            changed, until = _move(order, new, listed, items, ways, lists)
            step += until < changed
        limit = cost - int(np.log(1 - np.random.random()) * (heat + (last_heat - heat) * (step / steps)))
    if until >= changed:
        _copy(order, new, changed, until)
    return best
