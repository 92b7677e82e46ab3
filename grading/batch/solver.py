"""Solves batches: rows by affine maps, and row by row where these are not the answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from grading.batch.assignment import assign
from grading.batch.branching import Branching, Found, Programs
from grading.batch.piece import Piece, Tally
from grading.batch.points import Floats, Places, Points
from grading.batch.posing import Kind, pose_kind
from grading.batch.requests import BatchRequest
from grading.batch.result import BatchResult, RowStatus
from grading.batch.rowwise import solve_row
from grading.errors import Fault, RequestFaults
from grading.exact import shown
from grading.model import Model
from grading.model.findings import stock_values
from grading.solve import Compiled, nearest_point
from grading.solve.face import Undetermined
from grading.solve.nearest import Stop, poll

MOST_FAULTS = 20
BLOCK = 2048
"""Rows that are filled in together, so that what is multiplied stays in the processor's cache."""


class BatchSolver:
    """Solves batches of one kind of size of one pattern.

    It keeps the maps that it finds, so that later batches are quicker. Of several relations that exclude a row, or
    hold it, each alone being enough, later batches may name others; the sizes are the same.
    """

    def __init__(self, model: Model, compiled: Compiled, kind: Kind) -> None:
        """Raises RequestFaults for columns that the pattern cannot set."""
        self.model, self.compiled = model, compiled
        try:
            self.posed = pose_kind(model, compiled, kind)
        except RequestFaults as error:
            raise RequestFaults(_of_columns(error.faults, kind)) from None
        self.dimensions = self.posed.problem.dimensions
        self.programs = None if self.posed.task.curved else Programs(self.posed)

    def solve(self, request: BatchRequest, stop: Stop | None = None) -> BatchResult:
        """The nearest size of every row. Raises RequestFaults, DocumentFaults, Stopped."""
        if request.kind != self.posed.kind or request.unit != self.model.pattern.unit:
            msg = "the batch is of another kind, or in another unit"
            raise ValueError(msg)
        self._refuse_what_is_not_in_stock(request)
        answer = _Answer(len(request), len(self.dimensions))
        tally = Tally()
        if self.programs is None:
            by_hand: Sequence[int] = range(len(request))
        else:
            points = request.points()
            try:
                branching = Branching(self.programs, points, tally, stop)
                found = branching.run()
            except Undetermined:
                nearest_point(self.posed.problem, self.compiled, stop)
                raise
            _fill(answer, branching, found)
            by_hand = sorted(found.ties)
        for row in by_hand:
            poll(stop)
            self._solve_row(answer, request, row, stop)
        relations = {relation.id: relation for relation in self.posed.problem.relations}
        return BatchResult(
            self.dimensions, answer.values, answer.status, answer.reason, tuple(answer.reasons), relations, tally.exact
        )

    def lasting_piece(self, points: Points) -> tuple[Piece, Points] | None:
        """The piece that decides the first row, with its parameters, if every choice from stock is open in it: what it
        says of other rows then hangs on no search."""
        if self.programs is None:
            return None
        branching = Branching(self.programs, points, Tally(), None)
        every = np.arange(1)
        program = self.programs.free
        opened = branching.opened(every) if self.posed.stock else points
        outcome = assign(program, opened, every, Tally(), None)
        piece = program.pieces[outcome.places[0]] if outcome.solved[0] else None
        return None if piece is None or not branching.is_settled(piece) else (piece, opened)

    def _solve_row(self, answer: _Answer, request: BatchRequest, row: int, stop: Stop | None) -> None:
        solved = solve_row(self.model, self.compiled, request.request(row), stop)
        if solved.point is None:
            answer.fail(row, solved.reason)
            return
        answer.values[row] = [float(solved.point[name]) for name in self.dimensions]
        answer.hold(row, solved.reason)

    def _refuse_what_is_not_in_stock(self, request: BatchRequest) -> None:
        faults = []
        for column, name in enumerate(request.kind.columns):
            stock = self.model.pattern.dimensions[name].stock
            if self.model.pattern.dimensions[name].sizing != "stock" or stock is None:
                continue
            values = stock_values(self.model.draft, stock)
            listed = ", ".join(self.model.ruler.text(value) for value in values)
            known = np.array([float(value) for value in values])
            for row in np.flatnonzero(~np.isin(request.rough[:, column], known)).tolist():
                problem = f"{shown(request.cells[row][column])} is not in stock"
                faults.append(Fault(f"rows.{row}.{column}", problem, f"choose one of {listed}"))
        if faults:
            raise RequestFaults(faults[:MOST_FAULTS])


class _Answer:
    """A result being filled in."""

    def __init__(self, rows: int, dimensions: int) -> None:
        self.values: Floats = np.empty((rows, dimensions))
        self.status: NDArray[np.int8] = np.zeros(rows, np.int8)
        self.reason: NDArray[np.int32] = np.zeros(rows, np.int32)
        self.reasons: list[tuple[str, ...]] = [()]
        self._places: dict[tuple[str, ...], int] = {(): 0}

    def place(self, reason: tuple[str, ...]) -> int:
        """The place of a reason among those that were given."""
        if reason not in self._places:
            self._places[reason] = len(self.reasons)
            self.reasons.append(reason)
        return self._places[reason]

    def fail(self, row: int, reason: tuple[str, ...]) -> None:
        """No size for a row."""
        self.status[row], self.reason[row] = RowStatus.FAILS, self.place(reason)
        self.values[row] = np.nan

    def hold(self, row: int, reason: tuple[str, ...]) -> None:
        """A size for a row, held by these."""
        self.status[row] = RowStatus.BOUND if reason else RowStatus.AS_WISHED
        self.reason[row] = self.place(reason)


def _fill(answer: _Answer, branching: Branching, found: Found) -> None:
    """Sizes and reasons from the maps."""
    for is_free, program in ((False, branching.programs.chosen), (True, branching.programs.free)):
        mine = np.flatnonzero((found.is_free == is_free) & (found.pieces >= 0))
        for number in np.flatnonzero(np.bincount(found.pieces[mine])).tolist():
            rows = mine[found.pieces[mine] == number]
            piece = program.pieces[number]
            places = found.chosen[rows]
            points = _points(branching, rows, places, is_free=is_free)
            place = points.folded(piece.place)
            for start in range(0, len(rows), BLOCK):
                some = slice(start, start + BLOCK)
                answer.values[rows[some]] = points.rough[some] @ place
            held = tuple(label for label in piece.held if not label.startswith("stock:"))
            answer.status[rows] = RowStatus.BOUND if held else RowStatus.AS_WISHED
            answer.reason[rows] = answer.place(held)
    for row, held in found.held.items():
        if found.pieces[row] >= 0:
            answer.hold(row, held)
    failing = found.pieces < 0
    answer.values[failing] = np.nan
    answer.status[failing] = RowStatus.FAILS
    places = np.array([answer.place(reason) for reason in found.reasons], np.int32)
    answer.reason[failing] = places[found.fails[failing]] if failing.any() else 0


def _points(branching: Branching, rows: Places, places: NDArray[np.intp], *, is_free: bool) -> Points:
    if not is_free:
        return branching.chosen_points(rows, places)
    alike = (places == places[0]).all()
    return branching.free_point(rows, places[0]) if alike else branching.free_points(rows, places)


def _of_columns(faults: Iterable[Fault], kind: Kind) -> list[Fault]:
    """Faults of a size request as those of the columns that it was made from."""
    places = {f"request.set.{name}": f"columns.{place}" for place, name in enumerate(kind.columns)}
    return [Fault(places.get(fault.path, fault.path), fault.problem, fault.remedy) for fault in faults]
