"""The shortest packing of a few items, proven: a constraint program that begins from a known packing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from ortools.sat.python import cp_model

from grading.packing.check import check_packing
from grading.packing.pushing import pushed
from grading.packing.stacked import longest_item
from grading.packing.task import Packing, PackingTask, Position
from grading.packing.ways import sums, ways_of

USUAL: Final = 5.0
"""Deterministic seconds of the solver: about as many of one core of 2025."""
SEED: Final = 1
PATIENCE: Final = 0.02
"""Seconds between two questions whether to stop."""
Term = cp_model.LinearExpr | int
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
    if not task.items:
        return Shortest(start, proven=True)
    least = max(least, longest_item(task)[1])
    if start.length <= least:
        return Shortest(start, proven=True)
    program = _Program(task, start, least)
    found, proven = program.solve(limit, stop)
    best = min(start, found or start, key=lambda packing: packing.length)
    check_packing(task, best)
    return Shortest(best, proven=proven or best.length <= least)


class _Program:
    """Intervals across and along for each item, none overlapping, and a length for all that is below the start's."""

    def __init__(self, task: PackingTask, start: Packing, least: int) -> None:
        self._task, self._start = task, start
        self._ways = [ways_of(task, index) for index in range(len(task.items))]
        self._model = cp_model.CpModel()
        self._most = start.length - 1
        self._length = self._model.new_int_var(least, self._most, "length")
        self._pieces = [self._piece(index) for index in range(len(task.items))]
        self._keep_apart()
        self._order_alike()
        self._model.minimize(self._length)

    def solve(self, limit: float, stop: Callable[[], bool] | None) -> tuple[Packing | None, bool]:
        """A packing shorter than the start, if one was found, and whether none is shorter than the best known."""
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = SEED
        solver.parameters.max_deterministic_time = limit
        status = _solve(solver, self._model, stop)
        proven = status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None, proven
        positions = tuple(
            Position(solver.value(piece.x), solver.value(piece.y), bool(solver.value(piece.turned)))
            for piece in self._pieces
        )
        return Packing(solver.value(self._length), positions), proven

    def _piece(self, index: int) -> _Piece:
        ways, item, start = self._ways[index], self._task.items[index], self._start.positions[index]
        turned: Term = int(ways[0].turned)
        across: Term = ways[0].across
        along: Term = ways[0].along
        if len(ways) > 1:
            turned = self._model.new_bool_var("")
            self._model.add_hint(turned, start.turned)
            across = ways[0].across + (ways[1].across - ways[0].across) * turned
            along = ways[0].along + (ways[1].along - ways[0].along) * turned
        last_across = self._task.width - min(way.across for way in ways)
        last_along = self._most - min(way.along for way in ways)
        x = 0 if item.at_fold else self._place(index, 0, last_across, start.x)
        y = self._place(index, 1, last_along, start.y)
        return _Piece(turned, x, y, across, along)

    def _place(self, index: int, axis: int, last: int, start: int) -> Term:
        """Where an item may lie across (axis 0) or along (axis 1), the last place included."""
        item, repeat = self._task.items[index], self._task.repeat[axis]
        if item.motif and repeat:
            first = item.motif[axis] % repeat
            times = self._model.new_int_var(0, (last - first) // repeat, "")
            self._model.add_hint(times, (start - first) // repeat)
            return first + repeat * times
        place = self._model.new_int_var_from_domain(self._domain(index, axis, last), "")
        self._model.add_hint(place, start)
        return place

    def _domain(self, index: int, axis: int, last: int) -> cp_model.Domain:
        """Only sums of the other items' measures, where no motif holds items: a packing can be pushed there."""
        held = self._task.repeat[axis] and any(item.motif for item in self._task.items)
        if held or last > MOST_PLACES:
            return cp_model.Domain(0, last)
        others = (
            [way.along if axis else way.across for way in ways]
            for other, ways in enumerate(self._ways)
            if other != index
        )
        reached = sums(others, last)
        return cp_model.Domain.from_values([place for place in range(last + 1) if reached >> place & 1])

    def _keep_apart(self) -> None:
        """No two items overlap; what lies side by side fits the width, what lies one after another the length."""
        across = [self._interval(piece.x, piece.across, self._task.width) for piece in self._pieces]
        along = [self._interval(piece.y, piece.along, self._most) for piece in self._pieces]
        self._model.add_no_overlap_2d(across, along)
        self._model.add_cumulative(along, [piece.across for piece in self._pieces], self._task.width)
        self._model.add_cumulative(across, [piece.along for piece in self._pieces], self._length)
        for piece in self._pieces:
            self._model.add(piece.y + piece.along <= self._length)

    def _interval(self, place: Term, size: Term, most: int) -> cp_model.IntervalVar:
        end = self._model.new_int_var(0, most, "")
        self._model.add(place + size == end)
        return self._model.new_interval_var(place, size, end, "")

    def _order_alike(self) -> None:
        """Alike items lie in the order in which they lie at the start: any other order gives the same packings."""
        alike = defaultdict(list)
        for index, item in enumerate(self._task.items):
            alike[item].append(index)
        for indices in alike.values():
            indices.sort(key=lambda index: (self._start.positions[index].y, self._start.positions[index].x))
            for one, next_one in pairwise(indices):
                self._model.add(self._rank(one) <= self._rank(next_one))

    def _rank(self, index: int) -> Term:
        return self._pieces[index].y * (self._task.width + 1) + self._pieces[index].x


@dataclass(frozen=True)
class _Piece:
    """An item in the program: whether it is turned, where it lies, its measures as it lies."""

    turned: Term
    x: Term
    y: Term
    across: Term
    along: Term


def _solve(
    solver: cp_model.CpSolver, model: cp_model.CpModel, stop: Callable[[], bool] | None
) -> cp_model.CpSolverStatus:
    """Solve; where there is somebody to ask, beside asking whether to stop."""
    if stop is None:
        return solver.solve(model)
    with ThreadPoolExecutor(1) as pool:
        solving = pool.submit(solver.solve, model)
        while not wait([solving], PATIENCE).done:
            if stop():
                solver.stop_search()
        return solving.result()
