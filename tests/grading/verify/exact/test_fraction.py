"""The verifier's fractions are those of the standard library, operation by operation."""

from __future__ import annotations

import fractions
import math
import operator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.verify.exact.fraction import Fraction

whole = st.integers(-(10**25), 10**25)
plain = st.builds(fractions.Fraction, whole, st.integers(1, 10**12)) | st.builds(fractions.Fraction, whole)
OPERATIONS = [operator.add, operator.sub, operator.mul, operator.truediv, operator.mod]
COMPARISONS = [operator.eq, operator.ne, operator.lt, operator.le, operator.gt, operator.ge]


def same(ours: object, theirs: fractions.Fraction) -> bool:
    return (
        type(ours) is Fraction
        and (ours.numerator, ours.denominator) == (theirs.numerator, theirs.denominator)
        and ours.denominator > 0
        and math.gcd(ours.numerator, ours.denominator) == 1
    )


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda each: each.__name__)
@given(plain, plain | whole)
def test_operations_give_what_the_standard_library_gives(operation, left, right) -> None:
    ours = Fraction(left), Fraction(right) if isinstance(right, fractions.Fraction) else right
    backwards = operation in (operator.truediv, operator.mod) and not left
    if operation not in (operator.truediv, operator.mod) or right:
        expected = operation(left, right)
        assert same(operation(*ours), expected)
        assert same(operation(Fraction(left), right), expected)
    if not backwards and operation is not operator.mod:
        assert same(operation(ours[1], ours[0]), fractions.Fraction(operation(right, left)))
        assert same(operation(right, Fraction(left)), fractions.Fraction(operation(right, left)))


@pytest.mark.parametrize("comparison", COMPARISONS, ids=lambda each: each.__name__)
@given(plain, plain | whole)
def test_comparisons_and_hashes_agree(comparison, left, right) -> None:
    expected = comparison(left, right)
    assert comparison(Fraction(left), right) is expected
    assert comparison(Fraction(left), Fraction(right)) is expected
    assert comparison(right, Fraction(left)) is comparison(right, left)
    assert hash(Fraction(left)) == hash(left)


@given(plain, st.integers(-6, 6))
def test_signs_powers_and_steps_agree(value, power) -> None:
    ours = Fraction(value)
    assert same(Fraction(value.numerator, value.denominator * 6), value / 6)
    assert same(Fraction(6 * value.numerator, -value.denominator), -6 * value)
    assert same(-ours, -value)
    assert same(+ours, value)
    assert same(abs(ours), abs(value))
    if value or power >= 0:
        assert same(ours**power, value**power)
    assert (math.floor(ours), math.ceil(ours), round(ours)) == (math.floor(value), math.ceil(value), round(value))
    assert (str(ours), bool(ours), float(ours)) == (str(value), bool(value), float(value))


def test_there_is_no_dividing_by_nothing_and_no_float_comes_in() -> None:
    for nothing in (0, Fraction(0), fractions.Fraction(0)):
        with pytest.raises(ZeroDivisionError):
            Fraction(1) / nothing
    with pytest.raises(ZeroDivisionError):
        1 / Fraction(0)
    for operation in OPERATIONS[:4]:
        with pytest.raises(TypeError):
            operation(Fraction(1), 0.5)
