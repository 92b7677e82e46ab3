"""Whole-number solutions against brute force."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from grading.ranges.whole import single_out, solve_whole

PART = st.sampled_from([Fraction(n, d) for n in range(-3, 4) for d in (1, 2, 3, 4)])
CONDITION = st.tuples(st.lists(PART, min_size=2, max_size=2), PART)
REACH = range(-6, 7)


@given(st.lists(CONDITION, max_size=3))
def test_offset_and_basis_give_all_whole_vectors_that_make_every_row_whole(
    conditions: list[tuple[list[Fraction], Fraction]],
) -> None:
    wanted = {
        z
        for z in product(REACH, repeat=2)
        if all((row[0] * z[0] + row[1] * z[1] + constant).denominator == 1 for row, constant in conditions)
    }
    found = solve_whole(2, conditions)
    if found is None:
        assert not wanted
        return
    (a, c), (b, d) = found.basis
    determinant = a * d - b * c
    assert determinant
    for z in product(REACH, repeat=2):
        x, y = z[0] - found.offset[0], z[1] - found.offset[1]
        whole = (d * x - b * y) % determinant == 0 and (a * y - c * x) % determinant == 0
        assert whole == (z in wanted)


@given(st.lists(PART, min_size=3, max_size=3))
def test_a_row_is_left_with_one_place_and_the_vectors_stay_the_same(row: list[Fraction]) -> None:
    columns = [[1, 0, 0], [0, 1, 0], [0, 0, 1]]
    has_one = single_out(columns, 0, row)
    values = [sum((row[k] * column[k] for k in range(3)), Fraction(0)) for column in columns]
    assert has_one == any(row)
    assert not any(values[1:])
    (a, b, c), (d, e, f), (g, h, i) = columns
    assert abs(a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)) == 1
