"""Which piece of the solution map, or which wall, each of many sizes belongs to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grading.batch.piece import Tally, excluded, inside
from grading.batch.points import Places, Points
from grading.batch.program import Program
from grading.solve.nearest import Stop, poll


@dataclass(frozen=True)
class Assignment:
    """For each row the place of its piece in the program, or, where there is no size, -1 - the place of its wall.

    held  the inequalities that hold a row, where it lies at the edge of its piece (so that they may not be all of those)
    """

    places: NDArray[np.intp]
    held: Mapping[int, tuple[str, ...]]

    @property
    def solved(self) -> NDArray[np.bool_]:
        """Which rows have a size."""
        return self.places >= 0


def assign(program: Program, points: Points, rows: Places, tally: Tally, stop: Stop | None = None) -> Assignment:
    """Assign rows (places in `points`) to pieces, finding new pieces at rows that no known one holds.

    Each judgement is exact where floats cannot tell. Raises Undetermined, Stopped.
    """
    sorting = _Sorting(program, points, rows, tally)
    for number in range(len(program.walls)):
        sorting.strike(number)
    for number in range(len(program.pieces)):
        poll(stop)
        sorting.take(number)
    while sorting.waiting.size:
        poll(stop)
        row = int(rows[sorting.waiting[0]])
        number, has_size = program.find(points.rough[row], points.exactly(row), stop)
        if has_size:
            sorting.take(number)
        else:
            sorting.strike(number)
    return Assignment(sorting.places, sorting.held)


class _Sorting:
    """Rows on their way to pieces and walls."""

    def __init__(self, program: Program, points: Points, rows: Places, tally: Tally) -> None:
        self.program, self.points, self.rows, self.tally = program, points, rows, tally
        self.waiting: Places = np.arange(len(rows))
        self.places = np.full(len(rows), -1, dtype=np.intp)
        self.held: dict[int, tuple[str, ...]] = {}

    def take(self, number: int) -> None:
        """Take out the rows of a piece."""
        piece = self.program.pieces[number]
        found, edge = inside(piece, self.points, self.rows[self.waiting], self.tally)
        for place in edge:
            row = int(self.waiting[place])
            self.held[row] = piece.held_at(self.points.exactly(int(self.rows[row])))
        self._strike(found, number)

    def strike(self, number: int) -> None:
        """Take out the rows that a wall excludes."""
        found = excluded(self.program.walls[number], self.points, self.rows[self.waiting], self.tally)
        self._strike(found, -1 - number)

    def _strike(self, found: NDArray[np.bool_], value: int) -> None:
        self.places[self.waiting[found]] = value
        self.waiting = self.waiting[~found]
