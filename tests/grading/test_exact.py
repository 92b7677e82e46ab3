"""Exact lengths: what is read, how it is printed, and what encloses pi and roots.

Units are checked against NIST SP 811 (2008), appendix B.8, and the addendum of January 1960 to NBS Circular 572:
1 in = 25.4 mm and 1 yd = 0.9144 m exactly, since 1 July 1959; a foot is a third of a yard. Pi and roots are checked
against mpmath.
"""

from __future__ import annotations

from fractions import Fraction

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.exact import (
    PI40,
    Enclosure,
    NotALength,
    NotANumber,
    Ruler,
    enclose_pi,
    enclose_root,
    print_length,
    print_number,
    read_length,
    read_number,
    read_percentage,
    read_ruler,
)

METRIC = Ruler(Fraction(1), False)
EIGHTH = Ruler(Fraction(254, 80), True)
RULERS = ["1 mm", "0.5 mm", "5 mm", "1 cm", "1/16 in", "1/8 in", "1/4 in", "1 in", "1/64 in"]

rationals = st.fractions(min_value=-(10**6), max_value=10**6, max_denominator=10**6)


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("1 in", "25.4"),  # NIST SP 811, appendix B.8
        ("1 yd", "914.4"),  # NIST SP 811, appendix B.8
        ("1 ft", "304.8"),  # NIST SP 811, appendix B.8
        ("36 in", "914.4"),
        ("12.5 mm", "12.5"),
        ("1.2 m", "1200"),
        ("3 cm", "30"),
        ("5/8 in", "15.875"),
        ("3 1/8 in", "79.375"),
        ("-3 1/8 in", "-79.375"),
        ("2 yd", "1828.8"),
        ("0.1 mm", "0.1"),
        (" 7mm ", "7"),
    ],
)
def test_a_length_is_read_with_its_unit(text: str, millimetres: str) -> None:
    assert read_length(text) == Fraction(millimetres)


@pytest.mark.parametrize(("value", "unit", "wanted"), [(3, "in", "76.2"), (0.1, "mm", "0.1"), (1.1, "yd", "1005.84")])
def test_a_bare_number_is_in_the_unit_of_the_document_and_as_it_was_typed(value: float, unit: str, wanted: str) -> None:
    assert read_length(value, unit) == Fraction(wanted)


def test_a_small_number_is_read_as_it_was_typed_although_python_shows_it_with_an_exponent() -> None:
    assert read_length(0.00001, "m") == Fraction(1, 100)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "mm",
        "12 furlongs",
        "1/0 in",
        "3 1.5 in",
        "1 2 mm",
        "1e3 mm",
        "١٢ mm",
        "--3 mm",
        "NaN mm",
        "inf",
        "1" * 16 + " mm",
        "0x10 mm",
        "1_0 mm",
        "3 in in",
        "12.mm",
        " " * 200_000 + "x",
        "1" * 10_000_000,
    ],
)
def test_what_is_no_length_is_refused_and_soon(text: str) -> None:
    with pytest.raises(NotALength):
        read_length(text)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf"), True, 10**400, 1e300, 5e-324])
def test_numbers_that_nobody_can_measure_are_refused(value: float) -> None:
    with pytest.raises((NotALength, NotANumber)):
        read_length(value)


@pytest.mark.parametrize(("text", "wanted"), [("7/10", "7/10"), ("1.25", "5/4"), (2, "2"), (0.7, "7/10"), ("-3", "-3")])
def test_a_factor_is_a_number_or_a_quotient(text: str | float, wanted: str) -> None:
    assert read_number(text) == Fraction(wanted)


@pytest.mark.parametrize("text", ["", "1/0", "1/", "3 %", "nan", "1/2/3", "two", True])
def test_what_is_no_factor_is_refused(text: str) -> None:
    with pytest.raises(NotANumber):
        read_number(text)


@pytest.mark.parametrize(("text", "wanted"), [("3 %", "3/100"), ("-0.5%", "-1/200"), ("100 %", "1"), ("3", None)])
def test_a_percentage_stands_for_a_part_of_one(text: str, wanted: str | None) -> None:
    assert read_percentage(text) == (None if wanted is None else Fraction(wanted))


@pytest.mark.parametrize(
    ("length", "in_inches", "text"),
    [
        ("252", False, "252 mm"),
        ("252.5", False, "252.5 mm"),
        ("1285/3", False, "1285/3 mm"),
        ("-0.05", False, "-0.05 mm"),
        ("263.525", True, "10 3/8 in"),
        ("9.525", True, "3/8 in"),
        ("254", True, "10 in"),
        ("-9.525", True, "-3/8 in"),
        ("-79.375", True, "-3 1/8 in"),
        ("1285/3", True, "1285/3 mm"),
        ("0", True, "0 in"),
        ("0.396875", True, "1/64 in"),
        ("0.1984375", True, "0.1984375 mm"),
    ],
)
def test_a_length_is_printed_exactly(length: str, in_inches: bool, text: str) -> None:
    assert print_length(Fraction(length), in_inches=in_inches) == text


@given(rationals, st.sampled_from(RULERS))
def test_what_was_printed_is_read_back(length: Fraction, step: str) -> None:
    short = length.limit_denominator(10**4)
    text = read_ruler(step).text(short)
    if "/" in text and text.endswith(" mm"):
        above, below = text.removesuffix(" mm").split("/")
        assert Fraction(int(above), int(below)) == short
    else:
        assert read_length(text) == short


