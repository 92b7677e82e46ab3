"""The error bound of a float product, against the product in rationals."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.batch.piece import matrix_of
from grading.batch.points import Points
from grading.solve.row import rational

exact = st.fractions(min_value=-2000, max_value=2000, max_denominator=10**6)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.lists(st.tuples(exact, exact), min_size=1, max_size=6), st.lists(st.tuples(exact, exact, exact), min_size=1))
def test_no_product_errs_by_more_than_its_bound(
    rows: list[tuple[Fraction, Fraction]], vectors: list[tuple[Fraction, Fraction, Fraction]]
) -> None:
    rough = np.array([[float(x), float(y), 1.0] for x, y in rows])
    points = Points(("a", "b", ""), rough, lambda row: (rational(rows[row][0]), rational(rows[row][1]), rational(1)))
    matrix = matrix_of([tuple(rational(value) for value in vector) for vector in vectors], 3)
    errors = points.error(matrix)
    for row, (x, y) in enumerate(rows):
        for column, (a, b, c) in enumerate(vectors):
            value = Fraction(float((rough @ matrix)[row, column]))
            assert abs(value - (a * x + b * y + c)) <= Fraction(float(errors[column]))


def test_points_without_a_constant_are_refused() -> None:
    with pytest.raises(ValueError, match="columns"):
        Points(("a", "b"), np.ones((3, 2)), lambda _: ())
