"""Lengths of curves, enclosed in rationals, with their slopes: arcs of circles, quarters of ellipses, cubics.

Each length is given by areas in mm² and found in whole numbers of fixed point, every rounding counted:

- an arc of chord c and rise s is (c² + 4s²)/(2s) × atan(2s/c), the arctangent halved until its series is short;
- a quarter of an ellipse comes from the arithmetic-geometric mean of its half axes, which stays between them
  (Gauss 1818; King 1924);
- a cubic is an integral, see `cubic`.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import isqrt
from typing import Literal

from grading.cubic import cubic_measure
from grading.exact import Enclosure, enclose_pi, enclose_root

Kind = Literal["arc", "ellipse", "cubic"]
Areas = tuple[Fraction, ...]
"""In mm²: of an arc (c², s²), of an ellipse (a², b²), of a cubic the six products of its steps."""

CURVE_DIGITS = 24
"""Decimals to which the length of a curve is ever found; the reference states 20."""
HALVINGS = 5
"""Of an angle, before its arctangent is summed."""
FLATTEST = 1024
"""Units of fixed point below which the half axis of an ellipse is next to nothing."""


Found = tuple[Enclosure, tuple[Fraction, ...]]
"""A length, and its slope for each area."""


@dataclass(frozen=True)
class CurveMeasure:
    """A curve's length in mm, and the slope of it for each of its areas in 1/mm, to about as many decimals."""

    length: Enclosure
    slopes: tuple[Fraction, ...]


@lru_cache(maxsize=4096)
def measure_curve(kind: Kind, areas: Areas, digits: int = CURVE_DIGITS) -> CurveMeasure:
    """Enclose a curve's length within 10**-digits mm, at most CURVE_DIGITS.

    Areas below zero are of no curve (ValueError). Where an arc has no chord, and where a cubic comes to rest, slopes
    are those of what is left.
    """
    digits = min(digits, CURVE_DIGITS)
    size = isqrt(int(max(areas)) + 1) + 1
    bits = (10**digits * size).bit_length() + 40
    if min(areas[0], areas[-1]) < 0:
        msg = f"no curve has the areas {areas}"
        raise ValueError(msg)
    length, slopes = {"arc": _arc, "ellipse": _ellipse, "cubic": cubic_measure}[kind](areas, bits)
    scale = 10 ** (digits + 1)
    low, high = (length.low * scale).__floor__(), (length.high * scale).__ceil__()
    return CurveMeasure(
        Enclosure(Fraction(low, scale), Fraction(high, scale)), tuple(round(slope, digits) for slope in slopes)
    )


def _ceiling(over: int, under: int) -> int:
    return -(-over // under)


def _arc(areas: Areas, bits: int) -> Found:
    """sqrt(c²) × (1 + x) × g(x), x = 4s²/c² and g(x) = atan(sqrt(x))/sqrt(x)."""
    chord, rise = areas
    if not chord:
        return Enclosure(Fraction(0), Fraction(0)), (Fraction(0), Fraction(0))
    one = 1 << bits
    ratio = 4 * rise / chord
    low, high = (ratio * one).__floor__(), (ratio * one).__ceil__()
    mean = _arctangent_mean(low, high, bits)
    side = enclose_root(chord, bits // 3)
    wide = Enclosure(
        side.low * Fraction((one + low) * mean[0], one * one), side.high * Fraction((one + high) * mean[1], one * one)
    )
    value = Fraction(sum(mean), 2 * one)
    steep = _slope_of_mean(ratio, value, bits)
    growth = value + (1 + ratio) * steep
    return wide, (((1 + ratio) * value / 2 - ratio * growth) / side.low, 4 * growth / side.low)


def _arctangent_mean(low: int, high: int, bits: int) -> tuple[int, int]:
    """Below and above atan(sqrt(x))/sqrt(x), by atan(y) = 2 atan(y/(1 + sqrt(1 + y²))) and the alternating series."""
    one = 1 << bits
    below, above = one, one
    for _ in range(HALVINGS):
        least, most = one + isqrt((one + low) << bits), one + isqrt((one + high) << bits) + 1
        below, above = below * 2 * one // most, _ceiling(above * 2 * one, least)
        low, high = low * one * one // (most * most), _ceiling(high * one * one, least * least)
    return below * _arctangent_series(high, bits)[0] // one, _ceiling(above * _arctangent_series(low, bits)[1], one)


def _arctangent_series(x: int, bits: int) -> tuple[int, int]:
    """Below and above the sum of (-x)^k/(2k + 1), for x well below 1."""
    total, power, k = 0, 1 << bits, 0
    while power:
        total += -(power // (2 * k + 1)) if k % 2 else power // (2 * k + 1)
        power = power * x >> bits
        k += 1
    # Each term and each power lost less than 1; the tail is below 1.
    return total - 2 * k - 1, total + 2 * k + 1


def _slope_of_mean(ratio: Fraction, mean: Fraction, bits: int) -> Fraction:
    """The slope of atan(sqrt(x))/sqrt(x), by its own series where the difference would lose digits."""
    if ratio > Fraction(1, 64):
        return (1 / (1 + ratio) - mean) / (2 * ratio)
    one, total, power, k = 1 << bits, 0, 1 << bits, 1
    x = (ratio * one).__floor__()
    while power:
        total += (k * power // (2 * k + 1)) * (-1 if k % 2 else 1)
        power = power * x >> bits
        k += 1
    return Fraction(total, one)


def _ellipse(areas: Areas, bits: int) -> Found:
    """pi/2 × ((a² + b²)/2 - the sum of 2^(n-1) c_n²) / mean(a, b), c_n half the differences on the way to the mean."""
    across, along = areas
    one = 1 << bits
    sides = [isqrt((area.numerator << 2 * bits) // area.denominator) for area in areas]
    if min(sides) < FLATTEST:
        return _flat_ellipse(sides, one)
    (low, high), (least, most) = (sides[0], sides[0] + 1), (sides[1], sides[1] + 1)
    lost, most_lost, factor, far = 0, 0, 1, 4 * sum(sides)  # 4 × the sum, below and above
    while True:
        before, near, far = far, max(low - most, least - high, 0), max(high - least, most - low)
        lost, most_lost = lost + factor * near * near, most_lost + factor * far * far
        if 2 * far > before:  # it would at least halve, but for what rounding leaves of it
            break
        low, least = (low + least) // 2, isqrt(low * least)
        high, most = _ceiling(high + most, 2), isqrt(high * most - 1) + 1
        factor *= 2
    most_lost += factor * far * far  # what follows: each term is at most half of the one before
    middle, pi, unit = (across + along) / 2, enclose_pi(), 4 * one * one
    length = Enclosure(
        pi.low / 2 * (middle - Fraction(most_lost, unit)) * one / max(high, most),
        pi.high / 2 * (middle - Fraction(lost, unit)) * one / min(low, least),
    )
    half_turn = pi.low / 4 * one / low
    share = Fraction(lost + most_lost, 2 * unit) / (across - along) if across != along else Fraction(0)
    return length, (half_turn * (Fraction(1, 2) - share), half_turn * (Fraction(1, 2) + share))


def _flat_ellipse(sides: list[int], one: int) -> Found:
    """A quarter of next to no breadth is as long as its long half axis, or a little longer."""
    long, short = max(sides), min(sides)
    slope = Fraction(one, 2 * long) if long else Fraction(0)
    return Enclosure(Fraction(long, one), Fraction(long + short + 2, one)), (slope, slope)
