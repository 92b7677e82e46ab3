"""Bias binding against printed tables and rules."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, sqrt

import pytest

from grading.cloth.bias import least_square, strip_block
from grading.exact import INCH, read_length

EIGHTH = INCH / 8

BALDT = {
    "0.5": "0-6", "1": "1-3", "1.5": "2-1", "2": "2-6", "2.5": "3-4", "3": "4-2", "3.5": "5-0", "4": "5-5",
    "4.5": "6-3", "5": "7-1", "5.5": "7-6", "6": "8-4", "6.5": "9-1", "7": "9-7", "7.5": "10-5", "8": "11-2",
    "8.5": "12-0", "9": "12-6", "9.5": "13-3", "10": "14-1", "10.5": "14-7", "11": "15-4",
}  # fmt: skip
"""Length along the selvage for a width of bias strip, in inches and eighths (Laura I. Baldt, Clothing for Women, 1916
(author and year from memory), ch. XXII, chestofbooks.com/business/clothing/Women-Design-Construction)."""


def in_inches(entry: str) -> Fraction:
    inches, eighths = entry.split("-")
    return Fraction(inches) + Fraction(int(eighths), 8)


def along_selvage(width: Fraction) -> Fraction:
    """What one strip more takes along the selvage, in mm, by the block of two strips and that of one."""
    grid = Fraction(1, 1000)
    one, two = (strip_block(length, width, Fraction(0), strips, grid) for strips, length in ((1, INCH), (2, 2 * INCH)))
    return two.along - one.along


@pytest.mark.parametrize(("width", "entry"), BALDT.items())
def test_a_strip_takes_what_the_table_of_1916_has(width: str, entry: str) -> None:
    ours = along_selvage(Fraction(width) * INCH) / INCH
    assert abs(ours - in_inches(entry)) <= Fraction("0.08")


def test_a_third_more_is_too_little_along_the_selvage() -> None:
    """The old rule of a third more (Woolman, A Sewing Course for Teachers, True Bias) is 5.7 % short, and not ours."""
    ours = along_selvage(2 * INCH) / (2 * INCH)
    assert abs(float(ours) - sqrt(2)) < 0.001
    assert ours > Fraction(4, 3) * Fraction(105, 100)


@pytest.mark.parametrize(
    ("length", "width", "side"),
    [
        (200, "2", 20),  # 20 × 20 in square, 2-in strip: 200 in; mydecozo.co.uk forum 680, quiltingboard.com t9808
        (250, "2", 23),  # 2 × 250 = 500, root 22.36: the same two
        (100, "3 1/2", 19),  # 350, root 18.71: quiltersquestiontime.com, 5 August 2021
        (72, "2", 12),  # 12-in square, 2-in strips: 72 in by the formula; sewaquilt.com/bias-tape.html
    ],
)
def test_a_continuous_strip_takes_the_square_that_the_rule_has(length: int, width: str, side: int) -> None:
    """Side = the root of length × width, rounded up to whole inches."""
    exact = read_length(f"{width} in")
    assert least_square(length * INCH, exact, Fraction(0), INCH) == side * INCH
    assert ceil(sqrt(length * float(exact / INCH))) == side


def test_the_length_of_a_continuous_strip_is_the_area_over_its_width() -> None:
    """20 × 20 in and a 2-in strip give 200 in, and no more."""
    assert least_square(200 * INCH, 2 * INCH, Fraction(0), EIGHTH) == 20 * INCH
    assert least_square(201 * INCH, 2 * INCH, Fraction(0), EIGHTH) > 20 * INCH


def test_seams_come_off_the_square() -> None:
    """A 22-in square less its seams is 21 3/4 squared, 473 square inches (victoryautony.com): C 157.6 in of 3 in."""
    eighth = Fraction(1, 8) * INCH
    assert least_square(Fraction("157.6") * INCH, 3 * INCH, eighth, eighth) == 22 * INCH
    assert least_square(158 * INCH, 3 * INCH, eighth, eighth) > 22 * INCH


def test_one_uncut_bias_run_takes_its_length_over_the_root_of_two_across() -> None:
    """46 in of one run: 32.53 in of cloth (scribd.com 510430004)."""
    block = strip_block(46 * INCH, INCH, Fraction(0), 1, Fraction(1, 100))
    assert abs(float(block.across / INCH) - 32.53) < 0.005
