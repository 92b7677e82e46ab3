"""The claim that the point before the ruler is the nearest one to the wish, by its multipliers.

For a convex quadratic distance and linear relations, a point that meets all relations and balances the distance's
slope by multipliers (not below 0 on inequalities, 0 where these are not tight) is the nearest one; it is the only
one if every dimension without a weight is decided by equations (Karush 1939; Kuhn and Tucker 1951).
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grading.exact import PI40
from grading.form import CONSTANT, Form, Values, length
from grading.grade import Grade
from grading.model import Relation
from grading.model.relation import Origin, Sense
from grading.proof.claims import Claim

ROOT_ROOM = Fraction(1, 10**9)
"""How far things may be off where a relation has roots or curves."""
ROOT_DIGITS = 40
"""Decimals of a root from which its slope is taken; of a curve fewer will do."""


def nearest_claims(grade: Grade) -> Iterator[Claim]:
    """That all relations hold there, that the multipliers have the right signs, and that they balance."""
    relations = (*grade.problem.relations, *_chosen(grade))
    point, multipliers = grade.solution.nearest, grade.solution.multipliers
    room = ROOT_ROOM if any(relation.form.roots for relation in relations) else Fraction(0)
    values = {relation.id: relation.form.stated(point) for relation in relations}
    broken = [r.id for r in relations if values[r.id] < -room or (r.is_equation and values[r.id] > room)]
    yield _claim("relations", "every relation holds at the nearest point", broken)
    signs = [
        relation.id
        for relation in relations
        if not relation.is_equation
        and relation.id in multipliers
        and (multipliers[relation.id] < 0 or abs(values[relation.id]) > room)
    ]
    known = {relation.id for relation in relations}
    signs += [name for name in multipliers if name not in known]
    yield _claim("signs", "only rules that are just met hold the size back", signs)
    yield _claim("balance", "nothing nearer to the wish is left", _unbalanced(grade, relations, room))


def _chosen(grade: Grade) -> Iterator[Relation]:
    for name, value in grade.solution.stock.items():
        form = Form({name: Fraction(1)}) - length(value)
        yield Relation(f"stock:{name}", Origin.STOCK, form, Sense.EQUAL, "", "", f"dimensions.{name}")


def _unbalanced(grade: Grade, relations: tuple[Relation, ...], room: Fraction) -> list[str]:
    point, problem = grade.solution.nearest, grade.problem
    pull: dict[str, Fraction] = {
        name: 2 * problem.weight[name] * (point[name] - problem.wish[name]) if name in problem.weight else Fraction(0)
        for name in problem.dimensions
    }
    for relation in relations:
        multiplier = grade.solution.multipliers.get(relation.id)
        if multiplier:
            for name, slope in slopes(relation.form, point).items():
                pull[name] -= multiplier * slope
    return [name for name, rest in pull.items() if abs(rest) > room]


def slopes(form: Form, point: Values) -> dict[str, Fraction]:
    """The slope of a form for each dimension, with pi as PI40, roots to 40 digits and curves to 24."""
    result = {name: value for name, value in form.plain.items() if name != CONSTANT}
    for name, value in form.pi.items():
        if name != CONSTANT:
            result[name] = result.get(name, Fraction(0)) + PI40 * value
    for term, coefficient in form.roots.items():
        for name, value in (term.steepness(point, ROOT_DIGITS) or {}).items():
            result[name] = result.get(name, Fraction(0)) + coefficient * value
    return result


def _claim(about: str, says: str, offenders: list[str]) -> Claim:
    left = "all" if not offenders else f"all but {', '.join(offenders[:5])}"
    return Claim("nearest", f"nearest:{about}", says, left, "all", not offenders, "certificate")
