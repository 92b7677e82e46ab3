"""Which values of their stock each of many sizes takes: branch and bound over all rows at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from sympy import QQ

from grading.batch.assignment import Assignment, assign
from grading.batch.piece import Piece, Tally, matrix_of
from grading.batch.points import Floats, Places, Points
from grading.batch.posing import Posed
from grading.batch.program import Program
from grading.form import CONSTANT
from grading.model import StockChoice
from grading.solve.branches import ALIKE
from grading.solve.nearest import Stop, poll
from grading.solve.row import Row, fraction, rational
from grading.solve.stock import stock_label

Range = tuple[int, int]
"""The first and last place of the values of a stock that are still open."""


class Programs:
    """The two programs of a kind of size: stock dimensions chosen, or free between two values of their stock.

    Chosen values and ends of ranges are parameters, so that all branches share their maps.
    """

    def __init__(self, posed: Posed) -> None:
        self.posed = posed
        names = [choice.dimension for choice in posed.stock]
        chosen = {stock_label(name): {name: QQ(1), f"chosen {name}": QQ(-1)} for name in names}
        self.chosen_names = tuple(f"chosen {name}" for name in names)
        self.range_names = tuple(f"{end} {name}" for name in names for end in ("least", "most"))
        task, parameters = posed.task, posed.kind.parameters
        self.chosen = Program(task, (*parameters, *self.chosen_names), {**posed.equations, **chosen}, posed.wish)
        self.free = self._free(posed, parameters) if names else self.chosen

    def _free(self, posed: Posed, parameters: Sequence[str]) -> Program:
        rows: dict[str, Row] = dict(posed.task.inequalities)
        weight, wish = dict(posed.task.weight), dict(posed.wish)
        for choice in posed.stock:
            name = choice.dimension
            rows[f"{stock_label(name)}:least"] = {name: QQ(1), f"least {name}": QQ(-1)}
            rows[f"{stock_label(name)}:most"] = {name: QQ(-1), f"most {name}": QQ(1)}
            weight[name] = rational(1 / choice.wish**2)
            wish[name] = {CONSTANT: rational(choice.wish)}
        task = posed.task.changed(inequalities=rows, weight=weight)
        return Program(task, (*parameters, *self.range_names), posed.equations, wish)


@dataclass
class Found:
    """For each row the program and the place of its piece (-1: no size), and the places of chosen stock values.

    fails   for each row without a size the place in `reasons` of relations that exclude it
    held    relations that hold a row at the edge of its piece, where they are not those of the piece
    ties    rows in which two choices from stock are alike to floats: they are decided exactly elsewhere
    """

    is_free: NDArray[np.bool_]
    pieces: NDArray[np.intp]
    chosen: NDArray[np.intp]
    cost: Floats
    fails: NDArray[np.intp]
    reasons: list[tuple[str, ...]] = field(default_factory=list)
    held: dict[int, tuple[str, ...]] = field(default_factory=dict)
    ties: set[int] = field(default_factory=set)


class Branching:
    """One search over the rows of a batch."""

    def __init__(self, programs: Programs, points: Points, tally: Tally, stop: Stop | None) -> None:
        self.programs, self.points, self.tally, self.stop = programs, points, tally, stop
        self.stock: tuple[StockChoice, ...] = programs.posed.stock
        rows, choices = len(points), len(self.stock)
        self.found = Found(
            np.zeros(rows, np.bool_),
            np.full(rows, -1, np.intp),
            np.zeros((rows, choices), np.intp),
            np.full(rows, np.inf),
            np.full(rows, -1, np.intp),
        )
        self._waiting: list[tuple[Places, tuple[Range, ...]]] = []

    def run(self) -> Found:
        """Search all rows. Raises Undetermined, Stopped."""
        every = np.arange(len(self.points))
        if not self.stock:
            outcome = assign(self.programs.chosen, self.points, every, self.tally, self.stop)
            self.found.pieces[:] = np.where(outcome.solved, outcome.places, -1)
            self._note(self.programs.chosen, outcome, every)
            return self.found
        self._waiting.append((every, self.every_choice))
        while self._waiting:
            poll(self.stop)
            self._look(*self._waiting.pop())
        return self.found

    def _note(self, program: Program, outcome: Assignment, rows: Places) -> None:
        for place, labels in outcome.held.items():
            self.found.held[int(rows[place])] = tuple(label for label in labels if not label.startswith("stock:"))
        for number, wall in enumerate(program.walls):
            excluded = rows[outcome.places == -1 - number]
            fresh = excluded[self.found.fails[excluded] < 0]
            if fresh.size:
                self.found.fails[fresh] = len(self.found.reasons)
                self.found.reasons.append(tuple(dict.fromkeys(map(_without_end, wall.labels))))

    def _look(self, rows: Places, ranges: tuple[Range, ...]) -> None:
        """Bound one range of choices for some rows; where its least point is a choice, that is the best in it."""
        program = self.programs.free
        points = self._ranged(rows, ranges)
        outcome = assign(program, points, np.arange(len(rows)), self.tally, self.stop)
        self._note(program, outcome, rows)
        for number in _occurring(outcome.places):
            local = np.flatnonzero(outcome.places == number)
            piece = program.pieces[number]
            settled = self._settled(piece, ranges)
            if settled is not None and ranges == self.every_choice:
                # The least point of all ranges is a choice: nothing is nearer, and its cost is never asked for.
                mine, found = rows[local], self.found
                found.pieces[mine], found.is_free[mine], found.chosen[mine] = number, True, settled
                continue
            cost = _cost(program, number, points, local)
            best = self.found.cost[rows[local]]
            hopeful = ~(cost > best + ALIKE * (1 + best))
            local, cost = local[hopeful], cost[hopeful]
            if settled is not None and local.size:
                places = np.broadcast_to(np.array(settled, np.intp), (len(local), len(settled)))
                self._keep(rows[local], cost, number, places, is_free=True)
            elif local.size:
                self._divide(rows, local, points, piece, ranges)

    @property
    def every_choice(self) -> tuple[Range, ...]:
        """The ranges of all values of each stock."""
        return tuple((0, len(choice.values) - 1) for choice in self.stock)

    def is_settled(self, piece: Piece) -> bool:
        """Whether stock dimensions have values of their stock all over a piece, all choices being open."""
        return self._settled(piece, self.every_choice) is not None

    def opened(self, rows: Places) -> Points:
        """The parameters of rows with all choices open."""
        return self._ranged(rows, self.every_choice)

    def _settled(self, piece: Piece, ranges: tuple[Range, ...]) -> list[int] | None:
        """The places of the values that stock dimensions have all over a piece, if they are those of their stock."""
        places = [self._constant_place(piece, choice, span) for choice, span in zip(self.stock, ranges, strict=True)]
        return [place for place in places if place is not None] if None not in places else None

    def _constant_place(self, piece: Piece, choice: StockChoice, span: Range) -> int | None:
        """The place of the value that a stock dimension has all over a piece, if it is one of its stock."""
        vector = dict(zip(self.programs.free.columns, piece.point[choice.dimension], strict=True))
        moving = {name for name, value in vector.items() if value and name != CONSTANT}
        for end, place in zip(("least", "most"), span, strict=True):
            if moving == {f"{end} {choice.dimension}"} and vector[f"{end} {choice.dimension}"] == 1:
                return place if not vector[CONSTANT] else None
        value = fraction(vector[CONSTANT])
        return choice.values.index(value) if not moving and value in choice.values else None

    def _divide(self, every: Places, local: Places, points: Points, piece: Piece, ranges: tuple[Range, ...]) -> None:
        """Rows whose stock dimensions are at values of their stock are judged as chosen; the others are split."""
        rows, rough = every[local], points.rough[local]
        places = np.zeros((len(rows), len(self.stock)), np.intp)
        undivided = np.ones(len(rows), np.bool_)
        for index, (choice, (first, last)) in enumerate(zip(self.stock, ranges, strict=True)):
            values = np.array([float(value) for value in choice.values])
            here = rough @ points.folded(matrix_of([piece.point[choice.dimension]], piece.columns))[:, 0]
            places[:, index] = first + np.abs(values[None, first : last + 1] - here[:, None]).argmin(axis=1)
            near = values[places[:, index]]
            between = undivided & (np.abs(near - here) > ALIKE * (1 + near)) & (first < last)
            undivided &= ~between
            above = np.clip(np.searchsorted(values, here), first + 1, max(last, first + 1))
            for split in np.unique(above[between]):
                chosen = rows[between & (above == split)]
                self._split(chosen, ranges, index, ((first, int(split) - 1), (int(split), last)))
        if undivided.any():
            self._judge(rows[undivided], places[undivided], ranges)

    def _split(self, rows: Places, ranges: tuple[Range, ...], index: int, spans: Sequence[Range]) -> None:
        for first, last in reversed(spans):
            if first <= last and (first, last) != ranges[index]:
                self._waiting.append((rows, (*ranges[:index], (first, last), *ranges[index + 1 :])))

    def _judge(self, rows: Places, places: NDArray[np.intp], ranges: tuple[Range, ...]) -> None:
        program = self.programs.chosen
        points = self.chosen_points(rows, places)
        outcome = assign(program, points, np.arange(len(rows)), self.tally, self.stop)
        self._note(program, outcome, rows)
        for number in _occurring(outcome.places):
            local = np.flatnonzero(outcome.places == number)
            cost = _cost(program, number, points, local)
            cost = cost + self._cost_of_choice(places[local])
            self._keep(rows[local], cost, number, places[local], is_free=False)
        failed = np.flatnonzero(~outcome.solved)
        index = next((index for index, (first, last) in enumerate(ranges) if first < last), None)
        if index is None:
            return
        first, last = ranges[index]
        for place in np.unique(places[failed, index]):
            some = rows[failed[places[failed, index] == place]]
            at = int(place)
            self._split(some, ranges, index, ((first, at - 1), (at, at), (at + 1, last)))

    def _cost_of_choice(self, places: NDArray[np.intp]) -> Floats:
        total = np.zeros(len(places))
        for index, choice in enumerate(self.stock):
            costs = np.array([float(((value - choice.wish) / choice.wish) ** 2) for value in choice.values])
            total += costs[places[:, index]]
        return total

    def _keep(self, rows: Places, cost: Floats, piece: int, places: NDArray[np.intp], *, is_free: bool) -> None:
        """Take a choice where it is the best so far; alike ones are noted to be decided exactly."""
        found = self.found
        best = found.cost[rows]
        known = np.isfinite(best)
        alike = known & (np.abs(cost - np.where(known, best, 0.0)) <= ALIKE * (1 + np.where(known, best, 0.0)))
        same = (found.chosen[rows] == places).all(axis=1)
        found.ties.update(rows[alike & ~same].tolist())
        better = cost < best
        found.ties.difference_update(rows[better & ~alike].tolist())
        taken = rows[better]
        found.cost[taken], found.pieces[taken], found.is_free[taken] = cost[better], piece, is_free
        found.chosen[taken] = places[better]

    def _ranged(self, rows: Places, ranges: tuple[Range, ...]) -> Points:
        ends = [choice.values[place] for choice, span in zip(self.stock, ranges, strict=True) for place in span]
        return self.subset(rows).with_fixed(self.programs.range_names, ends)

    def chosen_points(self, rows: Places, places: NDArray[np.intp]) -> Points:
        """The parameters of rows with their choices from stock."""
        columns = [
            np.array([float(value) for value in choice.values])[places[:, index]]
            for index, choice in enumerate(self.stock)
        ]
        rough = np.column_stack(columns) if columns else np.zeros((len(rows), 0))
        return self.subset(rows).widened(
            self.programs.chosen_names,
            rough,
            lambda row: [rational(choice.values[places[row, index]]) for index, choice in enumerate(self.stock)],
        )

    def free_points(self, rows: Places, places: NDArray[np.intp]) -> Points:
        """The parameters of rows for maps of the free program: their choices as the ends of ranges."""
        doubled = [
            np.array([float(value) for value in choice.values])[places[:, index]]
            for index, choice in enumerate(self.stock)
            for _ in ("least", "most")
        ]
        return self.subset(rows).widened(self.programs.range_names, np.column_stack(doubled), lambda _: ())

    def free_point(self, rows: Places, places: NDArray[np.intp]) -> Points:
        """The same where all rows have the same choices."""
        ends = [choice.values[place] for choice, place in zip(self.stock, places, strict=True) for _ in range(2)]
        return self.subset(rows).with_fixed(self.programs.range_names, ends)

    def subset(self, rows: Places) -> Points:
        """The parameters of some rows."""
        points = self.points
        if len(rows) == len(points):
            return points
        return Points(points.names, points.rough[rows], lambda row: points.exactly(int(rows[row])), points.fixed)


def _occurring(places: NDArray[np.intp]) -> list[int]:
    """The places of pieces that occur."""
    return np.flatnonzero(np.bincount(places[places >= 0])).tolist()


def _cost(program: Program, number: int, points: Points, rows: Places) -> Floats:
    """The weighted sum of squares, in floats: to prune with; near ties are decided exactly elsewhere."""
    away = points.rough[rows] @ points.folded(program.away(number))
    cost: Floats = (away * away).sum(axis=1)
    return cost


def _without_end(label: str) -> str:
    is_range = label.startswith("stock:") and label.endswith((":least", ":most"))
    return label.rsplit(":", 1)[0] if is_range else label
