"""Exact elimination: which rows are independent, what they decide, and how the others follow from them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sympy import QQ
from sympy.polys.matrices import DomainMatrix

from grading.form import CONSTANT
from grading.solve.row import ZERO, Number, Row


class Inconsistent(Exception):
    """Rows that cannot all be zero: the multipliers with which they add up to a constant that is not zero.

    All rows but one are independent, so that the multipliers are unique up to a factor and no row can be spared.
    """

    def __init__(self, multipliers: Mapping[str, Number]) -> None:
        self.multipliers = multipliers
        super().__init__(f"inconsistent: {', '.join(multipliers)}")


@dataclass(frozen=True)
class Elimination:
    """What rows set to zero say.

    solution      each decided dimension as a row of the free ones
    combination   for each decided dimension the multipliers of the given rows that sum to
                  (dimension - its row of the free ones)
    independent   labels of rows that do not follow from those before them
    implied       for each other label the multipliers of the independent rows before it that sum to its row
    """

    solution: Mapping[str, Row]
    combination: Mapping[str, Mapping[str, Number]]
    independent: tuple[str, ...]
    implied: Mapping[str, Mapping[str, Number]]

    def multipliers(self, gradient: Row) -> dict[str, Number]:
        """The multipliers with which the independent rows sum to a gradient that lies in their span."""
        total: dict[str, Number] = {}
        for name, slope in gradient.items():
            for label, factor in self.combination.get(name, {}).items():
                total[label] = total.get(label, ZERO) + slope * factor
        return {label: value for label, value in total.items() if value}


def eliminate(rows: Mapping[str, Row], order: Sequence[str]) -> Elimination:
    """Reduce rows that are zero; dimensions early in `order` become decided ones first.

    Sparse Gauss-Jordan of [rows | identity] over QQ by sympy's DomainMatrix (0.6 ms for 110 rows of a
    large bag; FLINT's dense reduction took nine times as long). The identity stands in reverse, so that a
    row that adds nothing is expressed by rows before it. Raises Inconsistent with the fewest rows found.
    """
    labels = list(rows)
    columns = {name: column for column, name in enumerate(order)}
    width = len(order) + len(labels)
    entries = {}
    for index, label in enumerate(labels):
        entry = {columns[name]: value for name, value in rows[label].items() if name}
        entry[width - 1 - index] = QQ(1)
        entries[index] = entry
    reduced = DomainMatrix(entries, (len(labels), width), QQ).rref()[0].to_dod() if labels else {}
    return _read(reduced, rows, labels, order)


def _read(
    reduced: Mapping[int, Mapping[int, Number]],
    rows: Mapping[str, Row],
    labels: Sequence[str],
    order: Sequence[str],
) -> Elimination:
    width = len(order) + len(labels)
    solution: dict[str, Row] = {}
    combination: dict[str, Mapping[str, Number]] = {}
    implied: dict[str, Mapping[str, Number]] = {}
    contradictions: list[Mapping[str, Number]] = []
    for entry in reduced.values():
        pivot = min(entry)
        mixture = {
            labels[width - 1 - column]: entry[column] for column in sorted(entry, reverse=True) if column >= len(order)
        }
        constant = sum((factor * rows[label].get(CONSTANT, ZERO) for label, factor in mixture.items()), ZERO)
        if pivot < len(order):
            row = {order[column]: -value for column, value in entry.items() if pivot < column < len(order)}
            if constant:
                row[CONSTANT] = -constant
            solution[order[pivot]] = row
            combination[order[pivot]] = mixture
            continue
        if constant:
            contradictions.append(mixture)
        latest = labels[width - 1 - pivot]
        implied[latest] = {label: -factor for label, factor in mixture.items() if label != latest}
    if contradictions:
        raise Inconsistent(min(contradictions, key=len))
    independent = tuple(label for label in labels if label not in implied)
    return Elimination(solution, combination, independent, implied)
