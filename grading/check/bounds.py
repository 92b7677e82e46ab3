"""Bounds: how small a length can become within everything else that a pattern asks, shown exactly.

HiGHS searches in floats; what it finds is judged in rationals: a row is shown to be at least c when it is a sum of
other rows, with multipliers not below zero, plus c (Farkas 1902). Pi is the stated rational of 39 decimals.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np

from grading.form import CONSTANT
from grading.solve.elimination import Inconsistent, eliminate
from grading.solve.row import Number, Row, combined, constant_of

INFINITY: float = highspy.kHighsInf
BINDING = 1e-9
"""Multipliers below this count as none in the search."""


@dataclass(frozen=True)
class Shown:
    """A least value in mm, exact, and the multipliers of the rows that show it."""

    least: Number
    by: Mapping[str, Number]


class _Quiet(highspy.Highs):
    """HiGHS without its banner, which is otherwise printed before output can be turned off."""

    def enableCallbacks(self) -> None:  # noqa: N802
        """Turn output off first."""
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]


class Bounds:
    """All points at which rows are not below zero; the rows are of free dimensions, equations being solved already."""

    def __init__(self, rows: Mapping[str, Row]) -> None:
        self._rows = dict(rows)
        self._labels = list(rows)
        self._names = sorted({name for row in rows.values() for name in row if name})
        create: Callable[[], Any] = _Quiet
        self._solver = create()
        self._solver.setOptionValue("threads", 1)
        self._solver.setOptionValue("presolve", "off")
        self._solver.setOptionValue("solver", "simplex")
        self._solver.passModel(self._program())
        self._solver.run()
        self.is_empty = self._solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible

    def _program(self) -> highspy.HighsLp:
        lp, columns = highspy.HighsLp(), {name: place for place, name in enumerate(self._names)}
        starts, indices, values = [0], list[int](), list[float]()
        for row in self._rows.values():
            indices += [columns[name] for name in row if name]
            values += [float(value) for name, value in row.items() if name]
            starts.append(len(indices))
        lp.num_col_, lp.num_row_ = len(columns), len(self._rows)
        lp.col_cost_ = np.zeros(len(columns))
        lp.col_lower_, lp.col_upper_ = np.full(len(columns), -INFINITY), np.full(len(columns), INFINITY)
        lp.row_lower_ = np.array([-float(constant_of(row)) for row in self._rows.values()])
        lp.row_upper_ = np.full(len(self._rows), INFINITY)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.array(starts, dtype=np.int32)
        lp.a_matrix_.index_ = np.array(indices, dtype=np.int32)
        lp.a_matrix_.value_ = np.array(values, dtype=np.float64)
        return lp

    def drop(self, label: str) -> None:
        """Leave a row out from now on."""
        self._solver.changeRowBounds(self._labels.index(label), -INFINITY, INFINITY)

    def restore(self, label: str) -> None:
        """Take a row in again."""
        lower = -float(constant_of(self._rows[label]))
        self._solver.changeRowBounds(self._labels.index(label), lower, INFINITY)

    def least(self, row: Row) -> Shown | None:
        """The least value that a row is shown to have; None where it has none, or where none could be shown."""
        if not any(name for name in row):
            return Shown(constant_of(row), {})
        if not {name for name in row if name} <= {*self._names}:
            return None
        self._solver.changeColsCost(
            len(self._names),
            np.arange(len(self._names), dtype=np.int32),
            np.array([float(row[name]) if name in row else 0.0 for name in self._names]),
        )
        self._solver.run()
        if self._solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        duals = list(self._solver.getSolution().row_dual)
        return self._judged(row, [label for label, dual in zip(self._labels, duals, strict=True) if dual > BINDING])

    def _judged(self, row: Row, binding: list[str]) -> Shown | None:
        """The least value by these rows: exact multipliers, none below zero."""
        slopes = {
            label: {name: value for name, value in self._rows[label].items() if name != CONSTANT} for label in binding
        }
        try:
            reduced = eliminate(slopes, self._names)
        except Inconsistent:
            return None
        multipliers = reduced.multipliers({name: value for name, value in row.items() if name != CONSTANT})
        total = combined((factor, self._rows[label]) for label, factor in multipliers.items())
        rest = combined([(1, row), (-1, total)])
        if any(name for name in rest) or any(factor < 0 for factor in multipliers.values()):
            return None
        return Shown(constant_of(rest), multipliers)
