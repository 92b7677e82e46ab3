"""Least values, compared with SciPy's linear programs."""

from __future__ import annotations

import random
from fractions import Fraction

import numpy as np
import pytest
from scipy.optimize import linprog

from grading.check.bounds import Bounds
from grading.solve.row import Row, combined, constant_of, fraction, row_of

NAMES = ("a", "b", "c", "d")


def program(seed: int) -> tuple[dict[str, Row], Row]:
    """A box with some slanted walls, and a row to be made least."""
    chosen = random.Random(seed)
    rows = {f"{name}:least": row_of({name: Fraction(1), "": Fraction(-chosen.randint(0, 9))}) for name in NAMES}
    rows |= {f"{name}:most": row_of({name: Fraction(-1), "": Fraction(chosen.randint(12, 30))}) for name in NAMES}
    for number in range(4):
        terms = {name: Fraction(chosen.randint(-4, 4), chosen.randint(1, 3)) for name in NAMES}
        rows[f"wall:{number}"] = row_of({**terms, "": Fraction(chosen.randint(20, 90))})
    return rows, row_of(
        {**{name: Fraction(chosen.randint(-5, 5)) for name in NAMES}, "": Fraction(chosen.randint(-9, 9))}
    )


def by_scipy(rows: dict[str, Row], row: Row) -> float | None:
    matrix = np.array([[-float(each.get(name, 0)) for name in NAMES] for each in rows.values()])
    constants = np.array([float(constant_of(each)) for each in rows.values()])
    cost = np.array([float(row.get(name, 0)) for name in NAMES])
    found = linprog(cost, A_ub=matrix, b_ub=constants, bounds=[(None, None)] * len(NAMES))
    return float(found.fun) + float(constant_of(row)) if found.status == 0 else None


@pytest.mark.parametrize("seed", range(40))
def test_the_least_value_is_the_one_that_scipy_finds(seed: int) -> None:
    rows, row = program(seed)
    bounds, wanted = Bounds(rows), by_scipy(rows, row)
    assert bounds.is_empty == (wanted is None)
    if wanted is None:
        return
    shown = bounds.least(row)
    assert shown is not None
    assert float(shown.least) == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize("seed", range(40))
def test_the_multipliers_show_it_exactly(seed: int) -> None:
    rows, row = program(seed)
    shown = None if Bounds(rows).is_empty else Bounds(rows).least(row)
    if shown is None:
        assert Bounds(rows).is_empty
        return
    assert all(fraction(factor) >= 0 for factor in shown.by.values())
    rest = combined([(1, row), *((-factor, rows[label]) for label, factor in shown.by.items())])
    assert rest == ({"": shown.least} if shown.least else {})


def test_a_row_without_a_least_value_has_none() -> None:
    bounds = Bounds({"a:least": row_of({"a": Fraction(1)})})
    assert bounds.least(row_of({"a": Fraction(-1)})) is None
    assert bounds.least(row_of({"b": Fraction(1)})) is None


def test_a_row_that_is_dropped_no_longer_counts_until_it_is_restored() -> None:
    bounds = Bounds({"low": row_of({"a": Fraction(1)}), "high": row_of({"a": Fraction(1), "": Fraction(-5)})})
    row = row_of({"a": Fraction(1)})
    bounds.drop("high")
    lower = bounds.least(row)
    bounds.restore("high")
    higher = bounds.least(row)
    assert lower is not None and higher is not None
    assert (lower.least, higher.least) == (0, 5)
