"""Faces: the points at which some rows are zero, and the least of a weighted square on one. Exact."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sympy import QQ
from sympy.polys.matrices import DomainMatrix

from grading.form import CONSTANT
from grading.solve.elimination import Elimination, eliminate
from grading.solve.row import ZERO, Number, Row, add_to, substituted, value_of


class Undetermined(Exception):
    """Dimensions that nothing decides."""

    def __init__(self, dimensions: Iterable[str]) -> None:
        self.dimensions = tuple(dimensions)
        super().__init__(", ".join(self.dimensions))


@dataclass(frozen=True)
class Face:
    """All points at which the rows of an elimination are zero: each dimension as a row of the free ones."""

    elimination: Elimination
    free: tuple[str, ...]
    rows: Mapping[str, Row]

    @property
    def labels(self) -> set[str]:
        """The labels of the rows that are zero on it."""
        return {*self.elimination.independent, *self.elimination.implied}

    def narrowed(self, rows: Mapping[str, Row]) -> Face:
        """The part on which further rows are zero too; its elimination is of those alone. Raises Inconsistent."""
        inner = eliminate({label: substituted(row, self.rows) for label, row in rows.items()}, self.free[::-1])
        every = {name: substituted(row, inner.solution) for name, row in self.rows.items()}
        return Face(inner, tuple(name for name in self.free if name not in inner.solution), every)

    def minimum(self, weight: Mapping[str, Number], pull: Mapping[str, Number]) -> dict[str, Number]:
        """The point with the least sum of weight × x² - pull × x. Raises Undetermined if it is not unique."""
        return self._stationary(weight, pull, CONSTANT)

    def steepest(self, weight: Mapping[str, Number], pull: Mapping[str, Number]) -> dict[str, Number]:
        """The same for directions along the face: the point of the face moved into the origin."""
        return self._stationary(weight, pull, None)

    def _stationary(
        self, weight: Mapping[str, Number], pull: Mapping[str, Number], constant: str | None
    ) -> dict[str, Number]:
        columns = {name: index for index, name in enumerate(self.free)}
        entries: dict[int, dict[int, Number]] = {index: {} for index in range(len(columns))}
        right = len(columns)
        for name, row in self.rows.items():
            wish = pull.get(name, ZERO)
            twice = 2 * weight.get(name, ZERO)
            if not wish and not twice:
                continue
            offset = wish - twice * row.get(constant, ZERO) if constant is not None else wish
            inner = [(columns[key], value) for key, value in row.items() if key]
            for first, left in inner:
                entry = entries[first]
                entry[right] = entry.get(right, ZERO) + left * offset
                scaled = twice * left
                if scaled:
                    for second, value in inner:
                        entry[second] = entry.get(second, ZERO) + scaled * value
        values = self._solved(entries, right)
        if constant is not None:
            return {name: value_of(row, values) for name, row in self.rows.items()}
        return {
            name: sum((value * values[key] for key, value in row.items() if key), ZERO)
            for name, row in self.rows.items()
        }

    def _solved(self, entries: dict[int, dict[int, Number]], right: int) -> dict[str, Number]:
        filled = ({column: value for column, value in entry.items() if value} for entry in entries.values())
        kept = dict(enumerate(entry for entry in filled if entry))
        reduced, pivots = DomainMatrix(kept, (max(right, 1), right + 1), QQ).rref()
        if len(pivots) < right:
            raise Undetermined(self._moved(reduced.to_dod(), pivots, right))
        solved = reduced.to_dod()
        return {name: solved.get(index, {}).get(right, ZERO) for index, name in enumerate(self.free)}

    def _moved(self, reduced: Mapping[int, Mapping[int, Number]], pivots: Sequence[int], right: int) -> list[str]:
        moved = set()
        for column in set(range(right)) - set(pivots):
            direction = {self.free[column]: QQ(1)}
            for index, pivot in enumerate(pivots):
                direction[self.free[pivot]] = -reduced.get(index, {}).get(column, ZERO)
            for name, row in self.rows.items():
                if sum((value * direction.get(key, ZERO) for key, value in row.items() if key), ZERO):
                    moved.add(name)
        return [name for name in self.rows if name in moved]


def face_on(rows: Mapping[str, Row], dimensions: Sequence[str], order: Sequence[str]) -> Face:
    """The face on which rows are zero. Raises elimination.Inconsistent."""
    elimination = eliminate(rows, order)
    solution = elimination.solution
    every = {name: solution[name] if name in solution else {name: QQ(1)} for name in dimensions}
    return Face(elimination, tuple(name for name in dimensions if name not in solution), every)


def gradient_of(weight: Mapping[str, Number], wish: Mapping[str, Number], values: Mapping[str, Number]) -> Row:
    """The slope of the sum of weight × (x - wish)²."""
    slope: Row = {}
    for name, factor in weight.items():
        add_to(slope, name, 2 * factor * (values[name] - wish[name]))
    return slope
