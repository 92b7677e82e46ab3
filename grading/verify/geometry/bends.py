"""Bends: how the curved parts of an outline run at one size, as exact or nearly exact points.

The centre of an arc is within 10**-30 mm of the truth where the length of its chord is no rational.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import comb

from grading.verify.exact.curve_lengths import arc_length
from grading.verify.exact.enclosures import PI, Enclosure, near_root, scaled, square_root
from grading.verify.exact.fraction import Fraction

Spot = tuple[Fraction, Fraction]
NOTHING: Enclosure = (Fraction(0), Fraction(0))


@dataclass(frozen=True)
class Round:
    """An arc of a circle of any angle; `rise` over its chord is None in a flat, `middle` is there if it is a vertex."""

    radius: Fraction
    rise: Fraction | None = None
    middle: Spot | None = None


@dataclass(frozen=True)
class Oval:
    """A quarter of an ellipse."""


@dataclass(frozen=True)
class Bow:
    """A cubic, with its two inner points."""

    first: Spot
    second: Spot


Bend = Round | Oval | Bow


def arc_centre(start: Spot, end: Spot, rise: Fraction, turns: str) -> tuple[Spot, Fraction]:
    """Return the centre and the radius of an arc with a chord and a rise above 0."""
    across, along = end[0] - start[0], end[1] - start[1]
    square = across * across + along * along
    chord = abs(across + along) if 0 in (across, along) else near_root(square)
    radius = (square / 4 + rise * rise) / (2 * rise)
    # From the middle of the chord to the right of the way where the arc turns right.
    share = (radius - rise) / chord * (1 if turns == "right" else -1)
    return ((start[0] + end[0]) / 2 + along * share, (start[1] + end[1]) / 2 - across * share), radius


def area_beside_chord(bend: Bend, start: Spot, end: Spot) -> Enclosure:
    """Return the area between a bend and its chord: of a cubic to the left of it, of others where they bulge."""
    across, along = end[0] - start[0], end[1] - start[1]
    if isinstance(bend, Bow):
        doubled = _twice_below(start, bend, end) - across * (start[1] + end[1])
        return doubled / 2, doubled / 2
    if isinstance(bend, Oval):
        product = abs(across * along)
        return (PI[0] / 4 - Fraction(1, 2)) * product, (PI[1] / 4 - Fraction(1, 2)) * product
    if bend.rise is None:
        return NOTHING
    square = across * across + along * along
    low, high = arc_length(square, bend.rise**2)
    # The sector of the arc, less (or more) the triangle between its centre and its chord.
    triangle = scaled(square_root(square), bend.radius - bend.rise)
    return (bend.radius * low - triangle[1]) / 2, (bend.radius * high - triangle[0]) / 2


def _twice_below(start: Spot, bow: Bow, end: Spot) -> Fraction:
    """Return twice the integral of y dx along a cubic, from the products of Bernstein's polynomials."""
    points = (start, bow.first, bow.second, end)
    total = Fraction(0)
    for i, (_, y) in enumerate(points):
        for j in range(3):
            share = Fraction(comb(3, i) * comb(2, j), comb(5, i + j))
            total += share * y * (points[j + 1][0] - points[j][0])
    return total
