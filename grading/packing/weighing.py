"""The weights that show best how little length would do: found in floats by cutting planes, judged in whole numbers.

Every item weighs something for each way it may lie. A cut through the packing crosses items that fit into a capacity
together; what they weigh is at most the weight of the heaviest filling. Summed over all cuts, an item weighs its weight
times its measure along the cuts' normal, so the extent of the packing is at least the sum of these over the heaviest
filling. The best weights solve a linear program with a row for each filling; rows are added as they are found to be
violated. This is the dual of the bar relaxation (G. Scheithauer, "Equivalence and dominance for problems of optimal
packing of rectangles", Ricerca Operativa 27 (1997) 3-34; from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd
from typing import Any

import highspy
import numpy as np
import numpy.typing as npt

from grading.packing.knapsack import Filling, Whole, best_filling

ONE = 1 << 30
"""Weights are whole numbers of this part, so that the heaviest filling is found exactly."""
SMALL_PARTS = (1, 6, 12, 60, 840, 5040, 10**4, 10**5, 10**6, 10**7)
"""Coarser parts, tried in this order to write the same bound with smaller numbers."""
NEARLY = 1e-9
ALMOST = Fraction(1, 10**6)
"""By how much a float that should decide may be wrong."""
MOST_ENTRIES = 2_000_000
"""Knapsack entries of one round; rounds that need more are fewer."""
MOST_ENTRIES_AT_ALL = 50_000_000
"""Beyond these a knapsack is not tried: 100 MB."""
TOWARDS_BEST = 0.6
"""How far a trial lies from the program's point towards the best weights so far: steadies the search (no source)."""

Floats = npt.NDArray[np.float64]
Weights = tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Demand:
    """Alike items: how many, the options of each (size in the capacity, extent), and whether one fits a cut at most."""

    count: int
    options: tuple[tuple[int, int], ...]
    alone: bool = False


@dataclass(frozen=True)
class Weighed:
    """Whole weights for each option of each demand, what all items weigh at least, the heaviest filling's weight."""

    weights: Weights
    total: int
    heaviest: int

    @property
    def bound(self) -> Fraction:
        """The extent that is needed at least."""
        return Fraction(self.total, self.heaviest) if self.heaviest else Fraction(0)


