"""Lengths of curves, enclosed, and how fast they grow with the areas that decide them.

An arc of chord c and rise s is c times Euler's series for the arctangent in q = 4s²/(c² + 4s²), and a quarter of an
ellipse comes from the arithmetic-geometric mean of its half axes (Gauss); a cubic has a module of its own. Areas are
in mm², lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

from grading.verify.exact.cubic_lengths import cubic_length, cubic_slopes
from grading.verify.exact.enclosures import PI, Enclosure, near_root, square_root
from grading.verify.exact.forms import ARC, CUBIC
from grading.verify.exact.fraction import Fraction

PLACES = 176
ONE = 1 << PLACES
HALF = Fraction(1, 2)
# Means that are as close as this (units of 2**-PLACES) are as good as one; means halve their digits' distance.
_CLOSE = 1 << 60
_MOST_MEANS = 400
_PI = PI[0].numerator * ONE // PI[0].denominator


def length_of(kind: str, areas: tuple[Fraction, ...]) -> Enclosure:
    """Return an enclosure of a curve's length, narrower than 10**-25 mm at the size of a bag."""
    if kind == CUBIC:
        return cubic_length(areas)
    return arc_length(*areas) if kind == ARC else ellipse_length(*areas)


def slopes_of(kind: str, areas: tuple[Fraction, ...]) -> tuple[Fraction, ...] | None:
    """Return how fast a length grows with each area, to 20 digits; None where it has no slope."""
    if kind == CUBIC:
        return cubic_slopes(areas) if areas[0] > 0 and areas[5] > 0 else None
    if min(areas) <= 0:
        return None
    return _arc_slopes(*areas) if kind == ARC else _ellipse_slopes(*areas)


@lru_cache(maxsize=512)
def arc_length(chord: Fraction, rise: Fraction) -> Enclosure:
    """Return the length of the arc of a circle from the squares of its chord and its rise."""
    both = chord + 4 * rise
    if both == 0:
        return Fraction(0), Fraction(0)
    part = 4 * rise / both
    low, high = square_root(chord)
    if part <= HALF:
        least, most = _euler(part)
        return low * least, high * most
    # From the other side: the arctangents of x and 1/x make a quarter turn.
    least, most = _euler(1 - part)
    side = square_root(rise)
    return (
        PI[0] * both / (4 * side[1]) - high * most,
        PI[1] * both / (4 * side[0]) - low * least,
    )


def _euler(part: Fraction) -> Enclosure:
    """Return 1 + 2/3 q + (2·4)/(3·5) q² + … for q of at most a half."""
    below = _floor(part)
    low = sum(_terms(below, 0))
    rising = list(_terms(below + 1, 1))
    # What is left out is at most q / (1 - q) times the last term, which was rounded up.
    return Fraction(low, ONE), Fraction(sum(rising) + 4 * rising[-1], ONE)


def _terms(q: int, up: int) -> Iterator[int]:
    """Yield the terms, each rounded down, or up by one unit more, until they come to nothing."""
    term, index = ONE, 1
    while term > 4:
        yield term
        term = (term * q * 2 * index) // ((2 * index + 1) << PLACES) + up
        index += 1
    yield term


@lru_cache(maxsize=512)
def ellipse_length(first: Fraction, second: Fraction) -> Enclosure:
    """Return the length of a quarter of an ellipse from the squares of its half axes.

    pi (a² - sum of 2**(n-1) c_n²) / (2 M), M the arithmetic-geometric mean, c_0² = a² - b², c_n half the difference
    of the means before.
    """
    great, small = max(first, second), min(first, second)
    if small <= 0:
        return square_root(max(great, Fraction(0)))
    low, high = _floor(square_root(great)[0]), _floor(square_root(great)[1]) + 1
    least, most = _floor(square_root(small)[0]), _floor(square_root(small)[1]) + 1
    rest_low = _floor((great + small) / 2)
    rest_high = rest_low + 1
    factor = 1
    for _ in range(_MOST_MEANS):
        # low..high holds the arithmetic mean, least..most the geometric one; c lies within what they allow.
        shortest, longest = max(0, low - most), high - least
        rest_high -= factor * ((shortest * shortest) >> (PLACES + 2))
        rest_low -= factor * (((longest * longest) >> (PLACES + 2)) + 1)
        close = longest <= _CLOSE
        low, high, least, most = (
            (low + least) >> 1,
            ((high + most) >> 1) + 1,
            math.isqrt(low * least),
            math.isqrt(high * most) + 1,
        )
        factor *= 2
        if close:
            break
    # What is left out: each further term is far below a half of the one before.
    rest_low -= factor * (((high - least) ** 2 >> PLACES) + 1)
    bottom, top = min(low, least), max(high, most)
    return PI[0] * Fraction(rest_low, 2 * top), PI[1] * Fraction(rest_high, 2 * bottom)


def _floor(value: Fraction) -> int:
    return value.numerator * ONE // value.denominator


def _middle(enclosure: Enclosure) -> Fraction:
    return (enclosure[0] + enclosure[1]) / 2


def _arc_slopes(chord: Fraction, rise: Fraction) -> tuple[Fraction, ...]:
    length = _middle(arc_length(chord, rise))
    first = length / (chord + 4 * rise) - 1 / (2 * near_root(chord))
    # The length is homogeneous of degree one half in both.
    return first, (length / 2 - chord * first) / rise


def _ellipse_slopes(first: Fraction, second: Fraction) -> tuple[Fraction, ...]:
    """The mean and its slope with the first half axis, step by step together; the second slope is what is left."""
    a, b = near_root(first), near_root(second)
    length = _middle(ellipse_length(first, second))
    means = list(_means(_floor(a), _floor(b)))
    mean, mean_slope = means[-1][0], means[-1][1]
    rest, rest_slope, factor = _floor((first + second) / 2), _floor(a), 1
    for _, _, apart, apart_slope in means[1:]:
        rest -= factor * ((apart * apart) >> PLACES)
        rest_slope -= 2 * factor * ((apart * apart_slope) >> PLACES)
        factor *= 2
    # L = pi rest / (2 mean)
    slope = Fraction(_PI * (rest_slope * mean - rest * mean_slope), 2 * mean * mean) / ONE
    return slope / (2 * a), (length - a * slope) / (2 * b * b)


def _means(a: int, b: int) -> Iterator[tuple[int, int, int, int]]:
    """Yield the arithmetic means and half the differences, each with its slope in the first number."""
    slope, other, apart, apart_slope = ONE, 0, 0, 0
    for _ in range(_MOST_MEANS):
        yield a, slope, apart, apart_slope
        if max(abs(a - b), abs(apart), abs(slope - other)) <= 4:
            return
        apart, apart_slope = (a - b) >> 1, (slope - other) >> 1
        root = math.isqrt(a * b)
        slope, other = (slope + other) >> 1, (slope * b + a * other) // (2 * root)
        a, b = (a + b) >> 1, root
