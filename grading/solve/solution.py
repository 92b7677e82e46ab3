"""Solving one size: stock branches and nearest point, then the ruler."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from grading.errors import Conflict, DocumentFaults, Fault
from grading.model.problem import Problem
from grading.solve.branches import Branch, NoBranch, choose
from grading.solve.compiled import Compiled, compile_relations
from grading.solve.face import Undetermined
from grading.solve.nearest import Infeasible, Stop
from grading.solve.refusal import Alternative, nearest_branch, refusal
from grading.solve.remedies import refused
from grading.solve.row import fraction, rational
from grading.solve.ruler import OutOfReach, put_on_ruler
from grading.solve.stock import stock_label, stock_relation
from grading.solve.task import task_of


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


def can_be_made(problem: Problem, compiled: Compiled | None = None, stop: Stop | None = None) -> bool:
    """Whether the problem has a size on its ruler; nothing is said of why there is none. Raises Stopped."""
    try:
        branch = nearest_branch(problem, compiled, stop)
        chosen = [stock_relation(choice, problem.ruler, branch.chosen[choice.dimension]) for choice in problem.stock]
        found = {name: fraction(branch.point.values[name]) for name in problem.dimensions}
        put_on_ruler(problem, (*problem.relations, *chosen), found, stop)
    except (Conflict, Infeasible, NoBranch, OutOfReach, Undetermined):
        return False
    return True


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
        raise refusal((Alternative(problem),), compiled, error.multipliers, stop) from None
    except NoBranch as error:
        raise refusal((Alternative(problem),), compiled, error.labels, stop) from None


def _undecided(error: Undetermined) -> DocumentFaults:
    return DocumentFaults(
        Fault(
            f"dimensions.{name}",
            f"nothing decides {name}",
            "give it a base to keep to, a seam, or a rule that says how long it is",
        )
        for name in error.dimensions
    )
