"""Straight strips for a rotary cutter: cuts across the whole cloth, cross-cuts, and pieces trimmed from the columns.

Stage 1 cuts the cloth across its whole width into strips; stage 2 cross-cuts each strip into columns; stage 3 cuts each
column, parallel to stage 1, into its pieces. A piece narrower than its column is trimmed to its width.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby
from math import gcd
from typing import Final

import numpy as np

from grading.packing.check import check_packing
from grading.packing.errors import NoStrips
from grading.packing.knapsack import Whole
from grading.packing.strip_filling import ALONG, COLUMN, STRIP, WAY
from grading.packing.strip_search import first_plan, improve
from grading.packing.task import Packing, PackingTask, Position
from grading.packing.ways import Kind, Lengths, kinds_of, reachable_width, ways_of

USUAL: Final = 18_000
"""Trials that take up to a second for 40 pieces on one core of 2025."""
CHUNK: Final = 50
"""Trials between two questions whether to stop: a few milliseconds."""
WARM: Final = 0.002
COOL: Final = 0.0001
"""By how much of the length a plan may be longer, about, to replace the one before: at first, and at last."""
MOST_CELLS: Final = 4096
"""Cells of a knapsack; finer steps are counted in cells of several steps, rounded up."""


@dataclass(frozen=True)
class StripColumn:
    """A column of a strip: from x on across, its pieces (indices of items) from the strip's start on."""

    x: int
    width: int
    items: tuple[int, ...]


@dataclass(frozen=True)
class Strip:
    """A strip of the whole width: from y on along; its columns from x = 0 on."""

    y: int
    height: int
    columns: tuple[StripColumn, ...]


@dataclass(frozen=True)
class StripPlan:
    """Strips, the highest first, and the same as a packing; in steps. Cuts follow from heights, widths and lengths."""

    strips: tuple[Strip, ...]
    packing: Packing

    @property
    def length(self) -> int:
        """The length of cloth that the strips take."""
        return self.packing.length


def cut_in_strips(
    task: PackingTask,
    effort: int = USUAL,
    seed: int = 0,
    stop: Callable[[], bool] | None = None,
    progress: Callable[[int], None] | None = None,
) -> StripPlan:
    """The shortest plan of strips found.

    `effort` is the number of trials to better the first plan, which takes a few milliseconds; 0: that one. `progress`
    is told each better length, `stop` asked every few milliseconds. The same task, effort and seed give the same plan
    unless stopped. Raises DoesNotFit, and NoStrips where an item lies at the fold or has a motif.
    """
    for index, item in enumerate(task.items):
        if item.at_fold or item.motif is not None:
            raise NoStrips(index, at_fold=item.at_fold)
    if not task.items:
        return StripPlan((), Packing(0, ()))
    search = _Search(task, seed)
    search.run(effort, stop, progress)
    plan = search.plan()
    check_packing(task, plan.packing)
    return plan


