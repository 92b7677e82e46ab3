"""Solving one size: stock branches and nearest point, then the ruler."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from grading.errors import Conflict, DocumentFaults, Fault
from grading.exact import Ruler
from grading.form import CONSTANT, Form
from grading.model.problem import Problem, StockChoice
from grading.model.relation import Origin, Relation, Sense
from grading.solve.branches import Branch, NoBranch, choose, stock_label
from grading.solve.compiled import Compiled, compile_relations
from grading.solve.conflict import named, spared
from grading.solve.face import Undetermined
from grading.solve.nearest import Infeasible, Stop
from grading.solve.remedies import refused
from grading.solve.row import fraction, rational
from grading.solve.ruler import OutOfReach, put_on_ruler
from grading.solve.task import task_of

MOST_LISTED = 8
"""Stock values that a conflict lists one by one."""


@dataclass(frozen=True)
class Solution:
    """One size, in mm, exact (where roots stay: to 1e-12 mm).

    nearest      each dimension at the nearest point
    multipliers  by relation id, those that are not zero: for each dimension d the sum of multiplier × coefficient of d
                 is 2 × weight × (nearest - wish); of inequalities they are above zero
    stock        the chosen value of each dimension from stock
    printed      each dimension after the ruler
    """

    nearest: Mapping[str, Fraction]
    multipliers: Mapping[str, Fraction]
    stock: Mapping[str, Fraction]
    printed: Mapping[str, Fraction]


def solve(
    problem: Problem,
    compiled: Compiled | None = None,
    withhold: frozenset[str] = frozenset(),
    stop: Stop | None = None,
) -> Solution:
    """Find the nearest size that meets all relations, and put it on the ruler.

    `compiled` is used if it has the very equations of the problem, else they are compiled anew. Relations in
    `withhold` (ids; `stock:D` too) are left out everywhere; dimensions that then nothing decides keep to their wish.
    Deterministic. Raises Conflict (irreducible), RulerOutOfReach, DocumentFaults (dimensions that nothing
    decides), Stopped (when `stop`, asked now and then, says so).
    """
    kept = _without(problem, withhold)
    branch = _nearest(kept, compiled, bool(withhold), stop)
    chosen = [stock_relation(choice, kept.ruler, branch.chosen[choice.dimension]) for choice in kept.stock]
    found = {name: fraction(branch.point.values[name]) for name in problem.dimensions}
    relations = (*kept.relations, *chosen)
    try:
        printed = put_on_ruler(kept, relations, found, stop)
    except OutOfReach as error:
        raise refused(kept, relations, found, error, stop) from None
    return Solution(
        nearest=found,
        multipliers={label: fraction(value) for label, value in branch.point.multipliers.items()},
        stock=branch.chosen,
        printed=printed,
    )


def nearest_point(problem: Problem, compiled: Compiled | None = None, stop: Stop | None = None) -> dict[str, Fraction]:
    """The nearest point alone, before the ruler, in mm. Raises Conflict, DocumentFaults, Stopped."""
    branch = _nearest(problem, compiled, False, stop)
    return {name: fraction(branch.point.values[name]) for name in problem.dimensions}


def stock_relation(choice: StockChoice, ruler: Ruler, value: Fraction | None = None) -> Relation:
    """The relation that a dimension has this value of its stock (or, without one, any: to be named in a conflict)."""
    listed = [ruler.text(each) for each in (choice.values if value is None else (value,))]
    if len(listed) > MOST_LISTED:
        listed = [f"one of {len(listed)} from {listed[0]} to {listed[-1]}"]
    return Relation(
        id=stock_label(choice.dimension),
        origin=Origin.STOCK,
        form=Form({choice.dimension: Fraction(1), CONSTANT: -(choice.wish if value is None else value)}),
        sense=Sense.EQUAL,
        says=f"{choice.dimension} is {' or '.join(listed)}",
        because="it is sold in these sizes",
        path=f"dimensions.{choice.dimension}",
    )


def _without(problem: Problem, withhold: frozenset[str]) -> Problem:
    if not withhold:
        return problem
    free = {choice.dimension for choice in problem.stock if stock_label(choice.dimension) in withhold}
    most = max(problem.reach.values(), default=problem.ruler.step)
    return replace(
        problem,
        relations=tuple(relation for relation in problem.relations if relation.id not in withhold),
        stock=tuple(choice for choice in problem.stock if choice.dimension not in free),
        reach={name: most if name in free else reach for name, reach in problem.reach.items()},
    )


def _nearest(problem: Problem, compiled: Compiled | None, lenient: bool, stop: Stop | None) -> Branch:
    if compiled is None or not compiled.covers(problem.relations):
        compiled = compile_relations(problem.dimensions, problem.relations)
    task = task_of(problem, problem.relations, compiled)
    try:
        try:
            return choose(task, problem.stock, stop)
        except Undetermined as error:
            if not lenient:
                raise _undecided(error) from None
            wish = {name: rational(problem.wish.get(name, problem.base[name])) for name in error.dimensions}
            weight = {name: 1 / value**2 if value else rational(1) for name, value in wish.items()}
            freed = task.changed(wish={**task.wish, **wish}, weight={**task.weight, **weight})
            return choose(freed, problem.stock, stop)
    except Infeasible as error:
        raise _conflict(problem, compiled, error.multipliers, False) from None
    except NoBranch as error:
        raise _conflict(problem, compiled, error.labels, True) from None


def _undecided(error: Undetermined) -> DocumentFaults:
    return DocumentFaults(
        Fault(
            f"dimensions.{name}",
            f"nothing decides {name}",
            "give it a base to keep to, a seam, or a rule that says how long it is",
        )
        for name in error.dimensions
    )


def _conflict(problem: Problem, compiled: Compiled, labels: Iterable[str], reducible: bool) -> Conflict:
    """The conflict of these relations. Reduced anew where the multipliers alone do not show that none can be spared:
    where branches fail each for its own reason, or roots take part."""
    wanted = set(labels)
    wanted |= {ground for label in wanted for ground in compiled.grounds.get(label, ())}
    suspects = [relation for relation in problem.relations if relation.id in wanted]
    suspects += [
        stock_relation(choice, problem.ruler) for choice in problem.stock if stock_label(choice.dimension) in wanted
    ]
    if reducible or any(relation.form.roots or relation.origin is Origin.STOCK for relation in suspects):
        suspects = spared(suspects, lambda some: _cannot_hold(problem, some))
    return Conflict(named(suspects))


def _cannot_hold(problem: Problem, relations: Sequence[Relation]) -> bool:
    """Whether relations exclude each other, whatever is wished; a stock relation means any of its values."""
    ids = {relation.id for relation in relations}
    stock = tuple(choice for choice in problem.stock if stock_label(choice.dimension) in ids)
    kept = tuple(relation for relation in relations if relation.origin is not Origin.STOCK)
    usual = max((*problem.base.values(), *problem.wish.values()), default=Fraction(1))
    wish = {name: problem.wish.get(name, problem.base.get(name, usual)) or usual for name in problem.dimensions}
    free = {choice.dimension for choice in stock}
    weight = {name: 1 / value**2 for name, value in wish.items() if name not in free}
    some = replace(problem, relations=kept, stock=stock, wish=wish, weight=weight)
    try:
        compiled = compile_relations(some.dimensions, some.relations)
        choose(task_of(some, some.relations, compiled), stock)
    except (Conflict, Infeasible, NoBranch):
        return True
    return False
