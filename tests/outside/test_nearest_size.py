"""The nearest size, against other solvers: exact elimination, exact linear arithmetic, and a float solver.

python-flint solves the same equations in rationals by a way of its own; z3 (exact linear real arithmetic) is asked
for a better point and must find none; SciPy minimises in floats. All take pi as the stated PI40, as the nearest size
does, and the forms of the relations as they are; none sees the solver's multipliers or its active set's bookkeeping.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import flint
import numpy as np
import pytest
import z3
from scipy.linalg import null_space
from scipy.optimize import minimize

from grading.document import read_pattern
from grading.document.requests import SizeRequest, read_request
from grading.exact import PI40
from grading.form import Form
from grading.model import Problem, pose
from grading.pipeline import compile_document, ruler_of
from grading.solve import Solution, solve
from tests.conftest import DEMO_NAMES

Documents = dict[str, dict[str, Any]]
Row = dict[str, Fraction]
"""Coefficients by dimension; "" for the constant."""
Table = np.ndarray[Any, np.dtype[np.float64]]

REQUESTS = [
    ("market_tote", {"scale": "7/10"}),
    ("market_tote", {"scale": "5/4"}),
    ("market_tote", {"scale": "29/20"}),
    ("market_tote", {"set": {"width": "450 mm"}, "others": "at base"}),
    ("allotment_tool_roll", {"scale": "7/10"}),
    ("allotment_tool_roll", {"scale": "5/4"}),
    ("ferry_day_pack", {"scale": "7/10"}),
    ("ferry_day_pack", {"scale": "5/4"}),
]


@dataclass(frozen=True)
class Case:
    """A problem in rows, and what the library says of it."""

    problem: Problem
    solution: Solution
    equations: list[Row]
    inequalities: list[Row]


def row_of(form: Form) -> Row:
    assert not form.roots
    row = dict(form.plain)
    for name, factor in form.pi.items():
        row[name] = row.get(name, Fraction(0)) + PI40 * factor
    return row


def case_of(document: dict[str, Any], written: Mapping[str, Any]) -> Case:
    pattern = read_pattern(document)
    request: SizeRequest = read_request(written)
    prepared = compile_document(pattern, ruler_of(pattern, request))
    problem = pose(prepared.model, request)
    solution = solve(problem, prepared.compiled)
    rows = [(item.is_equation, row_of(item.form)) for item in problem.relations]
    stock = [{name: Fraction(1), "": -value} for name, value in solution.stock.items()]
    return Case(
        problem,
        solution,
        [row for is_equation, row in rows if is_equation] + stock,
        [row for is_equation, row in rows if not is_equation],
    )


@pytest.fixture(scope="module", params=REQUESTS, ids=lambda pair: f"{pair[0]} {pair[1]}")
def case(request: pytest.FixtureRequest, demo_documents: Documents) -> Case:
    name, written = request.param
    return case_of(demo_documents[name], written)


def at(row: Row, values: Mapping[str, Fraction]) -> Fraction:
    return sum((factor * (values[name] if name else 1) for name, factor in row.items()), Fraction(0))


def rational(value: Fraction) -> flint.fmpq:
    return flint.fmpq(value.numerator, value.denominator)


def fraction(value: flint.fmpq) -> Fraction:
    return Fraction(int(value.p), int(value.q))


def test_flint_solves_the_rows_that_are_just_met_to_the_very_same_point(case: Case) -> None:
    """The nearest point of the plane of all rows met exactly, by the null space in rationals."""
    names = case.problem.dimensions
    met = [row for row in case.inequalities if at(row, case.solution.nearest) == 0 and row.keys() - {""}]
    held_back = [row for row in met if _holds_back(case, row)]
    rows = case.equations + held_back
    table = [[rational(row.get(name, Fraction(0))) for name in (*names, "")] for row in rows]
    reduced, rank = flint.fmpq_mat(len(rows), len(names) + 1, [item for line in table for item in line]).rref()
    pivots = [next(column for column in range(len(names) + 1) if reduced[line, column] != 0) for line in range(rank)]
    assert len(names) not in pivots, "the rows contradict each other"
    free = [column for column in range(len(names)) if column not in pivots]
    # x = start + basis t: each pivot's dimension as what its row leaves it.
    start = {names[pivot]: -fraction(reduced[line, len(names)]) for line, pivot in enumerate(pivots)}
    basis = [
        {names[column]: Fraction(1)}
        | {names[pivot]: -fraction(reduced[line, column]) for line, pivot in enumerate(pivots)}
        for column in free
    ]
    weight, wish = case.problem.weight, case.problem.wish
    free_of_wish = {name: wish[name] - start.get(name, Fraction(0)) for name in weight}
    normal = [[_inner(weight, one, two) for two in basis] for one in basis]
    pull = [_inner(weight, one, free_of_wish) for one in basis]
    along = _solved(normal, pull)
    found = {
        name: start.get(name, Fraction(0))
        + sum((t * way.get(name, Fraction(0)) for t, way in zip(along, basis, strict=True)), Fraction(0))
        for name in names
    }
    assert found == dict(case.solution.nearest)


def _inner(weight: Mapping[str, Fraction], one: Row, two: Row) -> Fraction:
    return sum((w * one.get(name, Fraction(0)) * two.get(name, Fraction(0)) for name, w in weight.items()), Fraction(0))


def _holds_back(case: Case, row: Row) -> bool:
    multipliers = case.solution.multipliers
    return any(
        item.id in multipliers and not item.is_equation and row_of(item.form) == row for item in case.problem.relations
    )


def _solved(normal: list[list[Fraction]], pull: list[Fraction]) -> list[Fraction]:
    if not pull:
        return []
    size = len(pull)
    left = flint.fmpq_mat(size, size, [rational(value) for line in normal for value in line])
    right = flint.fmpq_mat(size, 1, [rational(value) for value in pull])
    solution = left.solve(right)
    return [fraction(solution[line, 0]) for line in range(size)]


def test_z3_finds_no_way_to_a_nearer_size(case: Case) -> None:
    """A convex distance has its least value where no point that meets all rows lies down its slope."""
    nearest = case.solution.nearest
    assert all(at(row, nearest) == 0 for row in case.equations)
    assert all(at(row, nearest) >= 0 for row in case.inequalities)
    variables = {name: z3.Real(name) for name in case.problem.dimensions}

    def number(value: Fraction) -> z3.RatNumRef:
        return z3.RealVal(f"{value.numerator}/{value.denominator}")

    def linear(row: Row) -> z3.ArithRef:
        return z3.Sum([number(factor) * variables[name] if name else number(factor) for name, factor in row.items()])

    solver = z3.Solver()
    solver.add(*(linear(row) == 0 for row in case.equations if row))
    solver.add(*(linear(row) >= 0 for row in case.inequalities if row))
    assert solver.check() == z3.sat
    slope = {name: weight * (nearest[name] - case.problem.wish[name]) for name, weight in case.problem.weight.items()}
    down = z3.Sum(
        [number(factor) * (variables[name] - number(nearest[name])) for name, factor in slope.items() if factor]
        + [number(Fraction(0))]
    )
    solver.add(down < 0)
    assert solver.check() == z3.unsat


def test_scipy_comes_to_the_same_size_in_floats(case: Case) -> None:
    """Each dimension is counted in parts of its base, along the directions that the equations leave free."""
    names = case.problem.dimensions
    unit = np.array([float(case.problem.base[name]) for name in names])

    def table(rows: list[Row]) -> tuple[Table, Table]:
        left = np.array([[float(row.get(name, 0)) for name in names] for row in rows]) * unit
        return left, np.array([float(row.get("", 0)) for row in rows])

    equal, equal_constant = table([row for row in case.equations if row.keys() - {""}])
    start, *_ = np.linalg.lstsq(equal, -equal_constant, rcond=None)
    basis = null_space(equal)
    weight = np.array([float(case.problem.weight.get(name, 0)) for name in names]) * unit**2
    wish = np.array([float(case.problem.wish.get(name, 0)) for name in names]) / unit
    above, above_constant = table([row for row in case.inequalities if row.keys() - {""}])
    left, least = _without_doubles(above @ basis, -above_constant - above @ start)

    def distance(t: Table) -> float:
        return float(np.sum(weight * (start + basis @ t - wish) ** 2))

    def slope(t: Table) -> Table:
        return np.asarray(2 * basis.T @ (weight * (start + basis @ t - wish)))

    found = minimize(
        distance,
        np.zeros(basis.shape[1]),
        jac=slope,
        method="SLSQP",
        constraints=[{"type": "ineq", "fun": lambda t: left @ t - least, "jac": lambda t: left}],
        options={"maxiter": 500, "ftol": 1e-15},
    )
    here = np.array([float(case.solution.nearest[name]) for name in names])
    assert found.success, found.message
    assert np.abs((start + basis @ found.x) * unit - here).max() < 1e-3


def _without_doubles(left: Table, least: Table) -> tuple[Table, Table]:
    """Rows at length 1, each once with its tightest side; those without a direction hold always."""
    size = np.linalg.norm(left, axis=1)
    kept = size > 1e-9
    left, least = left[kept] / size[kept, None], least[kept] / size[kept]
    tightest: dict[tuple[float, ...], int] = {}
    for line in np.argsort(least):
        tightest[tuple(np.round(left[line], 9))] = int(line)
    lines = sorted(tightest.values())
    return left[lines], least[lines]


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_base_size_is_where_it_was_drafted_unless_a_seam_says_otherwise(
    name: str, demo_documents: Documents
) -> None:
    found = case_of(demo_documents[name], {"scale": 1})
    moved = {
        key: float(found.solution.nearest[key] - value)
        for key, value in found.problem.base.items()
        if key in found.problem.weight
    }
    assert max(abs(value) for value in moved.values()) < 2
