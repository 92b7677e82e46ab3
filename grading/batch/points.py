"""Parameters of many sizes at once, in floats, and each of them exactly where it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from grading.form import CONSTANT
from grading.solve.row import ZERO, Number, rational

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

    names   of the parameters; the last is the constant
    rough   (rows, columns), lengths in mm, each within 3 roundings of the exact value; the last column is 1
    exactly gives the exact parameters of a row, the last 1
    fixed   values of the parameters before the constant that are the same in every row and have no column
    """

    names: tuple[str, ...]
    rough: Floats
    exactly: Callable[[int], Vector]
    fixed: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if self.names[-1] != CONSTANT or self.rough.shape[1:] != (len(self.names) - len(self.fixed),):
            msg = f"points of shape {self.rough.shape} do not have the columns {self.names}"
            raise ValueError(msg)

    def __len__(self) -> int:
        return len(self.rough)

    @cached_property
    def greatest(self) -> Floats:
        """The greatest absolute value of each parameter."""
        greatest: Floats = np.abs(self.rough).max(axis=0, initial=0.0)
        return np.concatenate([greatest[:-1], np.abs(self.fixed), greatest[-1:]])

    def full(self, row: int) -> Floats:
        """All parameters of a row in floats."""
        return np.concatenate([self.rough[row, :-1], self.fixed, self.rough[row, -1:]])

    def folded(self, matrix: Floats) -> Floats:
        """A matrix over all parameters as one over the columns: what is fixed is added to the constant."""
        if not self.fixed:
            return matrix
        varying = self.rough.shape[1] - 1
        constant = np.array([*self.fixed, 1.0]) @ matrix[varying:]
        return np.vstack([matrix[:varying], constant])

    def error(self, matrix: Floats) -> Floats:
        """How far each column of `rough @ folded(matrix)` may lie from the exact product, for every row.

        |fl(x·y) - x·y| <= g(n) |x|·|y| with g(n) = n u / (1 - n u), whatever the order of the sum: Higham, Accuracy
        and Stability of Numerical Algorithms, 2nd edition, section 3.1. Twice that, for a bound that is subtracted.
        """
        roundings = (len(self.names) + CONVERSIONS) * UNIT
        bound: Floats = self.greatest @ np.abs(matrix)
        bound *= 2 * roundings / (1 - roundings)
        return bound

    def with_fixed(self, names: Sequence[str], values: Sequence[Fraction]) -> Points:
        """The points with further parameters before the constant that are the same in every row."""
        added = tuple(rational(value) for value in values)

        def exact(row: int) -> Vector:
            *given, one = self.exactly(row)
            return (*given, *added, one)

        fixed = (*self.fixed, *(float(value) for value in values))
        return Points((*self.names[:-1], *names, CONSTANT), self.rough, exact, fixed)

    def widened(self, names: Sequence[str], rough: Floats, exactly: Callable[[int], Sequence[Number]]) -> Points:
        """The points with further parameters, one column each, before the constant."""
        columns = np.column_stack([self.rough[:, :-1], rough, self.rough[:, -1:]])

        def exact(row: int) -> Vector:
            *given, one = self.exactly(row)
            return (*given, *exactly(row), one)

        return Points((*self.names[:-1], *names, CONSTANT), columns, exact)


def value_at(vector: Vector, point: Vector) -> Number:
    """The exact value of an affine function at a point."""
    terms = (coefficient * value for coefficient, value in zip(vector, point, strict=True) if coefficient)
    return sum(terms, ZERO)