class Weighing:
    """Demands for one capacity. Fillings that were found are kept as rows; each is a count for each option."""

    def __init__(self, demands: Sequence[Demand], capacity: int, rows: Sequence[Floats] = ()) -> None:
        self.demands = tuple(demands)
        self._unit = gcd(*(size for demand in demands for size, _ in demand.options))
        self.capacity = capacity
        self._capacity = capacity // self._unit
        self._first = np.cumsum([0, *(len(demand.options) for demand in demands)])
        self.rows = list(rows)
        self._groups = self._grouped()
        self.entries = len(self._groups) * (self._capacity + 1)

    def _grouped(self) -> list[tuple[int, ...]]:
        """For each copy that may fit, the options (counted through all demands) of which one at most is taken."""
        groups = []
        alone: list[int] = []
        for first, demand in zip(self._first, self.demands, strict=False):
            options = tuple(range(first, first + len(demand.options)))
            if demand.alone:
                alone += options
            else:
                least = min(size for size, _ in demand.options) // self._unit
                groups += [options] * min(demand.count, self._capacity // least)
        return [*groups, tuple(alone)] if alone else groups

    def _sizes(self) -> list[int]:
        return [size // self._unit for demand in self.demands for size, _ in demand.options]

    def _fill(self, weights: Sequence[int]) -> Filling:
        sizes = self._sizes()
        groups = [[(sizes[each], weights[each]) for each in group] for group in self._groups]
        return best_filling(groups, self._capacity)

    def greatest(self, weights: Sequence[int]) -> Whole:
        """The weight of the heaviest filling for every whole capacity up to this one's, from 0."""
        return np.repeat(self._fill(weights).greatest, self._unit)[: self.capacity + 1]

    def weighed(self, weights: Sequence[int]) -> tuple[Weighed, Floats]:
        """Judge whole weights exactly; also the heaviest filling as a row."""
        filling = self._fill(weights)
        row = np.zeros(len(weights))
        for group, option in zip(self._groups, filling.options, strict=True):
            if option >= 0:
                row[group[option]] += 1
        each = tuple(tuple(weights[a:b]) for a, b in zip(self._first, self._first[1:], strict=False))
        return Weighed(each, self.total(each), int(filling.greatest[-1])), row

    def total(self, weights: Weights) -> int:
        """What all items weigh over the whole extent, each in its lightest way."""
        return sum(
            demand.count * min(weight * extent for weight, (_, extent) in zip(each, demand.options, strict=True))
            for demand, each in zip(self.demands, weights, strict=True)
        )

    def by_size(self) -> list[int]:
        """Weights in proportion to the sizes: they show what the area needs."""
        return self._sizes()

    def search(
        self, rounds: int, enough: Callable[[Fraction, Fraction], bool], stop: Callable[[], bool] | None = None
    ) -> Weighed:
        """The best weights found; ends when `enough(bound, most that any weights could show)`."""
        program = _Program(self)
        best, row = self.weighed(self.by_size())
        middle = _as_floats(best)
        self.rows.append(row)
        program.add(row)
        for _ in range(rounds):
            point, most = program.solve()
            if enough(best.bound, Fraction(most)) or (stop is not None and stop()):
                break
            for trial in (TOWARDS_BEST * middle + (1 - TOWARDS_BEST) * point, point):
                judged, row = self.weighed(_as_whole(trial))
                if judged.bound > best.bound:
                    best, middle = judged, _as_floats(judged)
                if row @ point > 1 + NEARLY:
                    self.rows.append(row)
                    program.add(row)
                    break
            else:
                break
        return best

    def simplified(self, best: Weighed, holds: Callable[[Weighed], bool]) -> Weighed:
        """The same weights in the coarsest parts with which the bound that is wanted still holds."""
        scaled = _as_floats(best)
        for parts in SMALL_PARTS:
            judged, _ = self.weighed([int(weight * parts + NEARLY) for weight in scaled])
            if judged.heaviest and holds(judged):
                return judged
        return best


def rounds_for(weighing: Weighing, effort: int) -> int:
    """As many rounds as the effort says, fewer where one takes many knapsack entries; 0 where one takes too many."""
    if weighing.entries > MOST_ENTRIES_AT_ALL:
        return 0
    return max(1, min(effort, effort * MOST_ENTRIES // weighing.entries))


def _as_whole(weights: Floats) -> list[int]:
    return [int(weight * ONE) for weight in weights]


def _as_floats(weighed: Weighed) -> Floats:
    """The weights with the heaviest filling as one."""
    flat = [weight for each in weighed.weights for weight in each]
    return np.array(flat, dtype=np.float64) / weighed.heaviest


class _Quiet(highspy.Highs):
    """HiGHS without its banner, which is otherwise printed before output can be turned off."""

    def enableCallbacks(self) -> None:  # noqa: N802
        """Turn output off first."""
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]


class _Program:
    """Maximise what all items weigh, no filling weighing more than one. A column for each option's weight, and for each
    demand with several options one for the least product of weight and extent."""

    def __init__(self, weighing: Weighing) -> None:
        create: Callable[[], Any] = _Quiet
        self._solver = create()
        self._solver.setOptionValue("threads", 1)
        self._solver.changeObjectiveSense(highspy.ObjSense.kMaximize)
        self._options = sum(len(demand.options) for demand in weighing.demands)
        for demand in weighing.demands:
            single = demand.count * demand.options[0][1] if len(demand.options) == 1 else 0
            for _ in demand.options:
                self._solver.addCol(float(single), 0.0, 1.0, 0, [], [])
        option = 0
        for demand in weighing.demands:
            if len(demand.options) > 1:
                least = self._solver.getNumCol()
                self._solver.addCol(float(demand.count), 0.0, highspy.kHighsInf, 0, [], [])
                for place, (_, extent) in enumerate(demand.options, start=option):
                    terms = [least, place], [1.0, -float(extent)]
                    self._solver.addRow(-highspy.kHighsInf, 0.0, 2, *terms)
            option += len(demand.options)
        for row in weighing.rows:
            self.add(row)

    def add(self, row: Floats) -> None:
        """No more than one for what this filling weighs."""
        places = np.flatnonzero(row)
        self._solver.addRow(-highspy.kHighsInf, 1.0, len(places), places, row[places])

    def solve(self) -> tuple[Floats, float]:
        """The weights, and what all items weigh with them."""
        self._solver.run()
        point = np.array(self._solver.getSolution().col_value)[: self._options]
        return np.maximum(point, 0.0), self._solver.getInfo().objective_function_value
