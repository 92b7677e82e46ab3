"""A size that cannot be: the irreducible set of relations behind it, what shows it, and further sets beside it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product
from math import prod

from grading.errors import Conflict, ConflictBranch, ConflictSet
from grading.model.problem import Problem, StockChoice
from grading.model.relation import Origin, Relation
from grading.solve.branches import Branch, NoBranch, choose
from grading.solve.compiled import Compiled, compile_relations, is_lasting
from grading.solve.conflict import Order, branch_shown, named, spared
from grading.solve.contradiction import contradiction, system_of
from grading.solve.nearest import Infeasible, Stop, poll
from grading.solve.row import fraction
from grading.solve.stock import stock_label, stock_relation
from grading.solve.task import task_of

MOST_BRANCHES = 2000
"""Combinations of stock values and ways of turning that a certificate lists."""
MOST_FURTHER = 3
"""Sets that are told beside the first."""
DEFINED = frozenset({Origin.SEAM, Origin.NOTCH, Origin.COVERING, Origin.OUTLINE})
"""Origins of relations that make the bag what it is; the others are wishes, limits and purposes, and can give way."""


@dataclass(frozen=True)
class Alternative:
    """One of the problems of a request, any of which would do: they differ in the way a box is turned."""

    problem: Problem
    order: Order | None = None


def refusal(
    alternatives: Sequence[Alternative], compiled: Compiled, labels: Iterable[str], stop: Stop | None = None
) -> Conflict:
    """The conflict of problems that cannot hold, from labels among which there is one. Raises Stopped.

    Reduced anew where multipliers alone do not show that no relation can be spared: where branches fail each for its
    own reason, or roots take part.
    """
    wanted = {ground for label in labels for ground in (label, *compiled.grounds.get(label, ()))}
    every = _every_relation(alternatives)
    suspects = [relation for relation in every if relation.id in wanted]
    if len(alternatives) > 1 or any(each.form.roots or each.origin is Origin.STOCK for each in suspects):
        # Tangents of roots may mislead: then the set is looked for among all relations.
        among = suspects if _none_holds(alternatives, suspects, stop) else every
        suspects = spared(among, lambda some: _none_holds(alternatives, some, stop))
    return Conflict(named(suspects), _certificate(alternatives, {relation.id for relation in suspects}, stop))


def conflict_of(alternatives: Sequence[Alternative], compiled: Compiled, stop: Stop | None = None) -> Conflict | None:
    """The conflict of problems none of which can hold; None if one can. Raises Stopped."""
    labels: list[str] = []
    for alternative in alternatives:
        every = _every_relation((alternative,))
        try:
            chosen = restricted(alternative.problem, {relation.id for relation in every})
            nearest_branch(chosen, compiled, stop)
        except Infeasible as error:
            labels += error.multipliers
        except NoBranch as error:
            labels += error.labels
        else:
            return None
    return refusal(alternatives, compiled, labels, stop)


def further_sets(
    alternatives: Sequence[Alternative], conflict: Conflict, compiled: Compiled, stop: Stop | None = None
) -> tuple[ConflictSet, ...]:
    """At most MOST_FURTHER sets that are left when what can give way in those before has given way. Raises Stopped."""
    sets: list[ConflictSet] = []
    found: Conflict | None = conflict
    loose = list(alternatives)
    while found is not None and len(sets) < MOST_FURTHER:
        gone = {each.id for each in _every_relation(loose) if each.id in _ids(found) and not _is_firm(each)}
        if not gone:
            break
        loose = [Alternative(without(each.problem, gone), each.order) for each in loose]
        found = conflict_of(loose, compiled, stop)
        if found is not None:
            sets.append(ConflictSet(found.relations, found.certificate))
    return tuple(sets)


def restricted(problem: Problem, ids: Iterable[str]) -> Problem:
    """The problem with these relations and stocks only; all of its dimensions have a wish and a weight."""
    kept = frozenset(ids)
    stock = tuple(choice for choice in problem.stock if stock_label(choice.dimension) in kept)
    usual = max((*problem.base.values(), *problem.wish.values()), default=Fraction(1))
    wish = {name: problem.wish.get(name, problem.base.get(name, usual)) or usual for name in problem.dimensions}
    free = {choice.dimension for choice in stock}
    return replace(
        problem,
        relations=tuple(relation for relation in problem.relations if relation.id in kept),
        stock=stock,
        wish=wish,
        weight={name: 1 / value**2 for name, value in wish.items() if name not in free},
    )


def without(problem: Problem, ids: Iterable[str]) -> Problem:
    """The problem without these relations and stocks."""
    gone = frozenset(ids)
    return replace(
        problem,
        relations=tuple(relation for relation in problem.relations if relation.id not in gone),
        stock=tuple(choice for choice in problem.stock if stock_label(choice.dimension) not in gone),
    )


def nearest_branch(problem: Problem, compiled: Compiled | None, stop: Stop | None) -> Branch:
    """The nearest point in its branch. Raises Infeasible, NoBranch, Undetermined, Stopped, and Conflict where
    equations have to be compiled anew and contradict each other."""
    if compiled is None or not compiled.covers(problem.relations):
        compiled = compile_relations(problem.dimensions, problem.relations)
    return choose(task_of(problem, problem.relations, compiled), problem.stock, stop)


def _ids(conflict: Conflict) -> set[str]:
    return {relation.id for relation in conflict.relations}


def _is_firm(relation: Relation) -> bool:
    return relation.origin in DEFINED or is_lasting(relation)


def _every_relation(alternatives: Sequence[Alternative]) -> list[Relation]:
    """The relations and stocks of all alternatives, each id once."""
    every: dict[str, Relation] = {}
    for alternative in alternatives:
        problem = alternative.problem
        stocks = (stock_relation(choice, problem.ruler) for choice in problem.stock)
        for relation in (*problem.relations, *stocks):
            every.setdefault(relation.id, relation)
    return list(every.values())


def _none_holds(alternatives: Sequence[Alternative], relations: Sequence[Relation], stop: Stop | None) -> bool:
    """Whether relations exclude each other, whatever is wished; a stock relation means any of its values."""
    ids = {relation.id for relation in relations}
    return all(_excluded(restricted(alternative.problem, ids), stop) for alternative in alternatives)


def _excluded(problem: Problem, stop: Stop | None) -> bool:
    try:
        nearest_branch(problem, None, stop)
    except (Conflict, Infeasible, NoBranch):
        return True
    return False


def _certificate(alternatives: Sequence[Alternative], ids: set[str], stop: Stop | None) -> tuple[ConflictBranch, ...]:
    """A contradiction for each combination of stock values and each order, or nothing; see ConflictSet."""
    branches: list[ConflictBranch] = []
    for alternative in alternatives:
        choices = [choice for choice in alternative.problem.stock if stock_label(choice.dimension) in ids]
        if len(alternatives) * prod(len(choice.values) for choice in choices) > MOST_BRANCHES:
            return ()
        for values in product(*(choice.values for choice in choices)):
            poll(stop)
            branch = _branch(alternative, ids, dict(zip(choices, values, strict=True)), branches, stop)
            if branch is None:
                return ()
            branches.append(branch)
    return tuple(branches)


def _branch(
    alternative: Alternative,
    ids: set[str],
    chosen: dict[StockChoice, Fraction],
    before: Sequence[ConflictBranch],
    stop: Stop | None,
) -> ConflictBranch | None:
    """The contradiction of one combination; multipliers of combinations before it are tried first."""
    problem = alternative.problem
    relations = [relation for relation in problem.relations if relation.id in ids]
    relations += [stock_relation(choice, problem.ruler, value) for choice, value in chosen.items()]
    stock = {choice.dimension: value for choice, value in chosen.items()}
    for known in before:
        branch = branch_shown(relations, known.multipliers, stock, alternative.order)
        if branch is not None:
            return branch
    found = contradiction(system_of(relations), stop)
    multipliers = {label: fraction(value) for label, value in (found or {}).items()}
    return branch_shown(relations, multipliers, stock, alternative.order)
