"""Exact elimination against FLINT, and tangents of roots against NumPy."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import flint
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.form import dimension, hypotenuse
from grading.solve.elimination import Inconsistent, eliminate
from grading.solve.row import Row, combined, fraction, rational, tangent_row, value_of

NAMES = ("a", "b", "c", "d", "e")


def random_rows(random: Random) -> dict[str, Row]:
    rows = {}
    for index in range(random.randint(1, 7)):
        some = random.sample(NAMES, random.randint(1, 3))
        rows[f"row {index}"] = {name: rational(Fraction(random.randint(1, 5), random.randint(1, 3))) for name in some}
        if random.random() < 0.3:
            rows[f"row {index}"][""] = rational(random.randint(1, 9))
    return rows


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.integers(0, 10**6))
def test_reduction_agrees_with_flint(seed: int) -> None:
    rows = random_rows(Random(seed))
    columns = [*NAMES, ""]
    matrix = flint.fmpq_mat(len(rows), 6, [row.get(name, flint.fmpq(0)) for row in rows.values() for name in columns])
    bare = flint.fmpq_mat(len(rows), 5, [row.get(name, flint.fmpq(0)) for row in rows.values() for name in NAMES])
    reduced, rank = matrix.rref()
    try:
        found = eliminate(rows, NAMES)
    except Inconsistent as error:
        assert rank > bare.rank()
        total = combined((factor, rows[label]) for label, factor in error.multipliers.items())
        assert total.keys() == {""}
        return
    assert rank == bare.rank() == len(found.independent) == len(found.solution)
    for index, (pivot, row) in enumerate(found.solution.items()):
        expected = {name: -reduced[index, column] for column, name in enumerate(columns) if reduced[index, column]}
        assert {**row, pivot: rational(-1)} == expected


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.integers(0, 10**6))
def test_what_is_implied_is_the_stated_sum_of_rows_before(seed: int) -> None:
    rows = random_rows(Random(seed))
    try:
        found = eliminate(rows, NAMES)
    except Inconsistent:
        return
    order = list(rows)
    for label, multipliers in found.implied.items():
        assert combined((factor, rows[other]) for other, factor in multipliers.items()) == rows[label]
        assert all(order.index(other) < order.index(label) for other in multipliers)
    for pivot, multipliers in found.combination.items():
        total = combined((factor, rows[label]) for label, factor in multipliers.items())
        total = combined([(rational(1), total), (rational(1), found.solution[pivot])])
        assert total == {pivot: rational(1)}


def test_tangent_touches_the_root_and_has_its_slope() -> None:
    slant = hypotenuse(dimension("across"), dimension("along"))
    at = {"across": Fraction(31), "along": Fraction(57)}
    row = tangent_row(slant, at)
    value = fraction(value_of(row, {name: rational(length) for name, length in at.items()}))
    assert float(value) == pytest.approx(np.hypot(31, 57), rel=1e-15)
    assert float(row["across"]) == pytest.approx(31 / np.hypot(31, 57), rel=1e-15)
    assert float(row["along"]) == pytest.approx(57 / np.hypot(31, 57), rel=1e-15)
