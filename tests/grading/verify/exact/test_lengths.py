"""Lengths, rulers and enclosures. An inch is 25.4 mm and a yard 0.9144 m exactly (NBS Circular 572, addendum 1960)."""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

import pytest

from grading.verify.exact.enclosures import PI, PI40, square_root
from grading.verify.exact.lengths import Ruler, length_or_none, put_on, raise_to, read_length, read_ruler
from grading.verify.unreadable import UnreadableInput

MM = Ruler(Fraction(1), in_inches=False)
EIGHTH = Ruler(Fraction(254, 80), in_inches=True)


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("1 in", Fraction(254, 10)),
        ("1 yd", Fraction(9144, 10)),
        ("1 ft", Fraction(3048, 10)),
        ("5/8 in", Fraction(15875, 1000)),
        ("3 1/8 in", Fraction(79375, 1000)),
        ("-3/8 in", Fraction(-9525, 1000)),
        ("12.5 mm", Fraction(25, 2)),
        ("1.2 m", Fraction(1200)),
        ("3 cm", Fraction(30)),
    ],
)
def test_lengths_are_read_exactly(text: str, millimetres: Fraction) -> None:
    assert length_or_none(text) == millimetres


@pytest.mark.parametrize(
    "text", ["", "mm", "1", "1 furlong", "1/0 in", "1 2 in", "1 1.5 in", "1e3 mm", "٣ mm", "1" * 16 + " mm", "nan mm"]
)
def test_what_is_no_length_is_not_read(text: str) -> None:
    assert length_or_none(text) is None


def test_a_bare_number_is_the_decimal_that_was_typed() -> None:
    assert read_length(0.1, Fraction(1), "x") == Fraction(1, 10)
    assert read_length(2, Fraction(254, 10), "x") == Fraction(508, 10)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), True, None, [], 10**2000], ids=range(6))
def test_what_cannot_be_measured_is_refused(value: object) -> None:
    with pytest.raises(UnreadableInput):
        read_length(value, Fraction(1), "x")


@pytest.mark.parametrize(
    ("ruler", "length", "text"),
    [
        (MM, Fraction(252), "252 mm"),
        (MM, Fraction(505, 2), "252.5 mm"),
        (MM, Fraction(1285, 3), "1285/3 mm"),
        (MM, Fraction(-1, 8), "-0.125 mm"),
        (MM, Fraction(0), "0 mm"),
        (EIGHTH, Fraction(83, 8) * Fraction(254, 10), "10 3/8 in"),
        (EIGHTH, Fraction(3, 8) * Fraction(254, 10), "3/8 in"),
        (EIGHTH, Fraction(254), "10 in"),
        (EIGHTH, Fraction(-3, 8) * Fraction(254, 10), "-3/8 in"),
        (EIGHTH, Fraction(1285, 3), "1285/3 mm"),
        (EIGHTH, Fraction(0), "0 in"),
    ],
)
def test_lengths_are_printed_as_the_ruler_shows_them(ruler: Ruler, length: Fraction, text: str) -> None:
    assert ruler.printed(length) == text


def test_decimals_have_two_places_of_a_millimetre_or_four_of_an_inch() -> None:
    assert MM.decimal(Fraction(412386, 1000)) == "412.39 mm"
    assert EIGHTH.decimal(Fraction(162362, 10000) * Fraction(254, 10)) == "16.2362 in"
    assert MM.decimal(Fraction(-1, 1000)) == "0.00 mm"


def test_a_ruler_is_in_inches_when_its_step_is() -> None:
    assert read_ruler("1/8 in", "mm", "ruler") == EIGHTH
    assert read_ruler(1, "mm", "ruler") == MM
    with pytest.raises(UnreadableInput):
        read_ruler("0 mm", "mm", "ruler")


def test_ties_go_away_from_zero_and_nothing_vanishes() -> None:
    step = Fraction(1)
    assert [put_on(Fraction(x, 4), step) for x in (-6, -1, 0, 1, 2, 6, 7)] == [-2, -1, 0, 1, 1, 2, 2]
    assert [raise_to(Fraction(x, 4), step) for x in (-5, -4, 0, 1, 4)] == [-1, -1, 0, 1, 1]


def _arctangent_of_inverse(number: int, scale: int) -> int:
    """scale × atan(1/number), each term cut off: within one unit a term of the truth."""
    total, power, sign, divisor = 0, scale // number, 1, 1
    while power:
        total += sign * (power // divisor)
        power //= number * number
        sign, divisor = -sign, divisor + 2
    return total


def test_pi_lies_in_its_enclosure_by_machins_formula() -> None:
    scale = 10**80
    pi = 4 * (4 * _arctangent_of_inverse(5, scale) - _arctangent_of_inverse(239, scale))
    error = 10**4
    assert PI[0] <= Fraction(pi - error, scale) and Fraction(pi + error, scale) <= PI[1]
    assert abs(Fraction(pi, scale) - PI40) < Fraction(1, 10**39)


@pytest.mark.parametrize("value", [Fraction(2), Fraction(1, 3), Fraction(10**40 + 1), Fraction(0), Fraction(25, 4)])
def test_roots_lie_in_their_enclosures(value: Fraction) -> None:
    low, high = square_root(value)
    assert low * low <= value <= high * high
    assert high - low <= Fraction(1, 10**39)
    if isqrt(value.numerator) ** 2 == value.numerator and isqrt(value.denominator) ** 2 == value.denominator:
        assert low == high