class _Search:
    def __init__(self, task: PackingTask, seed: int) -> None:
        self._task, self._seed = task, seed
        self._kinds = kinds_of(task)
        self._enough = _least(task)
        self._unit = gcd(*(measure for kind in self._kinds for measure in (kind.across, kind.along)))
        self._ways, self._alongs, self._areas = _tables(self._kinds, self._unit)
        self._width = task.width // self._unit
        self._cell = _cells(self._width, int(self._alongs.max()))
        count = len(task.items)
        self._plan, self._heights = np.zeros((count, 3), dtype=np.int64), np.zeros(count, dtype=np.int64)
        self._best, self._best_heights = self._plan, self._heights

    def run(self, effort: int, stop: Callable[[], bool] | None, progress: Callable[[int], None] | None) -> None:
        """The better of two first plans, and trials in chunks until the effort is spent."""
        tables = self._ways, self._alongs, self._areas, self._width, self._cell
        counts = np.array([kind.count for kind in self._kinds], dtype=np.int64)
        plans = [(np.zeros_like(self._plan), np.zeros_like(self._heights)) for _ in range(2)]
        lengths = [first_plan(*tables, counts.copy(), bool(each), *plans[each]) for each in range(2)]
        length = min(lengths)
        self._plan, self._heights = plans[lengths.index(length)]
        self._best, self._best_heights = self._plan.copy(), self._heights.copy()
        generator = np.random.default_rng(self._seed)
        _tell(progress, length * self._unit)
        for done in range(0, effort, CHUNK):
            if length * self._unit <= self._enough or (stop is not None and stop()):
                break
            before, warm, cool = length, _heat(length, done / effort), _heat(length, (done + CHUNK) / effort)
            length = improve(
                *tables, self._plan, self._heights, self._best, self._best_heights, min(CHUNK, effort - done),
                self._enough // self._unit, warm, cool, int(generator.integers(1 << 31)),
            )  # fmt: skip
            if length < before:
                _tell(progress, length * self._unit)

    def plan(self) -> StripPlan:
        """The best plan, with the items of the task in the place of their kinds."""
        places: list[Position | None] = [None] * len(self._task.items)
        items = self._items_by_kind()
        strips, y = [], 0
        for rows in self._strips():
            columns, x, height = [], 0, 0
            for stack in rows:
                chosen, top, width = [], y, 0
                for row in stack:
                    across, along, kind, turned = (int(value) for value in self._ways[row])
                    item = items[kind].pop()
                    places[item] = Position(x, top, bool(turned))
                    chosen.append(item)
                    top += along * self._unit
                    width = max(width, across * self._unit)
                columns.append(StripColumn(x, width, tuple(chosen)))
                x, height = x + width, max(height, top - y)
            strips.append(Strip(y, height, tuple(columns)))
            y += height
        return StripPlan(tuple(strips), Packing(y, tuple(place for place in places if place is not None)))

    def _strips(self) -> list[list[list[int]]]:
        """The rows of ways by strip and column: high strips, high columns and wide pieces first, like ones together."""
        strips = []
        order = sorted(self._best.tolist(), key=lambda piece: (piece[STRIP], piece[COLUMN]))
        for _, pieces in groupby(order, key=lambda piece: piece[STRIP]):
            columns = [
                sorted((piece[WAY] for piece in column), reverse=True)
                for _, column in groupby(pieces, key=lambda piece: piece[COLUMN])
            ]
            strips.append(sorted(columns, key=lambda column: (self._high(column), column), reverse=True))
        return sorted(strips, key=lambda columns: (self._high(columns[0]), columns), reverse=True)

    def _high(self, column: list[int]) -> int:
        return int(self._ways[column, ALONG].sum())

    def _items_by_kind(self) -> list[list[int]]:
        """The indices of the items of each kind, the first one last."""
        numbers = {(kind.across, kind.along, kind.ways): number for number, kind in enumerate(self._kinds)}
        items: list[list[int]] = [[] for _ in self._kinds]
        for index in range(len(self._task.items) - 1, -1, -1):
            item = self._task.items[index]
            items[numbers[item.across, item.along, ways_of(self._task, index)]].append(index)
        return items


def _tell(progress: Callable[[int], None] | None, length: int) -> None:
    if progress is not None:
        progress(length)


def _heat(length: int, share: float) -> float:
    return length * (WARM + (COOL - WARM) * min(share, 1))


def _least(task: PackingTask) -> int:
    """What the area needs: a plan as short as this cannot be bettered."""
    area = sum(item.across * item.along for item in task.items)
    return Lengths(task).up(-(-area // reachable_width(task)))


def _cells(width: int, along: int) -> Whole:
    """The steps of a cell across and along; strips are up to twice as high as a piece is long."""
    return np.array([-(-width // MOST_CELLS), -(-2 * along // MOST_CELLS)], dtype=np.int64)


def _tables(kinds: tuple[Kind, ...], unit: int) -> tuple[Whole, Whole, Whole]:
    """The table of ways; for each kind the measures along of its first and last way, and the area of a piece."""
    rows = sorted(
        (way.across // unit, way.along // unit, number, way.turned)
        for number, kind in enumerate(kinds)
        for way in kind.ways
    )
    alongs = [(kind.ways[0].along // unit, kind.ways[-1].along // unit) for kind in kinds]
    areas = [(kind.across // unit) * (kind.along // unit) for kind in kinds]
    return np.array(rows, dtype=np.int64), np.array(alongs, dtype=np.int64), np.array(areas, dtype=np.int64)
