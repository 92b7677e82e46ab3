"""One size at a time, quickly: the maps of a batch in the form that suits a single row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from grading.batch.piece import Piece
from grading.batch.points import Floats, Points
from grading.batch.requests import read_batch
from grading.batch.result import RowStatus
from grading.batch.solver import BatchSolver
from grading.document.numbers import GREATEST_LENGTH
from grading.document.requests import GREATEST_SCALE
from grading.model import pose
from grading.solve import nearest_point

LEAST = 1e-6
"""Scales, and lengths in mm, below this go the long way, where they are judged exactly."""


@dataclass
class _Entry:
    """A piece for one row: first the dimensions, then all tests less their error bound, then the bounds of parameters.

    both  (dimensions + tests, columns)
    gate  tests that let rows through to this entry
    """

    both: Floats
    held: tuple[str, ...]
    gate: list[int] = field(default_factory=list)


class SizeMap:
    """The nearest sizes of one kind, before the ruler, one at a time; it learns the pieces that it is asked for.

    All inequalities of every size are judged, those that floats cannot decide exactly. What a piece that is known
    costs is a few products; a new one costs some milliseconds.
    """

    def __init__(self, solver: BatchSolver) -> None:
        self.solver, self.dimensions = solver, solver.dimensions
        self.parameters = solver.posed.kind.parameters
        self._count = len(self.dimensions)
        self._most = float(GREATEST_SCALE if solver.posed.kind.is_scale else GREATEST_LENGTH)
        self._point = np.ones(len(self.parameters) + 1)
        self._entries: list[_Entry] = []
        self._gates: Floats = np.zeros((1, len(self._point)))
        self._starts: NDArray[np.intp] = np.zeros(1, np.intp)

    def nearest(self, values: Sequence[float]) -> Floats:
        """Each dimension in mm, in document order, for lengths in mm (or a scale) read as the decimals they print as.

        Raises RequestFaults, DocumentFaults, and Conflict if there is no such size.
        """
        return self._looked_up(values)[0]

    def held(self, values: Sequence[float]) -> tuple[str, ...]:
        """The inequalities that hold a size away from what is wished. Raises as `nearest` does."""
        return self._looked_up(values)[1]

    def _looked_up(self, values: Sequence[float]) -> tuple[Floats, tuple[str, ...]]:
        if self._entries:
            self._point[:-1] = values
            least = np.minimum.reduceat(self._gates.dot(self._point), self._starts)
            # Places of extremes are found several times sooner than extremes are reduced to.
            entry = self._entries[least.argmax()]
            result = entry.both.dot(self._point)
            tests = result[self._count :]
            if tests[tests.argmin()] >= 0:
                return result[: self._count], entry.held
        return self._learned(values)

    def _learned(self, values: Sequence[float]) -> tuple[Floats, tuple[str, ...]]:
        kind = self.solver.posed.kind
        cells = [float(value) for value in values]
        texts: list[str | float] = list(cells) if kind.is_scale else [f"{value!r} mm" for value in cells]
        data = {"scales": texts} if kind.is_scale else {"columns": kind.columns, "rows": [texts], "others": kind.others}
        request = read_batch(data, self.solver.model.pattern.unit)
        known = self._narrowed(np.array([*cells, 1.0]))
        if known is not None:
            return known
        result = self.solver.solve(request)
        if result.status[0] == RowStatus.FAILS:
            nearest_point(pose(self.solver.model, request.request(0)), self.solver.compiled)
        piece = self.solver.lasting_piece(request.points())
        if piece is not None:
            self._add(*piece)
        return result.values[0], result.reasons[result.reason[0]]

    def _narrowed(self, point: Floats) -> tuple[Floats, tuple[str, ...]] | None:
        """Narrow the gates that let a point through to the wrong entry; give what the right one says if it is known."""
        right: tuple[Floats, tuple[str, ...]] | None = None
        for entry in self._entries:
            result = entry.both @ point
            tests = result[self._count :]
            if tests.min() >= 0:
                right = result[: self._count], entry.held
            else:
                _gate(entry, tests)
        self._arrange()
        return right

    def _add(self, piece: Piece, points: Points) -> None:
        """Add a piece; parameters beyond those of the kind are constants of the program."""
        count = len(self.parameters)
        widest = replace(points, rough=np.array([[self._most] * count + [1.0]]))
        judge = widest.folded(piece.judge).copy()
        judge[-1] -= widest.error(piece.judge)
        domain = np.vstack([np.eye(count), -np.eye(count)])
        limits = np.repeat([-LEAST, self._most], count)
        both = np.vstack([widest.folded(piece.place).T, judge.T, np.column_stack([domain, limits])])
        self._entries.append(_Entry(both, piece.held, [len(both) - self._count - 1]))
        self._arrange()

    def _arrange(self) -> None:
        if not self._entries:
            return
        tests = [entry.both[self._count :][entry.gate] for entry in self._entries]
        self._gates = np.ascontiguousarray(np.vstack(tests))
        self._starts = np.cumsum([0, *(len(entry.gate) for entry in self._entries)])[:-1]


def _gate(entry: _Entry, tests: Floats) -> None:
    """Have an entry let no point through that fails one of its tests."""
    if tests[entry.gate].min() >= 0:
        entry.gate.append(int(tests.argmin()))
