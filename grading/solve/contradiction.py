"""Rows that contradict each other, with exact multipliers, and how far a row can go where others hold."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from sympy import QQ

from grading.area import Term
from grading.form import Form
from grading.model.relation import Relation
from grading.solve.nearest import Infeasible, Stop, settle
from grading.solve.row import ZERO, Number, Row, add_to, combined, constant_of, rational, stated_row
from grading.solve.task import Task

TARGET = "\N{RIGHTWARDS ARROW}"
"""The label of the row that is to go far; no relation has it."""


@dataclass(frozen=True)
class System:
    """Rows that are zero, and rows that are not below zero. Each root or curve is an unknown of its own."""

    equations: Mapping[str, Row]
    inequalities: Mapping[str, Row]

    def joined(self, label: str, row: Row) -> System:
        """The system with one inequality more."""
        return replace(self, inequalities={**self.inequalities, label: row})


def system_of(relations: Iterable[Relation]) -> System:
    """The rows of relations. What contradicts it contradicts the relations; the reverse need not be where roots are."""
    terms: dict[Term, str] = {}
    equations: dict[str, Row] = {}
    inequalities: dict[str, Row] = {}
    for relation in relations:
        row = _row(relation.form, terms)
        (equations if relation.is_equation else inequalities)[relation.id] = row
    return System(equations, inequalities)


def contradiction(system: System, stop: Stop | None = None) -> dict[str, Number] | None:
    """Multipliers, of inequalities above zero, with which the rows add up to a negative constant, or None if they hold.

    Rows with multipliers cannot be spared: all but one are independent. Raises Stopped.
    """
    names = {name for rows in (system.equations, system.inequalities) for row in rows.values() for name in row if name}
    unknowns = tuple(sorted(names))
    task = Task(
        dimensions=unknowns,
        order=unknowns[::-1],
        wish=dict.fromkeys(unknowns, ZERO),
        weight=dict.fromkeys(unknowns, QQ(1)),
        start={},
        equations=system.equations,
        inequalities=system.inequalities,
        curved={},
        merged={},
    )
    try:
        settle(task, (), stop)
    except Infeasible as error:
        return _negative(system, error.multipliers)
    return None


def greatest(system: System, row: Row, stop: Stop | None = None) -> Number | None:
    """The greatest value of a row that cannot reach zero where the system holds; None if nothing ends it below zero.

    Each contradiction bounds the row from above; the last bound is reached. They come from independent rows, so that
    there are finitely many, and each is lower than the one before. Raises Stopped.
    """
    bound = ZERO
    while True:
        lowered = dict(row)
        add_to(lowered, "", -bound)
        tried = system.joined(TARGET, lowered)
        found = contradiction(tried, stop)
        if found is None:
            return bound if bound else None
        if TARGET not in found:
            return None
        lack = combined((factor, _all_rows(tried)[label]) for label, factor in found.items())
        bound += constant_of(lack) / found[TARGET]


def _all_rows(system: System) -> dict[str, Row]:
    return {**system.equations, **system.inequalities}


def _negative(system: System, multipliers: Mapping[str, Number]) -> dict[str, Number]:
    rows = _all_rows(system)
    total = constant_of(combined((factor, rows[label]) for label, factor in multipliers.items()))
    sign = -1 if total > 0 else 1
    return {label: sign * factor for label, factor in multipliers.items() if factor}


def _row(form: Form, terms: dict[Term, str]) -> Row:
    row = stated_row(Form(form.plain, form.pi))
    for term, coefficient in form.roots.items():
        name = terms.setdefault(term, f"\N{SQUARE ROOT}{len(terms)}")
        add_to(row, name, rational(coefficient))
    return row
