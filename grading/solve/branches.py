"""Branches: which value of its stock each dimension takes, so that the whole is nearest."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from heapq import heappop, heappush

import numpy as np

from grading.model.problem import StockChoice
from grading.solve.active import FloatProgram, prepare
from grading.solve.elimination import Inconsistent
from grading.solve.face import face_on
from grading.solve.nearest import Infeasible, Nearest, Stop, nearest, poll, settle
from grading.solve.row import Number, Row, rational
from grading.solve.sparse import Floats
from grading.solve.stock import stock_label
from grading.solve.task import Task

Ranges = tuple[tuple[int, int], ...]
"""For each stock dimension the first and last index of the values that are still open."""
ALIKE = 1e-9
"""Floats this near, in proportion, may be equal; branches that near are compared exactly."""


class NoBranch(Exception):
    """No choice from stock is feasible: relations and stocks that together show it (not yet the fewest)."""

    def __init__(self, labels: Iterable[str]) -> None:
        self.labels = tuple(dict.fromkeys(labels))
        super().__init__(", ".join(self.labels))


@dataclass(frozen=True)
class Branch:
    """The chosen values of the stock dimensions in mm, and the nearest point with them."""

    chosen: Mapping[str, Fraction]
    point: Nearest


def choose(task: Task, stock: Sequence[StockChoice], stop: Stop | None = None) -> Branch:
    """The branch with the least cost: weighted square of the nearest point plus ((chosen - wish)/wish)² of each.

    Best-first branch and bound: the bound of a range of values is the same program with the stock dimension free
    in the range, which is convex. Ties go to the first in document order, values ascending; they are
    compared exactly. Raises Infeasible, NoBranch, Undetermined, Stopped.
    """
    if not stock:
        return Branch({}, nearest(task, stop))
    return _Search(task, tuple(stock), stop).run()


def _range_rows(choice: StockChoice, span: tuple[int, int]) -> dict[str, Row]:
    name, values = choice.dimension, choice.values
    return {
        f"{stock_label(name)}:least": {name: rational(1), "": -rational(values[span[0]])},
        f"{stock_label(name)}:most": {name: rational(-1), "": rational(values[span[1]])},
    }


@dataclass
class _Search:
    task: Task
    stock: tuple[StockChoice, ...]
    stop: Stop | None
    best: tuple[Number, tuple[int, ...]] | None = None
    branch: Branch | None = None
    reasons: list[str] = field(default_factory=list)
    waiting: list[tuple[float, int, Ranges, tuple[float, ...]]] = field(default_factory=list)
    counted: int = 0
    relaxed: Task = field(init=False)
    program: FloatProgram | None = field(init=False)

    def run(self) -> Branch:
        self.relaxed = _relaxed(self.task, self.stock)
        self.program = self._program()
        self._look(tuple((0, len(choice.values) - 1) for choice in self.stock))
        while self.waiting:
            bound, _, ranges, point = heappop(self.waiting)
            if self.best is not None and bound > float(self.best[0]) + ALIKE * (1 + float(self.best[0])):
                break
            self._branch(ranges, point)
        if self.branch is None:
            raise NoBranch(self.reasons)
        return self.branch

    def _program(self) -> FloatProgram | None:
        try:
            face = face_on(self.relaxed.equations, self.task.dimensions, self.task.order)
        except Inconsistent as error:
            raise Infeasible(error.multipliers) from None
        rows = list(self.relaxed.inequalities.values())
        for choice in self.stock:
            rows += _range_rows(choice, (0, 0)).values()
        return prepare(face, self.relaxed.weight, self.relaxed.wish, rows)

    def _look(self, ranges: Ranges) -> None:
        """Bound one range of choices, and keep it if it may hold a feasible one."""
        poll(self.stop)
        if self.program is not None:
            outcome = self.program.solve(self._constants(self.program, ranges))
            if not outcome.infeasible:
                values = dict(zip(self.task.dimensions, outcome.point.tolist(), strict=True))
                self._keep(outcome.value, ranges, [values[choice.dimension] for choice in self.stock])
                return
        rows = dict(self.relaxed.inequalities)
        for choice, span in zip(self.stock, ranges, strict=True):
            rows |= _range_rows(choice, span)
        try:
            exact = settle(self.relaxed.changed(inequalities=rows), (), self.stop)
        except Infeasible as error:
            self._blame(error)
            return
        self._keep(float(exact.cost), ranges, [float(exact.values[choice.dimension]) for choice in self.stock])

    def _constants(self, program: FloatProgram, ranges: Ranges) -> Floats:
        ends = [
            sign * float(choice.values[place])
            for choice, span in zip(self.stock, ranges, strict=True)
            for sign, place in ((-1, span[0]), (1, span[1]))
        ]
        return np.concatenate([program.constants[: len(program.constants) - len(ends)], ends])

    def _keep(self, bound: float, ranges: Ranges, point: Sequence[float]) -> None:
        heappush(self.waiting, (bound, self.counted, ranges, tuple(point)))
        self.counted += 1

    def _blame(self, error: Infeasible) -> None:
        for label in error.multipliers:
            is_range = label.startswith("stock:") and label.endswith((":least", ":most"))
            self.reasons.append(label.rsplit(":", 1)[0] if is_range else label)

    def _branch(self, ranges: Ranges, point: Sequence[float]) -> None:
        """Split at the first dimension that lies between two values of its stock; else judge the choice itself."""
        places = []
        for index, (choice, (first, last)) in enumerate(zip(self.stock, ranges, strict=True)):
            values = [float(value) for value in choice.values]
            near = min(range(first, last + 1), key=lambda place: abs(values[place] - point[index]))
            if first < last and abs(values[near] - point[index]) > ALIKE * (1 + values[near]):
                above = sum(value < point[index] for value in values[first : last + 1]) + first
                above = min(max(above, first + 1), last)
                self._split(ranges, index, ((first, above - 1), (above, last)))
                return
            places.append(near)
        done = self._judge(tuple(places))
        open_ones = [index for index, (first, last) in enumerate(ranges) if first < last]
        # Without roots the choice is the one least point of its convex range; nothing in it can be as near.
        if open_ones and (not done or self.task.curved):
            index, place = open_ones[0], places[open_ones[0]]
            first, last = ranges[index]
            self._split(ranges, index, ((first, place - 1), (place, place), (place + 1, last)))

    def _split(self, ranges: Ranges, index: int, spans: Iterable[tuple[int, int]]) -> None:
        for first, last in spans:
            if first <= last and (first, last) != ranges[index]:
                self._look((*ranges[:index], (first, last), *ranges[index + 1 :]))

    def _judge(self, places: tuple[int, ...]) -> bool:
        chosen = {choice.dimension: choice.values[place] for choice, place in zip(self.stock, places, strict=True)}
        rows = {stock_label(name): {name: rational(1), "": -rational(value)} for name, value in chosen.items()}
        try:
            point = nearest(self.task.changed(equations={**self.task.equations, **rows}), self.stop)
        except Infeasible as error:
            self._blame(error)
            return False
        cost = point.cost + sum(
            rational(((chosen[choice.dimension] - choice.wish) / choice.wish) ** 2) for choice in self.stock
        )
        if self.best is None or (cost, places) < self.best:
            self.best, self.branch = (cost, places), Branch(chosen, point)
        return True


def _relaxed(task: Task, stock: Sequence[StockChoice]) -> Task:
    """The task in which stock dimensions may take any value at the same cost, and roots are left out.

    Dimensions that have no weight get next to none, so that one point is the least; it is less than ALIKE.
    """
    weight = dict(task.weight)
    wish = dict(task.wish)
    for choice in stock:
        weight[choice.dimension] = rational(1 / choice.wish**2)
        wish[choice.dimension] = rational(choice.wish)
    if task.curved:
        for name in task.dimensions:
            if name not in weight:
                wish[name] = rational(task.start.get(name, Fraction(1)))
                weight[name] = rational(Fraction(1, 10**10) / (task.start.get(name) or 1) ** 2)
    return task.changed(weight=weight, wish=wish, curved={}, merged={})
