"""Which piece of the solution map, or which wall, each of many sizes belongs to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grading.batch.piece import Tally, excluded, inside
from grading.batch.points import Places, Points
from grading.batch.program import Program
from grading.solve.nearest import Stop, poll


@dataclass(frozen=True)
class Assignment:
    """For each row the place of its piece in the program, or, where there is no size, -1 - the place of its wall."""

    places: NDArray[np.intp]

    @property
    def solved(self) -> NDArray[np.bool_]:
        """Which rows have a size."""
        return self.places >= 0


def assign(program: Program, points: Points, rows: Places, tally: Tally, stop: Stop | None = None) -> Assignment:
    """Assign rows (places in `points`) to pieces, finding new pieces at rows that no known one holds.

    Each judgement is exact where floats cannot tell. Raises Undetermined, Stopped.
    """
    places = np.full(len(rows), -1, dtype=np.intp)
    waiting = np.arange(len(rows))
    for number, wall in enumerate(program.walls):
        waiting = _struck(waiting, excluded(wall, points, rows[waiting], tally), places, -1 - number)
    for number in _by_use(program):
        poll(stop)
        waiting = _struck(waiting, inside(program.pieces[number], points, rows[waiting], tally), places, number)
    while waiting.size:
        poll(stop)
        row = int(rows[waiting[0]])
        number, has_size = program.find(points.rough[row], points.exactly(row), stop)
        if has_size:
            found = inside(program.pieces[number], points, rows[waiting], tally)
        else:
            found = excluded(program.walls[number], points, rows[waiting], tally)
        found[0] = True
        waiting = _struck(waiting, found, places, number if has_size else -1 - number)
    return Assignment(places)


def _struck(waiting: Places, found: NDArray[np.bool_], places: Places, value: int) -> Places:
    places[waiting[found]] = value
    return waiting[~found]


def _by_use(program: Program) -> range:
    return range(len(program.pieces))
