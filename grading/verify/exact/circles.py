"""Sine and cosine of rationals, within 10**-40, in whole numbers of 2**-PLACES."""

from __future__ import annotations

from grading.verify.exact.fraction import Fraction

PLACES = 160
ONE = 1 << PLACES


def cosine_and_sine(angle: Fraction) -> tuple[Fraction, Fraction]:
    """Return both of an angle from 0 to pi, within 10**-40."""
    x = angle.numerator * ONE // angle.denominator
    square = (x * x) >> PLACES
    return Fraction(_series(ONE, 0, square), ONE), Fraction(_series(x, 1, square), ONE)


def _series(term: int, power: int, square: int) -> int:
    """Return the sum of the terms, each the one before times -x² over the next two whole numbers.

    They alternate and fall once the power is past the angle: what is left out is less than the first term left out.
    """
    total = 0
    while abs(term) > 1:
        total += term
        term = -((term * square) >> PLACES) // ((power + 1) * (power + 2))
        power += 2
    return total
