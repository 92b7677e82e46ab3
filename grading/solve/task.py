"""A task: the nearest point of one branch as rows and curved forms, nothing left to choose."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from grading.form import Form
from grading.model.problem import Problem
from grading.model.relation import Relation
from grading.solve.compiled import Compiled, column_order, is_lasting
from grading.solve.row import Number, Row, rational, row_of, stated_row


@dataclass(frozen=True)
class Task:
    """Minimise the sum of weight × (x - wish)² where equations are 0 and inequalities are not below 0.

    equations     rows without roots, implied ones left out; those of merged roots stand with what remains of them
    inequalities  rows without roots
    curved        forms with roots, True for an equation
    merged        the forms, roots and all, of equations whose roots were merged
    """

    dimensions: tuple[str, ...]
    order: tuple[str, ...]
    wish: Mapping[str, Number]
    weight: Mapping[str, Number]
    start: Mapping[str, Fraction]
    equations: Mapping[str, Row]
    inequalities: Mapping[str, Row]
    curved: Mapping[str, tuple[Form, bool]]
    merged: Mapping[str, Form]

    def changed(self, **fields: Any) -> Task:
        """The task with some fields replaced."""
        return replace(self, **fields)


def task_of(problem: Problem, relations: Iterable[Relation], compiled: Compiled) -> Task:
    """The task of a problem with these relations, whose lasting equations are the compiled ones."""
    equations: dict[str, Row] = {}
    inequalities: dict[str, Row] = {}
    curved: dict[str, tuple[Form, bool]] = {}
    merged: dict[str, Form] = {}
    laws = frozenset(compiled.laws)
    for relation in relations:
        label, form = relation.id, relation.form
        if label in compiled.merged and is_lasting(relation):
            merged[label] = form
            if label in laws:
                equations[label] = row_of(compiled.merged[label])
        elif form.roots:
            curved[label] = (form, relation.is_equation)
        elif not relation.is_equation:
            inequalities[label] = stated_row(form)
        elif label in laws or not is_lasting(relation):
            equations[label] = stated_row(form)
    return Task(
        dimensions=problem.dimensions,
        order=tuple(column_order(problem.dimensions)),
        wish={name: rational(value) for name, value in problem.wish.items()},
        weight={name: rational(value) for name, value in problem.weight.items() if value},
        start={**problem.base, **problem.wish},
        equations=equations,
        inequalities=inequalities,
        curved=curved,
        merged=merged,
    )