@given(st.integers(-(10**6), 10**6), st.sampled_from(RULERS))
def test_a_measure_on_the_ruler_is_printed_and_read_back(steps: int, step: str) -> None:
    ruler = read_ruler(step)
    assert read_length(ruler.text(steps * ruler.step)) == steps * ruler.step


@given(rationals)
def test_a_number_is_printed_as_a_decimal_only_where_that_is_exact(value: Fraction) -> None:
    text = print_number(value)
    assert Fraction(text) == value
    assert text == text.strip() and not text.endswith(".")


@given(rationals, st.sampled_from(RULERS))
def test_a_length_is_put_on_the_nearest_step_and_never_on_zero(length: Fraction, step: str) -> None:
    ruler = read_ruler(step)
    put = ruler.put(length)
    assert ruler.lies_on(put)
    assert (put > 0) == (length > 0) and (put < 0) == (length < 0)
    if abs(length) >= ruler.step / 2:
        assert abs(put - length) <= ruler.step / 2
    else:
        assert abs(put) in {0, ruler.step}
    assert ruler.put(put) == put
    assert ruler.put(-length) == -put


@pytest.mark.parametrize(
    ("length", "put"),
    [("2.5", "3"), ("-2.5", "-3"), ("2.49", "2"), ("0.1", "1"), ("-0.1", "-1"), ("0", "0"), ("1/3", "1"), ("3.5", "4")],
)
def test_ties_go_away_from_zero(length: str, put: str) -> None:
    assert METRIC.put(Fraction(length)) == Fraction(put)


def test_fifteen_millimetres_are_five_eighths_of_an_inch_on_a_ruler_of_eighths() -> None:
    # 15 mm / 25.4 mm = 0.5906 in; the nearest eighth is 5/8 (0.625), not 1/2.
    assert EIGHTH.text(EIGHTH.put(Fraction(15))) == "5/8 in"


@given(rationals, st.sampled_from(RULERS))
def test_a_length_is_raised_to_the_least_step_that_is_not_below_it(length: Fraction, step: str) -> None:
    ruler = read_ruler(step)
    raised = ruler.raised(length)
    assert ruler.lies_on(raised)
    assert raised - ruler.step < length <= raised


@pytest.mark.parametrize("step", ["0 mm", "-1 mm", "often", "0"])
def test_a_ruler_has_a_step_above_zero(step: str) -> None:
    with pytest.raises(NotALength):
        read_ruler(step)


@pytest.mark.parametrize(
    ("value", "unit", "in_inches"), [("1/8 in", "mm", True), (1, "yd", True), ("1 mm", "in", False)]
)
def test_a_ruler_prints_inches_where_its_step_is_in_them(value: str | float, unit: str, in_inches: bool) -> None:
    assert read_ruler(value, unit).in_inches is in_inches


@given(st.integers(1, 120))
def test_pi_lies_in_its_enclosure_at_any_width(digits: int) -> None:
    enclosure = enclose_pi(digits)
    assert enclosure.width < Fraction(1, 10**digits)
    mpmath.mp.dps = digits + 20
    pi = _exact(+mpmath.mp.pi)
    room = Fraction(1, 10 ** (digits + 15))
    assert enclosure.low - room < pi < enclosure.high + room


def test_the_stated_pi_is_pi_to_thirty_nine_decimals() -> None:
    # 3.14159265358979323846264338327950288419716939937510..., OEIS A000796
    mpmath.mp.dps = 60
    assert abs(_exact(+mpmath.mp.pi) - PI40) < Fraction(5, 10**40)
    assert PI40.denominator == 10**39


@given(st.fractions(min_value=0, max_value=10**8, max_denominator=10**6), st.integers(1, 90))
def test_a_root_lies_in_its_enclosure_at_any_width(square: Fraction, digits: int) -> None:
    enclosure = enclose_root(square, digits)
    assert enclosure.width <= Fraction(1, 10**digits)
    assert enclosure.low**2 <= square <= enclosure.high**2
    mpmath.mp.dps = digits + 30
    root = _exact(mpmath.sqrt(mpmath.mpf(square.numerator) / mpmath.mpf(square.denominator)))
    room = Fraction(1, 10 ** (digits + 10))
    assert enclosure.low - room <= root <= enclosure.high + room


@given(st.fractions(min_value=0, max_value=10**6, max_denominator=10**4))
def test_the_root_of_a_square_is_exact(side: Fraction) -> None:
    assert enclose_root(side * side) == Enclosure(side, side)


def test_nothing_has_a_negative_square() -> None:
    with pytest.raises(ValueError, match="square"):
        enclose_root(Fraction(-1))


@given(rationals, st.booleans())
def test_an_irrational_length_is_printed_within_a_hundredth_of_a_millimetre(length: Fraction, inches: bool) -> None:
    ruler = EIGHTH if inches else METRIC
    printed = read_length(ruler.near_text(Enclosure(length, length)))
    assert abs(printed - length) <= Fraction(1, 100)


def _exact(value: mpmath.mpf) -> Fraction:
    sign, mantissa, exponent, _ = value._mpf_
    return (-1) ** sign * Fraction(int(mantissa)) * Fraction(2) ** exponent
