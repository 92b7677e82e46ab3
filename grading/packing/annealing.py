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
from grading.packing.table import ACROSS, ALONG, ITEM, START, Whole

SWAPS, TURNS = 0.6, 0.1
"""Shares of the moves: two items change places; an item is turned (where the order decides that). Else one is moved."""

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


@kernel("UniTuple(int64, 2)(int64[::1], int64[::1], int64[:, ::1], int64[:, ::1])", lean=True)
def _move(order: Whole, new: Whole, items: Whole, ways: Whole) -> tuple[int, int]:
    """Change the new order, which is like the old one: where the changes begin and end; nothing: the end is first."""
    first, last = np.random.randint(order.shape[0]), np.random.randint(order.shape[0])
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
    "int64(int64[::1], int64[::1], int64[::1], int64[:, ::1], int64[:, ::1], int64, int64, int64, int64, float64,"
    "float64, int64, int64[::1], int64[:, ::1], int64[:, ::1], int64[::1], int64[::1], int64[::1], int64[::1],"
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
    """Change an order in place for so many steps; give the best length known, its order and places kept if it is new.

    `best` is the best length known before; at `least` the search ends. The heat, an area, goes evenly from the first
    to the last. The same seed gives the same answer.
    """
    np.random.seed(seed)
    _copy(order, new, 0, order.shape[0] - 1)
    limit, changed, until = ENDLESS, 0, -1
    target = max(least, best - 1)
    cost, step = ENDLESS, 0
    while step < steps and best > least:
        length, beyond = decode(
            new, rule, target, limit, strip, items, ways, widths, width_table, heights, height_table, sets, lists,
            edges, tops, places,
        )  # fmt: skip
        step += 1
        if length < best:  # then this order is decoded again, for the new target
            best = length
            _keep(new, places, best_order, best_places)
            target, limit = max(least, best - 1), ENDLESS
            continue
        if beyond <= limit:
            _copy(new, order, changed, until)
            cost = beyond
        else:
            _copy(order, new, changed, until)
        changed, until = 0, -1
        while until < changed and step < steps:
            changed, until = _move(order, new, items, ways)
            step += until < changed
        limit = cost - int(np.log(1 - np.random.random()) * (heat + (last_heat - heat) * (step / steps)))
    if until >= changed:
        _copy(order, new, changed, until)
    return best
