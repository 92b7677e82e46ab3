"""The ruler: the size near the nearest one at which every measure lies on the ruler and every join is kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from grading.form import CONSTANT, Form
from grading.model.problem import Problem
from grading.model.relation import Relation
from grading.solve.compiled import column_order
from grading.solve.judge import REACHED, broken_relations, holds
from grading.solve.lattice import Lattice, OffRuler, lattice_of, measure_label
from grading.solve.nearest import Infeasible, Stop, nearest, poll
from grading.solve.program import Bounds, Program, Pull, least_change
from grading.solve.row import Row, fraction, rational, row_of, stated_row, tangent_row, value_of
from grading.solve.task import Task
from grading.solve.whole import Undecided

HEAVY = 100.0
"""How many times more a change of a fixed or asked dimension costs than the same of another."""
SMALL = 20.0
"""Dimensions below this many mm count as this long where a change is taken in proportion."""
TRIES = 8
"""How often roots and margins are drawn anew before a ruler counts as out of reach."""
PARTS = (1, 2, 4, 10, 100, 1000, 10**6)
"""Parts of a step to which dimensions that no measure decides are put, the coarsest that holds."""

STILL = Fraction(1, 10**6)
"""Parts of a step that count as no movement in what floats found."""

Values = Mapping[str, Fraction]


class OutOfReach(Exception):
    """No size was found. `shown`: there is none, and not only none found.

    `labels` name relations and measures known to be at fault; where there are none all may be.
    """

    def __init__(self, labels: Sequence[str] = (), *, shown: bool) -> None:
        self.labels, self.shown = tuple(labels), shown
        super().__init__(", ".join(self.labels))


@dataclass(frozen=True)
class _Stage:
    """One problem on its way to the ruler: the nearest point, and the lattice of the relations taken in."""

    problem: Problem
    relations: tuple[Relation, ...]
    found: Values
    rough: Mapping[str, float]
    equations: Mapping[str, Row]
    lattice: Lattice

    @property
    def held(self) -> set[str]:
        """Dimensions that are fixed or asked for."""
        return {name for relation in self.relations if relation.origin in REACHED for name in relation.form.names}


def put_on_ruler(
    problem: Problem, relations: Sequence[Relation], found: Values, stop: Stop | None = None
) -> dict[str, Fraction]:
    """The size on the ruler that changes least from the nearest one, judged exactly.

    Least is the sum of |change| / |nearest value| over all dimensions; see `program` for ties. Equations of fixed and
    asked dimensions are not kept but for their reach. Raises OutOfReach, Stopped.
    """
    stage = _staged(problem, relations, found)
    program = Program(stage.lattice, problem.ruler.step, _measured(stage), tuple(_pulls(stage)))
    at, margins = found, dict.fromkeys((relation.id for relation in relations), Fraction(0))
    for _ in range(TRIES):
        poll(stop)
        try:
            places = least_change(program, list(_bounds(stage, at, margins)), stop)
        except Undecided:
            break
        if places is None:
            raise OutOfReach(shown=True)
        values = _recovered(stage, places, margins, stop)
        if holds(problem, relations, values, found):
            return values
        at = values
        for relation, lack in broken_relations(relations, values):
            margins[relation.id] += lack
    raise OutOfReach(shown=False)


def _staged(problem: Problem, relations: Sequence[Relation], found: Values) -> _Stage:
    equations = {}
    for relation in relations:
        if relation.is_equation and _is_exact(relation):
            # Pi is no quotient of whole numbers: on the ruler what stands with it and what does not are zero apart.
            equations[relation.id] = row_of(relation.form.plain)
            if relation.form.pi:
                equations[f"{relation.id}:pi"] = row_of(relation.form.pi)
    try:
        lattice = lattice_of(
            problem.dimensions, column_order(problem.dimensions), equations, problem.measures, problem.ruler.step
        )
    except OffRuler as error:
        raise OutOfReach(error.labels, shown=True) from None
    rough = {name: float(value) for name, value in found.items()}
    return _Stage(problem, tuple(relations), found, rough, equations, lattice)


def _is_exact(relation: Relation) -> bool:
    return relation.tolerance is None and not relation.form.roots and relation.origin not in REACHED


def _measured(stage: _Stage) -> dict[str, float]:
    """Steps of each measure and mm of each loose dimension at the nearest point, not whole."""
    step = float(stage.problem.ruler.step)
    measured = {name: stage.rough[name] for name in stage.lattice.loose}
    for place, measure in enumerate(stage.problem.measures):
        measured[measure_label(place)] = measure.form.rough(stage.rough) / step
    return measured


def _pulls(stage: _Stage) -> Iterator[Pull]:
    held = stage.held
    for name in stage.problem.dimensions:
        value = stage.rough[name]
        cost = (HEAVY if name in held else 1.0) / max(abs(value), SMALL)
        yield Pull(name, value, float(stage.problem.reach[name]), cost)


def _bounds(stage: _Stage, at: Values, margins: Values) -> Iterator[Bounds]:
    """Relations that the lattice does not keep by itself and that a change within reach could break."""
    for relation in stage.relations:
        if relation.origin in REACHED or (relation.is_equation and _is_exact(relation)):
            continue
        margin = rational(margins[relation.id])
        row = tangent_row(relation.form, at)
        if relation.is_equation:
            allowed = rational(relation.tolerance or Fraction(0)) - margin
            yield Bounds(row, -allowed, allowed)
        elif relation.form.roots or _can_break(stage, row):
            yield Bounds(row, margin, None)


def _can_break(stage: _Stage, row: Row) -> bool:
    slack = float(row.get(CONSTANT, 0))
    for name, coefficient in row.items():
        if name:
            factor = float(coefficient)
            slack += factor * stage.rough[name] - abs(factor) * float(stage.problem.reach[name])
    return slack < 1e-6


def _recovered(
    stage: _Stage, places: Mapping[str, Fraction], margins: Values, stop: Stop | None
) -> dict[str, Fraction]:
    """The dimensions, exactly: from whole steps, and where some are loose the coarsest values that hold.

    Loose ones that are fixed or asked for keep their value where the search found no reason to move them.
    """
    step, values = stage.problem.ruler.step, dict[str, Fraction]()
    unmoved = {name for name in stage.held if abs(places.get(name, step) - stage.found[name]) < step * STILL}
    for parts in PARTS:
        part = step / parts
        at = {name: rational(value) for name, value in places.items()}
        at |= {name: rational(part * round(places[name] / part)) for name in stage.lattice.loose}
        at |= {name: rational(stage.found[name]) for name in unmoved}
        values = {name: fraction(value_of(row, at)) for name, row in stage.lattice.rows.items()}
        if not stage.lattice.loose or holds(stage.problem, stage.relations, values, stage.found):
            return values
    try:
        point = nearest(_projection(stage, places, margins), stop)
    except Infeasible:
        return values
    return {name: fraction(value) for name, value in point.values.items()}


def _projection(stage: _Stage, places: Mapping[str, Fraction], margins: Values) -> Task:
    """The task of finding loose dimensions exactly, measures being what they are."""
    step = stage.problem.ruler.step
    equations = dict(stage.equations)
    for name in stage.lattice.whole:
        form = stage.problem.measures[int(name.removeprefix("measure:"))].form
        equations[name] = stated_row(form - Form({CONSTANT: places[name] * step}))
    inequalities: dict[str, Row] = {}
    for index, bound in enumerate(_bounds(stage, stage.found, margins)):
        for label, sign, end in ((f"{index}:least", 1, bound.least), (f"{index}:most", -1, bound.most)):
            if end is not None:
                row = {name: sign * value for name, value in bound.row.items()}
                inequalities[label] = {**row, CONSTANT: sign * (bound.row.get(CONSTANT, 0) - end)}
    for name, most in stage.problem.reach.items():
        for label, sign in ((f"{name}:least", 1), (f"{name}:most", -1)):
            constant = rational(most - sign * stage.found[name])
            inequalities[label] = {name: rational(sign), CONSTANT: constant}
    return Task(
        dimensions=stage.problem.dimensions,
        order=tuple(column_order(stage.problem.dimensions)),
        wish={name: rational(value) for name, value in stage.found.items()},
        weight={name: rational(1 / max(abs(value), Fraction(20)) ** 2) for name, value in stage.found.items()},
        start=stage.found,
        equations=equations,
        inequalities=inequalities,
        curved={},
        merged={},
    )
