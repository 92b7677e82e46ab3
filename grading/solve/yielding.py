"""How far relations have to give way, so that all others hold: searched here, and tried on a ruler elsewhere."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.errors import Conflict
from grading.form import dimension
from grading.model.problem import Problem
from grading.solve.branches import NoBranch, choose
from grading.solve.compiled import Compiled, compile_relations
from grading.solve.face import Undetermined
from grading.solve.nearest import Infeasible, Stop
from grading.solve.refusal import without
from grading.solve.row import fraction, rational, stated_row
from grading.solve.stock import stock_label
from grading.solve.task import Task, task_of

HEAVY = rational(10**8)
"""How many times more giving way costs than a change of the size, both squared and in proportion."""
LIGHT = Fraction(1, 10**6)
"""What a dimension without a weight is given, so that there is one nearest size."""
SMALL = Fraction(20)
"""Lengths below this many mm count as this long where a change is taken in proportion, as on the ruler."""


@dataclass(frozen=True)
class Yielded:
    """The nearest size with some relations given way, in mm: `forms` are the values of theirs. Near, not exact."""

    forms: Mapping[str, Fraction]
    stock: Mapping[str, Fraction]
    values: Mapping[str, Fraction]


def give_way(
    problem: Problem, labels: Iterable[str], compiled: Compiled | None = None, stop: Stop | None = None
) -> Yielded | None:
    """The size at which relations with these labels give way least, in squares and in proportion to their constants,
    and all others hold; None if there is none. A stock gives way to any value. Raises Stopped.
    """
    loose = frozenset(labels)
    kept = without(problem, loose)
    freed = [choice for choice in problem.stock if stock_label(choice.dimension) in loose]
    try:
        if compiled is None or not compiled.covers(kept.relations):
            compiled = compile_relations(kept.dimensions, kept.relations)
        task = _loosened(task_of(kept, kept.relations, compiled), problem, loose)
        wish = {choice.dimension: rational(choice.wish) for choice in freed}
        weight = {name: HEAVY / value**2 for name, value in wish.items()}
        task = task.changed(wish={**task.wish, **wish}, weight={**task.weight, **weight})
        branch = choose(task, kept.stock, stop)
    except (Conflict, Infeasible, NoBranch, Undetermined):
        return None
    values = {name: fraction(value) for name, value in branch.point.values.items()}
    forms = {relation.id: values[_change(relation.id)] for relation in problem.relations if relation.id in loose}
    return Yielded(forms, branch.chosen, {name: values[name] for name in problem.dimensions})


def _change(label: str) -> str:
    """The unknown that a relation's form is equal to when it gives way; no dimension has such a name."""
    return f"\N{GREEK CAPITAL LETTER DELTA} {label}"


def _loosened(task: Task, problem: Problem, loose: frozenset[str]) -> Task:
    """The task in which each loose relation has an unknown to give way by, which is heavy to move."""
    equations, inequalities, curved = dict(task.equations), dict(task.inequalities), dict(task.curved)
    wish, weight, start = dict(task.wish), dict(task.weight), dict(task.start)
    for name in task.dimensions:
        if name not in weight and name not in {choice.dimension for choice in problem.stock}:
            usual = problem.wish.get(name) or problem.base.get(name) or SMALL
            wish[name], weight[name] = rational(usual), rational(LIGHT / usual**2)
    changes = []
    for relation in problem.relations:
        if relation.id not in loose:
            continue
        name = _change(relation.id)
        changes.append(name)
        wish[name], start[name] = rational(0), Fraction(0)
        weight[name] = HEAVY / rational(max(abs(relation.form.constant), SMALL) ** 2)
        defined = relation.form - dimension(name)
        if defined.roots:
            curved[relation.id] = (defined, relation.is_equation)
        else:
            (equations if relation.is_equation else inequalities)[relation.id] = stated_row(defined)
    return task.changed(
        dimensions=(*task.dimensions, *changes),
        order=(*changes, *task.order),
        wish=wish,
        weight=weight,
        start=start,
        equations=equations,
        inequalities=inequalities,
        curved=curved,
    )
