"""A task as arrays of whole numbers, for the kernels."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from grading.packing.task import Packing, PackingTask, Position
from grading.packing.ways import Way, ways_of

Whole = npt.NDArray[np.int64]

WIDTH, AREA, WIDTH_SHIFT, HEIGHT_SHIFT = range(4)
"""What the strip array holds; the area is that of all items, the shifts belong to the tables of ranks."""

ITEM, ACROSS, ALONG, WIDTH_RANK, HEIGHT_RANK = range(5)
"""Rows of the ways: the item that lies so, its measures, and the ranks of these among all measures."""

START, HELD, AT_FOLD, MOTIF_ACROSS, MOTIF_ALONG, EVERY_ACROSS, EVERY_ALONG = range(7)
"""Rows of the items: the first way (at the end, how many ways there are), whether a motif or the fold holds the item,
whether the fold does, the place of the motif, and its repeat (0: none)."""

X, Y, WAY = range(3)
"""Rows of the places."""

IN_ORDER, HELD_ENTRIES, LEFT_OF_WIDTH, BEYOND = range(4)
"""Rows of the lists: the way of each entry (all ways, in the order of their items), the entries of held items, how many
ways of each width rank are left, and the places in the order of items that end beyond the target."""

TABLE_SIZE: Final = 4096
"""Entries of a table of ranks at most, so that it stays in the nearest cache."""


@dataclass(frozen=True)
class Table:
    """The arrays of one task, and room for the work on it; the kernels write to `sets`, `lists`, `edges`, `tops`."""

    strip: Whole
    items: Whole
    ways: Whole
    turned: tuple[bool, ...]
    widths: Whole
    width_table: Whole
    heights: Whole
    height_table: Whole
    sets: Whole
    lists: Whole
    edges: Whole
    tops: Whole

    @property
    def count(self) -> int:
        """How many items there are."""
        return int(self.items.shape[1]) - 1

    def packing(self, length: int, places: Whole) -> Packing:
        """The places that a kernel found as a packing."""
        positions = (Position(int(x), int(y), self.turned[way]) for x, y, way in places.T)
        return Packing(length, tuple(positions))


def table_of(task: PackingTask) -> Table:
    """The arrays for a task with items. Raises DoesNotFit."""
    each = [ways_of(task, index) for index in range(len(task.items))]
    ways = [(index, way) for index, some in enumerate(each) for way in some]
    across = np.array([way.across for _, way in ways], dtype=np.int64)
    along = np.array([way.along for _, way in ways], dtype=np.int64)
    widths, heights = np.unique(across), np.unique(along)
    width_table, width_shift = _rank_table(widths)
    height_table, height_shift = _rank_table(heights)
    area = sum(item.across * item.along for item in task.items)
    rows = [[index for index, _ in ways], across, along, np.searchsorted(widths, across)]
    return Table(
        strip=np.array([task.width, area, width_shift, height_shift], dtype=np.int64),
        items=_items(task, each),
        ways=np.array([*rows, np.searchsorted(heights, along)], dtype=np.int64),
        turned=tuple(way.turned for _, way in ways),
        widths=widths,
        width_table=width_table,
        heights=heights,
        height_table=height_table,
        sets=np.zeros((1 + 2 * len(widths) + len(heights), (len(ways) + 63) // 64), dtype=np.int64),
        lists=np.zeros((4, len(ways)), dtype=np.int64),
        edges=np.zeros(2 * len(each) + 4, dtype=np.int64),
        tops=np.zeros(2 * len(each) + 4, dtype=np.int64),
    )


def _items(task: PackingTask, each: list[tuple[Way, ...]]) -> Whole:
    rows = np.zeros((7, len(each) + 1), dtype=np.int64)
    rows[START, 1:] = np.cumsum([len(some) for some in each])
    for index, item in enumerate(task.items):
        rows[AT_FOLD, index] = item.at_fold
        rows[HELD, index] = item.at_fold or item.motif is not None
        if item.motif is not None:
            rows[MOTIF_ACROSS : EVERY_ALONG + 1, index] = *item.motif, *task.repeat
    return rows


def _rank_table(values: Whole) -> tuple[Whole, int]:
    """For each value, shifted right by the second result: how many of the sorted values are below all such."""
    shift = 0
    while int(values[-1]) >> shift >= TABLE_SIZE:
        shift += 1
    begins = np.arange((int(values[-1]) >> shift) + 1, dtype=np.int64) << shift
    return np.searchsorted(values, begins, side="left").astype(np.int64), shift
