"""Which piece of the solution map, or which wall, each of many sizes belongs to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from grading.batch.gates import Gate, guess_pieces
from grading.batch.piece import Tally, excluded, inside
from grading.batch.points import Places, Points
from grading.batch.program import Program
from grading.solve.nearest import Stop, poll

SCOUTS = 1024
SAMPLED = 4
"""Of more than SAMPLED × SCOUTS rows, SCOUTS spread ones find most pieces before all are sorted."""
GUESSES = 6
"""Rounds of guessing and narrowing gates before every piece is tried."""


@dataclass(frozen=True)
class Assignment:
    """For each row the place of its piece in the program, or, where there is no size, -1 - the place of its wall.

    held  the inequalities that hold a row which lies at the edge of its piece, where they may be fewer
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
    if len(rows) > SAMPLED * SCOUTS:
        assign(program, points, rows[:: len(rows) // SCOUTS], Tally(), stop)
    sorting = _Sorting(program, points, rows, tally)
    for number in range(len(program.walls)):
        sorting.strike(number)
    sorting.guess()
    for number in range(len(program.pieces)):
        poll(stop)
        sorting.take(number)
    while sorting.waiting.size:
        poll(stop)
        row = int(rows[sorting.waiting[0]])
        number, has_size = program.find(points.full(row), points.exactly(row), stop)
        if has_size:
            sorting.take(number)
            if number not in program.gates:
                program.gates[number] = Gate(program.pieces[number])
                program.gates[number].exclude(points, rows)
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

    def guess(self) -> None:
        """Take out the rows that lie in the piece that gates guess; gates that let in others are narrowed."""
        gates = self.program.gates
        for _ in range(GUESSES if len(gates) > 1 else 0):
            if not self.waiting.size:
                break
            guessed = guess_pieces(gates, self.points, self.rows[self.waiting])
            order = np.argsort(guessed, kind="stable")  # whole numbers of 16 bits are sorted in linear time
            starts = np.searchsorted(guessed[order], np.arange(len(self.program.pieces) + 1))
            accepted = np.zeros(len(self.waiting), np.bool_)
            for number, (start, end) in enumerate(pairwise(starts.tolist())):
                group = order[start:end]
                if group.size:
                    found = self._found(number, self.waiting[group])
                    self.places[self.waiting[group[found]]] = number
                    accepted[group[found]] = True
                    gates[number].used += int(found.sum())
                    gates[number].exclude(self.points, self.rows[self.waiting[group[~found]]])
            self.waiting = self.waiting[~accepted]

    def take(self, number: int) -> None:
        """Take out the rows of a piece."""
        if self.waiting.size:
            self._strike(self._found(number, self.waiting), number)

    def _found(self, number: int, waiting: Places) -> NDArray[np.bool_]:
        piece = self.program.pieces[number]
        found, edge = inside(piece, self.points, self.rows[waiting], self.tally)
        for place in edge:
            row = int(waiting[place])
            self.held[row] = piece.held_at(self.points.exactly(int(self.rows[row])))
        return found

    def strike(self, number: int) -> None:
        """Take out the rows that a wall excludes."""
        found = excluded(self.program.walls[number], self.points, self.rows[self.waiting], self.tally)
        self._strike(found, -1 - number)

    def _strike(self, found: NDArray[np.bool_], value: int) -> None:
        self.places[self.waiting[found]] = value
        self.waiting = self.waiting[~found]
