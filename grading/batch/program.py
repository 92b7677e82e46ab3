"""The parametric program: the exact affine map of each set of binding inequalities, made when it is first needed.

Least sum of weight × (x - wish)² over equations and inequalities whose constants are affine in parameters. Its
solution is piecewise affine and continuous in them: Bemporad, Morari, Dua and Pistikopoulos, The explicit linear
quadratic regulator, Automatica 38 (2002).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np
from sympy import QQ
from sympy.polys.matrices import DomainMatrix

from grading.batch.gates import Gate
from grading.batch.piece import Piece, Wall, matrix_of
from grading.batch.points import Floats, Vector
from grading.batch.posing import failing_first
from grading.form import CONSTANT
from grading.solve.active import FloatProgram, prepare
from grading.solve.elimination import Inconsistent, eliminate
from grading.solve.face import Face, Undetermined
from grading.solve.nearest import Infeasible, Stop, settle
from grading.solve.row import ZERO, Number, Row, add_to, fraction, substituted
from grading.solve.task import Task


class Program:
    """One parametric program; it keeps the pieces and walls that it has found."""

    def __init__(
        self, task: Task, parameters: Sequence[str], equations: Mapping[str, Row], wish: Mapping[str, Row]
    ) -> None:
        self.task, self.parameters, self.equations, self.wish = task, tuple(parameters), equations, wish
        self.columns = (*self.parameters, CONSTANT)
        self.pieces: list[Piece] = []
        self.walls: list[Wall] = []
        self.gates: dict[int, Gate] = {}
        self._away: dict[int, Floats] = {}
        self._known: dict[frozenset[str], int] = {}
        self._float: FloatProgram | None = None
        self._rest = np.zeros((len(self.columns), 0))
        self._rows: dict[str, Row] = {}
        self._free: tuple[str, ...] = ()
        try:
            reduced = eliminate(equations, [*task.order, *self.parameters])
        except Inconsistent as error:
            self.walls.append(self._wall(error.multipliers, is_equation=True))
            return
        for name in self.parameters:
            if name in reduced.solution:
                labels = dict(reduced.combination[name])
                self.walls.append(self._wall(labels, is_equation=True))
        self._free = tuple(name for name in task.dimensions if name not in reduced.solution)
        self._rows = {name: reduced.solution.get(name, {name: QQ(1)}) for name in task.dimensions}
        free = frozenset(self._free)
        self._slopes = {
            name: [(key, value) for key, value in self._rows[name].items() if key in free] for name in task.weight
        }

    def find(self, rough: Floats, point: Vector, stop: Stop | None = None) -> tuple[int, bool]:
        """The place of a piece that gives the nearest point there, and True; or of a wall there, and False.

        Floats guess, and the guess is judged exactly; where it was wrong the exact method of `settle` is run.
        Raises Undetermined, Stopped.
        """
        guess = self._guess(rough)
        place = self._piece(guess)
        if place is not None and self.pieces[place].holds_at(point):
            return place, True
        try:
            exact = settle(self.at(point), guess, stop)
        except Infeasible as error:
            is_equation = not any(label in self.task.inequalities for label in error.multipliers)
            self.walls.append(self._wall(error.multipliers, is_equation=is_equation))
            return len(self.walls) - 1, False
        place = self._piece(exact.active)
        if place is None or not self.pieces[place].holds_at(point):
            msg = f"the active set {exact.active} does not give the nearest point"
            raise AssertionError(msg)
        return place, True

    def away(self, number: int) -> Floats:
        """(columns, weighted dimensions): how far a piece lies from what is wished, times the root of the weight."""
        if number not in self._away:
            point, vectors = self.pieces[number].point, []
            for name in self.task.weight:
                wish = self._vector(self.wish[name])
                vectors.append(tuple(here - there for here, there in zip(point[name], wish, strict=True)))
            heavy = np.sqrt([float(fraction(weight)) for weight in self.task.weight.values()])
            self._away[number] = matrix_of(vectors, len(self.columns)) * heavy
        return self._away[number]

    def at(self, point: Vector) -> Task:
        """The task of one size, exact."""
        values = dict(zip(self.columns, point, strict=True))
        return self.task.changed(
            equations={label: self._fixed(row, values) for label, row in self.equations.items()},
            inequalities={label: self._fixed(row, values) for label, row in self.task.inequalities.items()},
            wish={name: self._fixed(row, values).get(CONSTANT, ZERO) for name, row in self.wish.items()},
        )

    def _fixed(self, row: Row, values: Mapping[str, Number]) -> Row:
        fixed: Row = {}
        for name, value in row.items():
            if name in values:
                add_to(fixed, CONSTANT, value * values[name])
            else:
                add_to(fixed, name, value)
        return fixed

    def _vector(self, row: Row) -> Vector:
        return tuple(row.get(name, ZERO) for name in self.columns)

    def _wall(self, multipliers: Mapping[str, Number], *, is_equation: bool) -> Wall:
        gap: Row = {}
        for label, factor in multipliers.items():
            for name, value in (self.equations.get(label) or self.task.inequalities[label]).items():
                add_to(gap, name, factor * value)
        return Wall(failing_first(multipliers, self.task.inequalities), self._vector(gap), is_equation)

    def _guess(self, rough: Floats) -> tuple[str, ...]:
        place = self._piece(())
        if place is None:
            return ()
        if self._float is None:
            self._float = self._prepared(self.pieces[place])
        if self._float is None:
            return ()
        labels = list(self.task.inequalities)
        outcome = replace(self._float, at_rest=rough @ self._rest, constants=np.zeros(len(labels))).solve()
        return tuple(labels[index] for index in outcome.active)

    def _prepared(self, unbound: Piece) -> FloatProgram | None:
        """The program in floats: how rows move points does not hang on the parameters, only where they rest."""
        slacks = [self._slack(label, unbound.point) for label in self.task.inequalities]
        self._rest = matrix_of(slacks, len(self.columns))
        free = frozenset(self._free)
        bare = {name: {key: value for key, value in row.items() if key in free} for name, row in self._rows.items()}
        face = Face(eliminate({}, ()), self._free, bare)
        rows = [{key: value for key, value in row.items() if key in bare} for row in self.task.inequalities.values()]
        return prepare(face, self.task.weight, dict.fromkeys(self.task.weight, ZERO), rows)

    def _piece(self, active: Iterable[str]) -> int | None:
        """The piece in which these inequalities are held; None if they hang on each other."""
        labels = tuple(sorted(active))
        key = frozenset(labels)
        if key not in self._known:
            piece = self._made(labels)
            if piece is None:
                return None
            self._known[key] = len(self.pieces)
            self.pieces.append(piece)
        return self._known[key]

    def _made(self, active: tuple[str, ...]) -> Piece | None:
        held = {label: substituted(self.task.inequalities[label], self._rows) for label in active}
        try:
            inner = eliminate(held, [*self._free[::-1], *self.parameters])
        except Inconsistent:
            return None
        if inner.implied or any(name in inner.solution for name in self.parameters):
            return None
        rows = {name: substituted(row, inner.solution) for name, row in self._rows.items()}
        free = tuple(name for name in self._free if name not in inner.solution)
        solved = self._minimum(rows, free)
        point = {name: self._vector(substituted(row, solved)) for name, row in rows.items()}
        tests = [(label, self._slack(label, point)) for label in self.task.inequalities if label not in held]
        multipliers = self._multipliers(inner.combination, active, point)
        pushed = tuple(label for label, vector in multipliers if not any(vector[:-1]) and vector[-1] > 0)
        moving = [pair for pair in (*tests, *multipliers) if any(pair[1][:-1]) or pair[1][-1] < 0]
        return Piece(active, pushed, point, tuple(moving), len(self.columns))

    def _minimum(self, rows: Mapping[str, Row], free: Sequence[str]) -> dict[str, Row]:
        """Each free dimension at the least sum, as a row of the parameters."""
        places = {name: index for index, name in enumerate(free)}
        shifts = {name: len(free) + index for index, name in enumerate(self.columns)}
        entries: dict[int, dict[int, Number]] = {index: {} for index in range(len(free))}
        for name, weight in self.task.weight.items():
            row, wish = rows[name], self.wish[name]
            inner = [(places[key], value) for key, value in row.items() if key in places]
            for first, left in inner:
                entry = entries[first]
                for key, value in row.items():
                    column, signed = (places[key], value) if key in places else (shifts[key], -value)
                    entry[column] = entry.get(column, ZERO) + weight * left * signed
                for key, value in wish.items():
                    entry[shifts[key]] = entry.get(shifts[key], ZERO) + weight * left * value
        filled = [{column: value for column, value in entry.items() if value} for entry in entries.values()]
        width = len(free) + len(self.columns)
        kept = {index: entry for index, entry in enumerate(filled) if entry}
        reduced, pivots = DomainMatrix(kept, (max(len(free), 1), width), QQ).rref()
        if len([pivot for pivot in pivots if pivot < len(free)]) < len(free):
            raise Undetermined([name for index, name in enumerate(free) if index not in pivots])
        solved = reduced.to_dod()
        return {
            name: {key: solved[index][column] for key, column in shifts.items() if column in solved.get(index, {})}
            for index, name in enumerate(free)
        }

    def _slack(self, label: str, point: Mapping[str, Vector]) -> Vector:
        total = [ZERO] * len(self.columns)
        for name, value in self.task.inequalities[label].items():
            vector = point.get(name)
            if vector is None:
                total[self.columns.index(name)] += value
            else:
                for index, coefficient in enumerate(vector):
                    if coefficient:
                        total[index] += value * coefficient
        return tuple(total)

    def _multipliers(
        self, combination: Mapping[str, Mapping[str, Number]], active: Sequence[str], point: Mapping[str, Vector]
    ) -> list[tuple[str, Vector]]:
        """The multipliers of the held inequalities, from the slope of the weighted sum along the face of equations."""
        totals = {label: [ZERO] * len(self.columns) for label in active}
        if not active:
            return []
        for name, weight in self.task.weight.items():
            wish = self._vector(self.wish[name])
            pull = [2 * weight * (here - there) for here, there in zip(point[name], wish, strict=True)]
            for key, slope in self._slopes[name]:
                for label, factor in combination.get(key, {}).items():
                    for index, value in enumerate(pull):
                        totals[label][index] += slope * factor * value
        return [(label, tuple(total)) for label, total in totals.items()]
