"""The shortest packing of a few items, proven: a constraint program that begins from a known packing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass
from typing import Final

from ortools.sat.python import cp_model

from grading.packing.check import check_packing
from grading.packing.pushing import pushed
from grading.packing.task import Packing, PackingTask, Position
from grading.packing.ways import Way, sums, ways_of

USUAL: Final = 5.0
"""Deterministic seconds of the solver: about as many of one core of 2025."""
SEED: Final = 1
PATIENCE: Final = 0.02
"""Seconds between two questions whether to stop."""
MOST_PLACES: Final = 20_000
"""Places that are listed one by one; where there are more, every step is a place."""


@dataclass(frozen=True)
class Shortest:
    """The shortest packing found, and whether it is proven that none is shorter."""

    packing: Packing
    proven: bool


def shortest(
    task: PackingTask,
    start: Packing,
    least: int = 0,
    limit: float = USUAL,
    stop: Callable[[], bool] | None = None,
) -> Shortest:
    """The shortest packing, from a known one; for up to about 15 items within a few seconds.

    `least` is a lower bound on the length in steps, `limit` a number of deterministic seconds: the same task, start,
    least and limit give the same answer unless stopped. Exact: all in whole steps. Raises DoesNotFit, and WrongPacking
    if the start is not a packing of the task.
    """
    check_packing(task, start)
    start = pushed(task, start)
    if start.length <= least or not task.items:
        return Shortest(start, proven=True)
    program = _Program(task, start, least)
    found, proven = program.solve(limit, stop)
    best = min(start, found or start, key=lambda packing: packing.length)
    check_packing(task, best)
    return Shortest(best, proven=proven or best.length <= least)


class _Program:
    """Intervals across and along for each item, none overlapping, and the length that they take, shorter than the start."""

    def __init__(self, task: PackingTask, start: Packing, least: int) -> None:
        self._task = task
        self._ways = [ways_of(task, index) for index in range(len(task.items))]
        self._model = cp_model.CpModel()
        self._length = self._model.new_int_var(least, start.length - 1, "length")
        self._most = start.length - 1
        self._possible = True
        self._place_items(start)
        if self._possible:
            self._relate()
            self._model.minimize(self._length)

    def _place_items(self, start: Packing) -> None:
        self._turned: list[cp_model.LinearExprT] = []
        self._across: list[cp_model.LinearExprT] = []
        self._along: list[cp_model.LinearExprT] = []
        self._places: list[tuple[cp_model.LinearExprT, cp_model.LinearExprT]] = []
        ...
