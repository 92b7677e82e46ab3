"""The decoder that places items strictly in their order, each where the skyline takes it best.

It looks along the whole skyline for each item, also across several segments, so that it wastes less where pieces are
few and large or held by their motif; where they are many, filling the lowest gaps is better.
"""

from __future__ import annotations

from grading.packing.kernel import kernel
from grading.packing.skyline import ENDLESS, lay, to_motif
from grading.packing.table import (
    ACROSS,
    ALONG,
    AREA,
    AT_FOLD,
    EVERY_ACROSS,
    ITEM,
    MOTIF_ACROSS,
    WAY,
    WIDTH,
    Whole,
    X,
    Y,
)

LOWEST, LEAST_WASTE = range(2)
"""What makes one place better than another: first that the item ends low, or first that little is wasted under it."""

WASTE_WEIGHT = 16
"""How much more waste counts than the area under the item's end, where waste comes first; found by trying."""


@kernel("UniTuple(int64, 3)(int64[::1], int64[::1], int64, int64, int64, int64, int64[:, ::1])", lean=True)
def _rest(edges: Whole, tops: Whole, first: int, near: int, far: int, item: int, items: Whole) -> tuple[int, int, int]:
    """The floor of an item between near and far, how far its motif holds it above that, and the area wasted beneath."""
    floor, segment = tops[first], first + 1
    while edges[segment] < far:
        floor = max(floor, tops[segment])
        segment += 1
    _, ahead = to_motif(near, floor, item, items)
    waste = 0
    for k in range(first, segment):
        waste += (min(edges[k + 1], far) - max(edges[k], near)) * (floor + ahead - tops[k])
    return floor, ahead, waste


@kernel("int64(int64, int64, int64[:, ::1])", lean=True)
def _last_across(far: int, item: int, items: Whole) -> int:
    """The last place across, up to far, where its motif allows an item to lie; may be off the strip."""
    if items[EVERY_ACROSS, item] == 0:
        return far
    return far - int((far - items[MOTIF_ACROSS, item]) % items[EVERY_ACROSS, item])


@kernel(
    "UniTuple(int64, 4)(int64, int64, int64[::1], int64[:, ::1], int64[:, ::1], int64[::1], int64[::1], int64)",
    lean=True,
)
def _best_place(
    way: int, rule: int, strip: Whole, items: Whole, ways: Whole, edges: Whole, tops: Whole, count: int
) -> tuple[int, int, int, int]:
    """Where the skyline takes an item best: the segment in which it begins, its place, and the area wasted beneath."""
    item, across, along = ways[ITEM, way], ways[ACROSS, way], ways[ALONG, way]
    best, segment, x, y, wasted = ENDLESS, 0, 0, 0, 0
    for k in range(1 if items[AT_FOLD, item] else count):
        aside, _ = to_motif(edges[k], 0, item, items)
        for side in range(2):
            near = edges[k] + aside if side == 0 else _last_across(edges[k + 1] - across, item, items)
            if near < 0 or near + across > strip[WIDTH] or (items[AT_FOLD, item] and near > 0):
                continue
            first = k
            while edges[first] > near:
                first -= 1
            while edges[first + 1] <= near:
                first += 1
            floor, ahead, waste = _rest(edges, tops, first, near, near + across, item, items)
            under = (floor + ahead + along) * strip[WIDTH]
            cost = under + WASTE_WEIGHT * waste if rule == LEAST_WASTE else 4 * under + waste
            if cost < best:
                best, segment, x, y, wasted = cost, first, near, floor + ahead, waste
    return segment, x, y, wasted


@kernel(
    "UniTuple(int64, 2)(int64[::1], int64, int64, int64, int64[::1], int64[:, ::1], int64[:, ::1], int64[::1],"
    "int64[::1], int64[:, ::1])",
    lean=True,
)
def place_in_order(
    order: Whole,
    rule: int,
    target: int,
    limit: int,
    strip: Whole,
    items: Whole,
    ways: Whole,
    edges: Whole,
    tops: Whole,
    places: Whole,
) -> tuple[int, int]:
    """Decode an order of ways by one of the rules: the length, and the area that is used beyond `target`.

    Both are ENDLESS as soon as it is clear that this area is above the limit.
    """
    edges[0], edges[1], tops[0] = 0, strip[WIDTH], 0
    count, length, beyond, waste = 1, 0, 0, 0
    spare = strip[WIDTH] * target - strip[AREA]
    for place in range(order.shape[0]):
        way = order[place]
        segment, x, y, wasted = _best_place(way, rule, strip, items, ways, edges, tops, count)
        far, top = x + ways[ACROSS, way], y + ways[ALONG, way]
        item = ways[ITEM, way]
        places[X, item], places[Y, item], places[WAY, item] = x, y, way
        waste += wasted
        length = max(length, top)
        k = segment
        while k < count and edges[k] < far:
            overlap = min(edges[k + 1], far) - max(edges[k], x)
            beyond += overlap * max(0, top - max(tops[k], target))
            k += 1
        if beyond > limit or waste - spare > limit:
            return ENDLESS, ENDLESS
        count = lay(edges, tops, count, segment, x, far, top)
    return length, beyond
