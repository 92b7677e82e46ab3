"""A judge of certificates that shares nothing with the solver: definitions of the reference in plain Fractions."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from grading.exact import PI40, enclose_root
from grading.form import Form
from grading.model.problem import Problem
from grading.model.relation import Origin, Relation, Sense
from grading.solve import Solution

ROOTS = Fraction(1, 10**9)
"""What the reference grants where roots take part."""


def slopes(form: Form, at: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """The derivative of a form for each dimension, pi as PI40, roots to 40 decimals."""
    total: dict[str, Fraction] = {}

    def add(name: str, value: Fraction) -> None:
        if name:
            total[name] = total.get(name, Fraction(0)) + value

    for name, value in form.plain.items():
        add(name, value)
    for name, value in form.pi.items():
        add(name, PI40 * value)
    for area, factor in form.roots.items():
        side = enclose_root(area.value(at)).low
        for (left, right), value in area.terms:
            add(left, factor * value * (at[right] if right else 1) / (2 * side))
            add(right, factor * value * (at[left] if left else 1) / (2 * side))
    return total


def assert_certified(problem: Problem, solution: Solution) -> None:
    """The nearest point meets every relation, and its multipliers show that no point that does is nearer."""
    chosen = [
        Relation(f"stock:{name}", Origin.STOCK, Form({name: Fraction(1), "": -value}), Sense.EQUAL, "", "", "")
        for name, value in solution.stock.items()
    ]
    relations = [*problem.relations, *chosen]
    at = solution.nearest
    has_roots = any(relation.form.roots for relation in relations)
    allowed = ROOTS if has_roots else Fraction(0)
    left = {name: Fraction(0) for name in problem.dimensions}
    for name, weight in problem.weight.items():
        left[name] = 2 * weight * (at[name] - problem.wish[name])
    ids = {relation.id for relation in relations}
    assert set(solution.multipliers) <= ids
    assert all(solution.multipliers.values())
    for relation in relations:
        value, multiplier = relation.form.stated(at), solution.multipliers.get(relation.id, Fraction(0))
        exact = Fraction(0) if not relation.form.roots else ROOTS
        if relation.is_equation:
            assert abs(value) <= exact, relation.id
        else:
            assert value >= -exact, relation.id
            assert multiplier >= 0, relation.id
            assert not multiplier or abs(value) <= exact, relation.id
        if multiplier:
            for name, slope in slopes(relation.form, at).items():
                left[name] -= multiplier * slope
    assert max(abs(value) for value in left.values()) <= allowed


def assert_on_ruler(problem: Problem, solution: Solution) -> None:
    """The printed size keeps every relation, has every measure on the ruler, and is within reach of the nearest."""
    at = solution.printed
    for relation in problem.relations:
        enclosure = relation.form.enclosure(at)
        if relation.origin in {Origin.FIXED, Origin.ASKED}:
            assert abs(enclosure.low) <= problem.ruler.step, relation.id
        elif not relation.is_equation:
            assert enclosure.low >= 0, relation.id
        elif relation.tolerance is None:
            assert enclosure.low == enclosure.high == 0, relation.id
        else:
            assert -relation.tolerance <= enclosure.low <= enclosure.high <= relation.tolerance, relation.id
    for measure in problem.measures:
        assert (measure.form.enclosure(at).low / problem.ruler.step).denominator == 1, measure.about
    for name, reach in problem.reach.items():
        assert abs(at[name] - solution.nearest[name]) <= reach, name
    for name, value in solution.stock.items():
        assert at[name] == value
