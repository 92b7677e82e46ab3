"""Rational enclosures of pi and of square roots: two fractions with the truth between them."""

from __future__ import annotations

import math

from grading.verify.exact.fraction import Fraction

Enclosure = tuple[Fraction, Fraction]

# The rational of the nearest-size calculation, part of the format (not a judgement of the true pi).
PI40_TOP = 3141592653589793238462643383279502884197
PI40_SCALE = 10**39
PI40 = Fraction(PI40_TOP, PI40_SCALE)

# Pi to 60 decimals, cut off; the tests derive it anew from Machin's formula.
_PI_DIGITS = 3141592653589793238462643383279502884197169399375105820974944
_PI_SCALE = 10**60
PI: Enclosure = (Fraction(_PI_DIGITS, _PI_SCALE), Fraction(_PI_DIGITS + 1, _PI_SCALE))

ROOT_PLACES = 40
_ROOT_SCALE = 10**ROOT_PLACES


def square_root(value: Fraction) -> Enclosure:
    """Return an enclosure of the square root of a value of at least 0, exact (both ends equal) if it is rational.

    Its width is below 10**-40 otherwise. The floor of the root of a whole number is exact in `math.isqrt`.
    """
    top, below = value.numerator, value.denominator
    root_top, root_below = math.isqrt(top), math.isqrt(below)
    if root_top * root_top == top and root_below * root_below == below:
        exact = Fraction(root_top, root_below)
        return exact, exact
    scale = below * _ROOT_SCALE
    root = math.isqrt(top * below * _ROOT_SCALE * _ROOT_SCALE)
    return Fraction(root, scale), Fraction(root + 1, scale)


def near_root(value: Fraction) -> Fraction:
    """Return a rational within 10**-40 of the square root; the root itself if that is rational."""
    low, high = square_root(value)
    return low if low == high else (low + high) / 2


def scaled(enclosure: Enclosure, factor: Fraction) -> Enclosure:
    """Return the enclosure of factor times the enclosed value."""
    low, high = enclosure[0] * factor, enclosure[1] * factor
    return (low, high) if factor >= 0 else (high, low)


def added(first: Enclosure, second: Enclosure) -> Enclosure:
    """Return the enclosure of the sum."""
    return first[0] + second[0], first[1] + second[1]


def magnitude(enclosure: Enclosure) -> Fraction:
    """Return an upper bound of the absolute value."""
    return max(abs(enclosure[0]), abs(enclosure[1]))
