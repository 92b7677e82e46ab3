"""Sparse matrices and metrics, against dense ones by NumPy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sympy import QQ

from grading.solve.sparse import Sparse, metric_of, sparse_of

small = st.integers(-3, 3)


def dense(matrix: Sparse) -> np.ndarray:
    return matrix.dense(range(matrix.shape[0]))


def made(rows: list[list[int]], columns: int) -> Sparse:
    names = {f"d{place}": place for place in range(columns)}
    return sparse_of([{f"d{c}": QQ(value) for c, value in enumerate(row) if value} for row in rows], names)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    st.integers(1, 6).flatmap(
        lambda k: st.tuples(
            st.lists(st.lists(small, min_size=k, max_size=k), min_size=0, max_size=7),
            st.lists(st.lists(small, min_size=4, max_size=4), min_size=k, max_size=k),
        )
    )
)
def test_products_are_those_of_dense_matrices(pair: tuple[list[list[int]], list[list[int]]]) -> None:
    first, second = pair
    left, right = np.array(first, float).reshape(len(first), len(second)), np.array(second, float)
    one, other = made(first, len(second)), made(second, 4)
    assert np.array_equal(dense(one), left)
    assert np.allclose(dense(one.times_matrix(other)), left @ right)
    vector = np.arange(1.0, len(second) + 1)
    assert np.allclose(one.times(vector), left @ vector)
    assert np.allclose(one.transposed_times(np.ones(len(first))), left.T @ np.ones(len(first)))


@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.lists(st.lists(small, min_size=5, max_size=5), min_size=5, max_size=9), st.integers(0, 10**6))
def test_metric_undoes_the_weighted_sum_of_squares(rows: list[list[int]], seed: int) -> None:
    spread = np.array(rows, float)
    heavy = np.random.default_rng(seed).uniform(0.5, 2.0, len(rows))
    hessian = 2 * spread.T @ (heavy[:, None] * spread)
    metric = metric_of(made(rows, 5), heavy)
    if metric is None:
        # Refused only where a pivot is next to nothing.
        assert np.linalg.matrix_rank(spread) < 5 or np.linalg.cond(hessian) > 1e6
        return
    root = np.column_stack([metric.times(column) for column in np.eye(5)])
    assert root @ hessian @ root.T == pytest.approx(np.eye(5), abs=1e-6)
    assert np.column_stack([metric.transposed_times(column) for column in np.eye(5)]) == pytest.approx(root.T)
    legs = metric.of_rows(made(rows, 5))
    assert dense(legs) == pytest.approx(spread @ root.T, abs=1e-9)


def test_dimension_without_weight_has_no_metric() -> None:
    assert metric_of(made([[1, 0], [0, 1]], 2), np.array([1.0, 0.0])) is None
