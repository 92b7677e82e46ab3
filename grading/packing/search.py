"""The search for a short packing: annealing over orders of items, by both decoders in turn."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from grading.packing.annealing import BY_GAPS, anneal
from grading.packing.check import check_packing
from grading.packing.sequence import LEAST_WASTE, LOWEST
from grading.packing.table import ACROSS, ALONG, AREA, START, Table, Whole, table_of
from grading.packing.task import Packing, PackingTask

Stop = Callable[[], bool]
Progress = Callable[[int], None]


@dataclass(frozen=True)
class Effort:
    """How much a search may do: how many items are put down in all, over all orders that are tried."""

    placements: int


QUICK = Effort(2_000_000)
USUAL = Effort(20_000_000)
THOROUGH = Effort(200_000_000)
"""About 0.1, 1 and 10 seconds on one core of 2025."""

CHUNK: Final = 50_000
"""Placements between two questions whether to stop: a few milliseconds."""

FIRST_ROUND: Final = 500_000
GROWTH: Final = 1.5
"""Placements of the first round of a decoder, and how much longer each further one is."""

HEATS: Final = (0.6, 0.15, 0.3, 0.075)
"""How hot rounds begin, as shares of the mean area of an item; found by trying on public instances and bags."""

STRICT_COST: Final = 3
"""What a placement of the strict decoder costs, in placements of the other: about the time it takes."""

BEHIND: Final = 3
"""How many times more rounds the decoder has that found the best length."""

MOST_GROWN: Final = 12
"""Rounds grow up to this one."""


def search(
    task: PackingTask,
    effort: Effort = USUAL,
    seed: int = 0,
    stop: Stop | None = None,
    progress: Progress | None = None,
    start: Packing | None = None,
    least: int = 0,
) -> Packing:
    """The shortest packing found; never longer than `start`, a packing of the task that is known already.

    The search ends where the length is `least`, a lower bound in steps, or where `stop`, asked every few milliseconds,
    says so. `progress` is told each better length. The same task, effort, seed, start and least give the same packing
    unless stopped. Raises DoesNotFit; WrongPacking if `start` is not a packing of the task.
    """
    if start is not None:
        check_packing(task, start)
    if not task.items:
        return Packing(0, ())
    packing = _Search(task, seed, start, least).run(effort, stop, progress)
    check_packing(task, packing)
    return packing


class _Decoder:
    """One way to make packings of orders: its rules, what a placement costs, and the best that it has found."""

    def __init__(self, rules: tuple[int, ...], cost: int, items: int, best: int) -> None:
        self.rules, self.cost, self.best, self.rounds = rules, cost, best, 0
        self.order, self.places = np.zeros(items, dtype=np.int64), np.zeros((3, items), dtype=np.int64)

    def turn(self, best: int) -> tuple[int, int]:
        """The decoder with the least has the next round: each once, then mostly those that found the best length."""
        return self.rounds * (1 if self.best <= best else BEHIND), self.best


class _Search:
    def __init__(self, task: PackingTask, seed: int, start: Packing | None, least: int) -> None:
        self.table = table_of(task)
        self.generator = np.random.default_rng(seed)
        most = _no_more_than(task) + 1
        self.best = start.length if start else most
        self.packing = start
        self.least = max(least, -(-int(self.table.strip[AREA]) // task.width))
        self.orders = _first_orders(self.table, start)
        count = self.table.count
        self.decoders = [
            _Decoder((BY_GAPS,), 1, count, most),
            _Decoder((LOWEST, LEAST_WASTE), STRICT_COST, count, most),
        ]
        self.new, self.places = np.zeros(count, dtype=np.int64), np.zeros((3, count), dtype=np.int64)

    def run(self, effort: Effort, stop: Stop | None, progress: Progress | None) -> Packing:
        """Rounds of both decoders until the effort is spent."""
        left, stopped = effort.placements, False
        while (left > 0 and self.best > self.least and not stopped) or self.packing is None:
            decoder = min(self.decoders, key=lambda each: each.turn(self.best))
            left, stopped = self.round(decoder, left, stop, progress)
        return self.packing

    def round(self, decoder: _Decoder, left: int, stop: Stop | None, progress: Progress | None) -> tuple[int, bool]:
        """One round in chunks; gives what is left of the effort, and whether the caller stopped it."""
        number, count = decoder.rounds, self.table.count
        order = decoder.order.copy() if number % 2 else self.orders[number // 2 % len(self.orders)].copy()
        rule = decoder.rules[number // 2 % len(decoder.rules)]
        heat = HEATS[number % len(HEATS)] * int(self.table.strip[AREA]) / count
        chunks = max(1, min(left, int(FIRST_ROUND * GROWTH ** min(number, MOST_GROWN))) // CHUNK)
        decoder.rounds += 1
        for chunk in range(chunks):
            heats = heat * (1 - chunk / chunks), heat * (1 - (chunk + 1) / chunks)
            decoder.best = self.chunk(decoder, order, rule, max(2, CHUNK // count // decoder.cost), heats)
            left -= CHUNK
            if decoder.best < self.best:
                self.best = decoder.best
                self.packing = self.table.packing(self.best, decoder.places)
                if progress is not None:
                    progress(self.best)
            stopped = stop is not None and stop()
            if stopped or self.best <= self.least:
                return left, stopped
        return left, False

    def chunk(self, decoder: _Decoder, order: Whole, rule: int, steps: int, heats: tuple[float, float]) -> int:
        """Change the order in place; gives the best length that the decoder has had."""
        table = self.table
        seed = int(self.generator.integers(1 << 31))
        return anneal(
            order, self.new, decoder.order, self.places, decoder.places, decoder.best, self.best, self.least, rule,
            steps, *heats, seed, table.strip, table.items, table.ways, table.widths, table.width_table, table.heights,
            table.height_table, table.sets, table.lists, table.edges, table.tops,
        )  # fmt: skip


def _no_more_than(task: PackingTask) -> int:
    """A length that no packing of an order exceeds: every item beyond every other."""
    return sum(max(item.across, item.along) + task.repeat[1] for item in task.items)


def _first_orders(table: Table, start: Packing | None) -> list[Whole]:
    """Orders of ways to begin with: as a known packing lies, and large items first by several measures."""
    ways = table.items[START, :-1]
    shorter, longer = table.ways[ACROSS, ways], table.ways[ALONG, ways]
    turnable = np.diff(table.items[START]) > 1
    shorter, longer = (
        np.where(turnable, np.minimum(shorter, longer), shorter),
        np.where(turnable, np.maximum(shorter, longer), longer),
    )
    keys = ((-shorter * longer,), (-shorter, -longer), (-longer, -shorter), (-shorter - longer,))
    orders = [ways[np.lexsort(key)] for key in keys]
    if start is not None:
        places = np.array([(position.x, position.y, position.turned) for position in start.positions])
        turned = (places[:, 2] > 0) & turnable
        orders.insert(0, (ways + turned)[np.lexsort((places[:, 0], places[:, 1]))])
    return orders
