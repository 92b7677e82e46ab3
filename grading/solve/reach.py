"""What a relation of a conflict could come to at best, if all others of its set held."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from grading.model.problem import Problem
from grading.model.relation import Relation
from grading.solve.compiled import compile_relations
from grading.solve.conflict import Order
from grading.solve.contradiction import TARGET, greatest, system_of
from grading.solve.nearest import Stop, nearest
from grading.solve.refusal import Alternative, restricted
from grading.solve.row import Row, add_to, fraction, rational, stated_row
from grading.solve.stock import stock_label
from grading.solve.task import task_of
from grading.solve.yielding import Yielded, give_way


@dataclass(frozen=True)
class Reach:
    """The value of a relation's form that is nearest to holding, at a size that has it, in mm.

    Exact but where roots take part in the conflict (then to about 1e-6 of the length).
    """

    relation: Relation
    form: Fraction
    values: Mapping[str, Fraction]
    order: Order | None
    is_exact: bool


def reach_of(
    alternatives: Sequence[Alternative], ids: Iterable[str], label: str, stop: Stop | None = None
) -> Reach | None:
    """How near a relation comes to holding where all others of an irreducible conflict hold; None if it is not found.

    The stock values and the way of turning are those with which it comes nearest. Raises Stopped.
    """
    kept = frozenset(ids)
    best: tuple[Fraction, Alternative, Yielded] | None = None
    for alternative in alternatives:
        found = give_way(restricted(alternative.problem, kept), {label}, None, stop)
        if found is not None and (best is None or abs(found.forms[label]) < best[0]):
            best = abs(found.forms[label]), alternative, found
    if best is None:
        return None
    _, alternative, found = best
    problem = restricted(alternative.problem, kept)
    relation = next(each for each in problem.relations if each.id == label)
    if any(each.form.roots for each in problem.relations):
        return Reach(relation, found.forms[label], found.values, alternative.order, False)
    others = restricted(problem, kept - {label} - {stock_label(choice.dimension) for choice in problem.stock})
    chosen = {stock_label(name): _is(name, value) for name, value in found.stock.items()}
    return _exact(others, chosen, relation, found.forms[label] > 0, alternative.order, stop)


def _is(name: str, value: Fraction) -> Row:
    return {name: rational(1), "": -rational(value)}


def _exact(
    problem: Problem, chosen: Mapping[str, Row], relation: Relation, above: bool, order: Order | None, stop: Stop | None
) -> Reach | None:
    """The best value in one branch, and the nearest size that has it."""
    row = stated_row(relation.form.times(-1) if above else relation.form)
    system = system_of(problem.relations)
    best = greatest(replace(system, equations={**system.equations, **chosen}), row, stop)
    if best is None:
        return None
    add_to(row, "", -best)
    task = task_of(problem, problem.relations, compile_relations(problem.dimensions, problem.relations))
    point = nearest(task.changed(equations={**task.equations, **chosen, TARGET: row}), stop)
    values = {name: fraction(value) for name, value in point.values.items()}
    return Reach(relation, fraction(-best if above else best), values, order, True)
