"""Parameters of many sizes at once, in floats, and each of them exactly where it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from grading.form import CONSTANT
from grading.solve.row import ZERO, Number

Floats: TypeAlias = NDArray[np.float64]
Places: TypeAlias = NDArray[np.intp]
Vector: TypeAlias = tuple[Number, ...]
"""An affine function of the parameters, exact: one coefficient for each column of the points."""

UNIT = 2.0**-53
"""Half the distance from 1 to the next float: the greatest relative error of one rounding."""
CONVERSIONS = 8
"""Roundings, besides those of the sum, that a term passes through: a typed number, its unit, a coefficient, the
product, and the reserve that a bound is itself computed in floats."""


@dataclass(frozen=True)
class Points:
    """The parameters of each size.

    names   of the columns; the last is the constant
    rough   (rows, columns), lengths in mm, each within 3 roundings of the exact value; the last column is 1
    exactly gives the exact parameters of a row, the last 1
    """

    names: tuple[str, ...]
    rough: Floats
    exactly: Callable[[int], Vector]

    def __post_init__(self) -> None:
        if self.names[-1] != CONSTANT or self.rough.shape[1:] != (len(self.names),):
            msg = f"points of shape {self.rough.shape} do not have the columns {self.names}"
            raise ValueError(msg)

    def __len__(self) -> int:
        return len(self.rough)

    @cached_property
    def greatest(self) -> Floats:
        """The greatest absolute value in each column."""
        greatest: Floats = np.abs(self.rough).max(axis=0, initial=0.0)
        return greatest

    def error(self, matrix: Floats) -> Floats:
        """How far each column of `rough @ matrix` may lie from the exact product, for every row.

        |fl(x·y) - x·y| <= g(n) |x|·|y| with g(n) = n u / (1 - n u), whatever the order of the sum: Higham, Accuracy
        and Stability of Numerical Algorithms, 2nd edition, section 3.1. Twice that, for a bound that is subtracted.
        """
        roundings = (len(self.names) + CONVERSIONS) * UNIT
        bound: Floats = self.greatest @ np.abs(matrix)
        bound *= 2 * roundings / (1 - roundings)
        return bound

    def widened(self, names: Sequence[str], rough: Floats, exactly: Callable[[int], Sequence[Number]]) -> Points:
        """The points with further parameters, one column each, before the constant."""
        columns = np.column_stack([self.rough[:, :-1], rough, self.rough[:, -1:]])
        return Points(
            (*self.names[:-1], *names, CONSTANT),
            columns,
            lambda row: (*self.exactly(row)[:-1], *exactly(row), self.exactly(row)[-1]),
        )


def value_at(vector: Vector, point: Vector) -> Number:
    """The exact value of an affine function at a point."""
    terms = (coefficient * value for coefficient, value in zip(vector, point, strict=True) if coefficient)
    return sum(terms, ZERO)
