"""Pieces of the solution map: where a set of inequalities binds, the nearest point is one affine function."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from grading.batch.points import Floats, Places, Points, Vector, value_at
from grading.solve.row import fraction

Bools = NDArray[np.bool_]
BLOCK_BYTES = 1 << 19
"""How much of the judged values is computed at a time: what a processor's cache holds; measured."""


def matrix_of(vectors: Sequence[Vector], columns: int) -> Floats:
    """Affine functions as the columns of a float matrix, each coefficient rounded once."""
    rounded = [[float(fraction(value)) for value in vector] for vector in vectors]
    return np.ascontiguousarray(np.array(rounded, dtype=np.float64).reshape(len(vectors), columns).T)


@dataclass(frozen=True)
class Piece:
    """The nearest point where exactly these inequalities are held at zero, as an affine function of the parameters.

    It is the nearest point of a size exactly where all `tests` are not below zero there: inequalities that are not
    held keep their distance, and multipliers of those that are have their sign (Karush, Kuhn and Tucker; the sum of
    weighted squares is convex). Tests that no parameter is in are left out if they hold.

    active  labels of the inequalities that are held at zero
    pushed  those of them whose multiplier is above zero in the whole piece
    point   each dimension in mm
    tests   by the label of their inequality; of active ones the multiplier
    """

    active: tuple[str, ...]
    pushed: tuple[str, ...]
    point: Mapping[str, Vector]
    tests: tuple[tuple[str, Vector], ...]
    columns: int

    @cached_property
    def place(self) -> Floats:
        """(columns, dimensions): the point in floats."""
        return matrix_of(list(self.point.values()), self.columns)

    @cached_property
    def judge(self) -> Floats:
        """(columns, tests): the tests in floats."""
        return matrix_of([vector for _, vector in self.tests], self.columns)

    @cached_property
    def held(self) -> tuple[str, ...]:
        """The inequalities that hold a size inside the piece away from what is wished."""
        moving = {label for label, _ in self.tests}
        return tuple(label for label in self.active if label in self.pushed or label in moving)

    def holds_at(self, point: Vector, places: Iterable[int] | None = None) -> bool:
        """Whether the piece gives the nearest point there; exact. Of all tests, or of those in these places."""
        tests = self.tests if places is None else (self.tests[place] for place in places)
        return all(value_at(vector, point) >= 0 for _, vector in tests)

    def held_at(self, point: Vector) -> tuple[str, ...]:
        """The inequalities whose multiplier is above zero there, which at the edge of the piece are fewer; exact."""
        return tuple(
            label
            for label in self.held
            if label not in self._multipliers or value_at(self._multipliers[label], point) > 0
        )

    @cached_property
    def _multipliers(self) -> Mapping[str, Vector]:
        """Of the active inequalities, those multipliers that are not the same in the whole piece."""
        return {label: vector for label, vector in self.tests if label in self.active}


@dataclass(frozen=True)
class Wall:
    """Why there is no size: relations whose multiples sum to an affine function of the parameters alone, which has to
    be zero (`is_equation`) or not below zero. The first of `labels` is the one that is named as failing."""

    labels: tuple[str, ...]
    gap: Vector
    is_equation: bool

    @cached_property
    def column(self) -> Floats:
        """(columns, 1): the gap in floats."""
        return matrix_of([self.gap], len(self.gap))

    def stands_at(self, point: Vector) -> bool:
        """Whether it excludes every size there; exact."""
        value = value_at(self.gap, point)
        return bool(value != 0) if self.is_equation else bool(value < 0)


@dataclass
class Tally:
    """How many judgements floats could not make, and were made exactly."""

    exact: int = 0


def inside(piece: Piece, points: Points, rows: Places, tally: Tally) -> tuple[Bools, list[int]]:
    """For which rows a piece gives the nearest point, and the places of those of them that were judged exactly.

    Floats decide where their error bound lets them.
    """
    result, edge = np.ones(len(rows), dtype=np.bool_), list[int]()
    if not piece.tests:
        return result, edge
    error = points.error(piece.judge)
    lowered = points.folded(piece.judge).copy()
    lowered[-1] -= error
    whole = len(rows) == len(points)
    step = max(16, BLOCK_BYTES // (8 * lowered.shape[1]))
    values = np.empty((min(step, len(rows)), lowered.shape[1]))
    for start in range(0, len(rows), step):
        end = min(start + step, len(rows))
        block = points.rough[start:end] if whole else points.rough[rows[start:end]]
        some = np.matmul(block, lowered, out=values[: end - start])
        doubtful = np.flatnonzero(some.min(axis=1) < 0)
        if not doubtful.size:
            continue
        result[start + doubtful] = False
        for place in start + doubtful[(some[doubtful] >= -2 * error).all(axis=1)]:
            tally.exact += 1
            unsure = np.flatnonzero(some[place - start] < 0).tolist()
            if piece.holds_at(points.exactly(int(rows[place])), unsure):
                result[place] = True
                edge.append(int(place))
    return result, edge


def excluded(wall: Wall, points: Points, rows: Places, tally: Tally) -> Bools:
    """Which rows a wall excludes; where floats cannot tell, exactly."""
    error = float(points.error(wall.column)[0])
    values = (points.rough[rows] @ points.folded(wall.column))[:, 0]
    result: Bools = (values < -error) | ((values > error) & wall.is_equation)
    for place in np.flatnonzero(np.abs(values) <= error):
        tally.exact += 1
        result[place] = wall.stands_at(points.exactly(int(rows[place])))
    return result
