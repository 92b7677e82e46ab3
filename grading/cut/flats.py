"""Flats in numbers: the points of a part of a ring, to about 40 digits."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from grading.cut.geometry import Curve, Place
from grading.model.flat import Flat

BITS = 160
"""Binary places of sines and cosines: some 48 decimals."""
HALVINGS = 8
"""Of an angle of up to half a turn before its series are summed."""

_MIDDLE = (Fraction(0), Fraction(0))


def flat_curves(flat: Flat, values: Mapping[str, Fraction]) -> tuple[tuple[str, Curve], ...]:
    """The stitching line of a flat at a size, clockwise, upright about the y axis, the middle of its circles (0, 0)."""
    outer, inner, angle = flat.rolled(values)
    sine, cosine = sine_and_cosine(angle / 2)

    def place(radius: Fraction, side: int) -> Place:
        return side * radius * sine, radius * cosine

    rim = ("outer", Curve(place(outer, -1), place(outer, 1), _MIDDLE, "right"))
    if not inner:
        return rim, ("right", Curve(place(outer, 1), _MIDDLE)), ("left", Curve(_MIDDLE, place(outer, -1)))
    return (
        rim,
        ("right", Curve(place(outer, 1), place(inner, 1))),
        ("inner", Curve(place(inner, 1), place(inner, -1), _MIDDLE, "left")),
        ("left", Curve(place(inner, -1), place(outer, -1))),
    )


def sine_and_cosine(angle: Fraction) -> tuple[Fraction, Fraction]:
    """The sine and the cosine of an angle in radians from 0 to half a turn, within 10**-40.

    The series of the angle divided by 2^HALVINGS, which is doubled again: 1 - cos is followed, to keep its digits.
    """
    one = 1 << BITS
    part = (angle * one / (1 << HALVINGS)).__floor__()
    sine = lacking = 0
    term, k = one, 1
    while term:
        term = term * part >> BITS
        term //= k
        sign = -1 if k % 4 in {3, 0} else 1
        if k % 2:
            sine += sign * term
        else:
            lacking += sign * term
        k += 1
    for _ in range(HALVINGS):
        # sin 2a = 2 sin a cos a; 1 - cos 2a = 2 sin² a.
        sine, lacking = 2 * sine * (one - lacking) >> BITS, 2 * sine * sine >> BITS
    return Fraction(sine, one), Fraction(one - lacking, one)
