"""Forms: sums of rational multiples of dimensions, pi and roots; values are checked against mpmath."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.form import Form, area_of, dimension, hypotenuse, length, product, root
from tests.evaluation import true_value

NAMES = ("width", "height", "depth")
factors = st.fractions(min_value=-50, max_value=50, max_denominator=60)
lengths = st.fractions(min_value=1, max_value=900, max_denominator=60)
values = st.fixed_dictionaries(dict.fromkeys(NAMES, lengths))


@st.composite
def rational_forms(draw: st.DrawFn) -> Form:
    total = length(draw(factors))
    for name in NAMES:
        total += dimension(name).times(draw(factors))
    return total


@st.composite
def forms(draw: st.DrawFn) -> Form:
    total = draw(rational_forms())
    if draw(st.booleans()):
        total += draw(rational_forms()).times_pi()
    if draw(st.booleans()):
        total += hypotenuse(draw(rational_forms()), draw(rational_forms())).times(draw(factors))
    return total


@settings(max_examples=40)
@given(forms(), values, st.integers(1, 40))
def test_the_true_length_lies_in_the_enclosure(form: Form, at: dict[str, Fraction], digits: int) -> None:
    enclosure, true = form.enclosure(at, digits), true_value(form, at)
    room = Fraction(1, 10**40)
    assert enclosure.low - room <= true <= enclosure.high + room
    assert enclosure.low == enclosure.high or not form.is_rational
    assert float(true) == pytest.approx(
        form.rough({name: float(value) for name, value in at.items()}), rel=1e-9, abs=1e-6
    )
    assert abs(form.stated(at) - true) < Fraction(1, 10**30)


@settings(max_examples=40)
@given(forms(), forms(), factors, values)
def test_arithmetic_of_forms_is_that_of_their_values(
    one: Form, two: Form, factor: Fraction, at: dict[str, Fraction]
) -> None:
    room = Fraction(1, 10**38)
    assert abs(true_value(one + two, at) - true_value(one, at) - true_value(two, at)) < room
    assert abs(true_value(one - two, at) - true_value(one, at) + true_value(two, at)) < room
    assert abs(true_value(one.times(factor), at) - factor * true_value(one, at)) < room
    assert (one - one).is_zero


@given(rational_forms(), rational_forms(), values)
def test_a_product_of_lengths_is_the_area_of_their_values(one: Form, two: Form, at: dict[str, Fraction]) -> None:
    assert product(one, two).value(at) == true_value(one, at) * true_value(two, at)


@settings(max_examples=40)
@given(forms(), st.fixed_dictionaries({"width": rational_forms(), "depth": rational_forms()}), values)
def test_a_substituted_form_has_the_value_at_the_substituted_lengths(
    form: Form, replacement: dict[str, Form], at: dict[str, Fraction]
) -> None:
    inner = {**at, **{name: true_value(item, at) for name, item in replacement.items()}}
    found = form.substituted(replacement)
    assert found.names <= {"width", "height", "depth"}
    assert abs(true_value(found, at) - true_value(form, inner)) < Fraction(1, 10**38)


def test_roots_whose_areas_become_equal_merge() -> None:
    one = hypotenuse(dimension("width"), dimension("height"))
    two = hypotenuse(dimension("depth"), dimension("height"))
    assert (one - two).substituted({"depth": dimension("width")}).is_zero


@given(st.fractions(min_value=0, max_value=500, max_denominator=50))
def test_the_root_of_a_constant_square_is_a_plain_length(side: Fraction) -> None:
    assert root(product(length(side), length(side))) == length(side)


@given(rational_forms(), values)
def test_the_slope_of_an_area_is_its_derivative(form: Form, at: dict[str, Fraction]) -> None:
    area = form.squared()
    for name in NAMES:
        # Of a quadratic polynomial the symmetric difference is the derivative, exactly.
        ahead, behind = (area.value({**at, name: at[name] + step}) for step in (1, -1))
        assert area.slope(at).get(name, Fraction(0)) == (ahead - behind) / 2


def test_equal_areas_are_equal_however_they_are_written() -> None:
    assert area_of({("width", "height"): Fraction(2)}) == area_of(
        {("height", "width"): Fraction(1), ("width", "height"): Fraction(1), ("depth", "depth"): Fraction(0)}
    )


@pytest.mark.parametrize("form", [dimension("width").times_pi(), hypotenuse(dimension("width"), dimension("height"))])
def test_pi_and_roots_have_neither_areas_nor_pi(form: Form) -> None:
    with pytest.raises(ValueError, match="pi"):
        form.squared()
    with pytest.raises(ValueError, match="pi"):
        form.times_pi()
