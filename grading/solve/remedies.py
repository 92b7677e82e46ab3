"""What is said where a ruler is out of reach: which relations are at fault, and what was tried and does."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from grading.errors import RelationInConflict, RulerOutOfReach
from grading.exact import INCH, Ruler
from grading.model.problem import Problem
from grading.model.relation import Relation
from grading.solve.conflict import named, spared
from grading.solve.judge import REACHED
from grading.solve.lattice import measure_label
from grading.solve.nearest import Stop
from grading.solve.ruler import OutOfReach, put_on_ruler

METRIC_PARTS = (2, 5, 10, 20, 100)
"""Parts of a metric step that are tried as finer rulers."""
INCH_PARTS = (2, 4, 8, 16)
"""Parts of a step in inches that are tried as finer rulers."""
LARGER_TOLERANCES = 8
"""How many larger tolerances are tried, in halves of a mm or sixteenths of an inch."""

Values = Mapping[str, Fraction]


def refused(
    problem: Problem, relations: Sequence[Relation], found: Values, error: OutOfReach, stop: Stop | None
) -> RulerOutOfReach:
    """The error to raise: relations none of which can be spared, or measures, and remedies that were tried.

    Where it is not shown that there is no size, all relations with a tolerance are named. Raises Stopped.
    """
    at_fault = _at_fault(problem, relations, found, error, stop)
    blamed = named(at_fault) or _blamed_measures(problem, found, stop)
    remedies = [
        text
        for text in (
            _finer_ruler(problem, relations, found, stop),
            _larger_tolerance(problem, relations, found, at_fault, stop),
        )
        if text
    ]
    remedy = ", or ".join(remedies) or "no finer ruler and no larger tolerance that was tried would do"
    return RulerOutOfReach(blamed, str(problem.ruler), remedy)


def _fails(problem: Problem, relations: Iterable[Relation], found: Values, stop: Stop | None) -> bool | None:
    """Whether there is no size on the ruler with these relations; None where none was found and that is all."""
    try:
        put_on_ruler(problem, tuple(relations), found, stop)
    except OutOfReach as error:
        return True if error.shown else None
    return False


def _at_fault(
    problem: Problem, relations: Sequence[Relation], found: Values, error: OutOfReach, stop: Stop | None
) -> list[Relation]:
    if not error.shown:
        return [relation for relation in relations if relation.tolerance is not None]
    if _fails(problem, (), found, stop):
        return []
    shown = [relation for relation in relations if relation.id in error.labels or f"{relation.id}:pi" in error.labels]
    kept = [relation for relation in relations if relation.origin not in REACHED]
    suspects = shown if shown and _fails(problem, shown, found, stop) else kept
    return spared(suspects, lambda some: _fails(problem, some, found, stop) is True)


def _measuring(problem: Problem, places: Iterable[int]) -> Problem:
    return replace(problem, measures=tuple(problem.measures[place] for place in places))


def _blamed_measures(problem: Problem, found: Values, stop: Stop | None) -> list[RelationInConflict]:
    """Measures that cannot be on the ruler whatever the joins are."""
    places = spared(
        range(len(problem.measures)),
        lambda some: _fails(_measuring(problem, some), (), found, stop) is True,
    )
    return [
        RelationInConflict(
            measure_label(place),
            f"{problem.measures[place].about} is a whole number of steps",
            "it is measured with the ruler",
            "ruler",
        )
        for place in places
    ]


def _finer_ruler(problem: Problem, relations: Sequence[Relation], found: Values, stop: Stop | None) -> str | None:
    ruler = problem.ruler
    for part in INCH_PARTS if ruler.in_inches else METRIC_PARTS:
        finer = Ruler(ruler.step / part, ruler.in_inches)
        reach = {name: most / part for name, most in problem.reach.items()}
        if _fails(replace(problem, ruler=finer, reach=reach), relations, found, stop) is False:
            return f"a ruler of {finer} would do"
    return None


def _larger_tolerance(
    problem: Problem,
    relations: Sequence[Relation],
    found: Values,
    at_fault: Sequence[Relation],
    stop: Stop | None,
) -> str | None:
    """The least larger tolerance that does, for the joins at fault alone or else for all that have one."""
    blamed = {relation.id: relation for relation in at_fault if relation.tolerance is not None}
    every = {relation.id: relation for relation in relations if relation.tolerance is not None}
    if not blamed:
        return None
    where = " and ".join(relation.path for relation in blamed.values())
    for loose, text in ((blamed, where), (every, "every join that has one")):
        for tolerance in _larger(problem.ruler, loose.values()):
            widened = [replace(each, tolerance=tolerance) if each.id in loose else each for each in relations]
            if _fails(problem, widened, found, stop) is False:
                return f"a tolerance of {problem.ruler.text(tolerance)} for {text} would do"
    return None


def _larger(ruler: Ruler, relations: Iterable[Relation]) -> list[Fraction]:
    part = INCH / 16 if ruler.in_inches else Fraction(1, 2)
    widest = max(relation.tolerance or Fraction(0) for relation in relations)
    return [(widest // part + steps) * part for steps in range(1, LARGER_TOLERANCES + 1)]
