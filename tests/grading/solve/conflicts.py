"""Judges of conflicts that share nothing with the solver: z3 over the rationals, and sums in plain Fractions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from itertools import product

import z3

from grading.errors import ConflictBranch
from grading.exact import PI40
from grading.form import Form
from grading.model.problem import Problem


def z3_value(value: Fraction) -> z3.ArithRef:
    return z3.Q(value.numerator, value.denominator)


def z3_form(form: Form, symbols: Mapping[str, z3.ArithRef]) -> z3.ArithRef:
    """A form without roots, pi as PI40."""
    assert not form.roots
    return z3.Sum(
        *[z3_value(value) * (symbols[name] if name else 1) for name, value in form.plain.items()],
        *[z3_value(value * PI40) * (symbols[name] if name else 1) for name, value in form.pi.items()],
        z3.RealVal(0),
    )


def solver_of(problem: Problem, ids: Iterable[str]) -> tuple[z3.Solver, dict[str, z3.ArithRef]]:
    """A solver with the relations and stocks of these ids, and the symbol of each dimension."""
    kept = set(ids)
    symbols = {name: z3.Real(name) for name in problem.dimensions}
    solver = z3.Solver()
    for relation in problem.relations:
        if relation.id in kept:
            total = z3_form(relation.form, symbols)
            solver.add(total == 0 if relation.is_equation else total >= 0)
    for choice in problem.stock:
        if f"stock:{choice.dimension}" in kept:
            solver.add(z3.Or(*[symbols[choice.dimension] == z3_value(value) for value in choice.values]))
    return solver, symbols


def can_hold_by_z3(problem: Problem, ids: Iterable[str]) -> bool:
    """Whether relations and stocks with these ids have a common point, by exact rational arithmetic."""
    return bool(solver_of(problem, ids)[0].check() == z3.sat)


def assert_irreducible(problem: Problem, ids: Iterable[str]) -> None:
    """Unsatisfiable as a whole, satisfiable without any one (and so without any more)."""
    kept = set(ids)
    assert not can_hold_by_z3(problem, kept)
    for spare in kept:
        assert can_hold_by_z3(problem, kept - {spare}), spare


def assert_shown(problem: Problem, ids: Iterable[str], certificate: Iterable[ConflictBranch]) -> None:
    """Each branch adds up to a negative number, with multipliers of listed relations only; none is left out."""
    kept, branches = set(ids), list(certificate)
    choices = [choice for choice in problem.stock if f"stock:{choice.dimension}" in kept]
    wanted = [
        {choice.dimension: value for choice, value in zip(choices, values, strict=True)}
        for values in product(*(choice.values for choice in choices))
    ]
    assert [dict(branch.stock) for branch in branches] == wanted
    relations = {relation.id: relation for relation in problem.relations}
    for branch in branches:
        assert set(branch.multipliers) <= kept
        total: dict[str, Fraction] = {}
        for label, factor in branch.multipliers.items():
            if label in relations:
                assert factor > 0 or relations[label].is_equation
                terms = _terms(relations[label].form)
            else:
                name = label.removeprefix("stock:")
                terms = {name: Fraction(1), "": -branch.stock[name]}
            for name, value in terms.items():
                total[name] = total.get(name, Fraction(0)) + factor * value
        assert total.pop("", Fraction(0)) < 0
        assert not any(total.values())


def _terms(form: Form) -> dict[str, Fraction]:
    assert not form.roots
    names = {*form.plain, *form.pi}
    return {name: form.plain.get(name, Fraction(0)) + PI40 * form.pi.get(name, Fraction(0)) for name in names}
