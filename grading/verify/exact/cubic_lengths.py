"""The length of a cubic curve, enclosed: the integral of 3 sqrt(P) over t from 0 to 1.

P(t) is the square of (1-t)² d1 + 2t(1-t) d2 + t² d3. The way from 0 to 1 is halved until P varies little about the
middle of each part, so that its root is analytic there and Gauss's rule applies; what is left about a place where the
curve comes to rest is shorter than can matter. Whole numbers of 2**-PLACES.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

from grading.verify.exact.enclosures import Enclosure
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.quadrature import ONE, PLACES, gauss_rule

Quartic = list[int]
# P is off by less than this, in units: each halving and each value rounds by a few.
_ROUNDING = 1 << 16
# A part shorter than this (mm) is left out and counts between nothing and its longest.
_NOTHING = ONE >> 110
_DEEPEST = 150
# The products of the steps stand before these polynomials in t, by their powers.
_BASIS = (
    (1, -4, 6, -4, 1),
    (0, 4, -12, 12, -4),
    (0, 0, 2, -4, 2),
    (0, 0, 4, -8, 4),
    (0, 0, 0, 4, -4),
    (0, 0, 0, 0, 1),
)
_SCALED_BASIS = tuple(tuple(factor << PLACES for factor in basis) for basis in _BASIS)


@lru_cache(maxsize=512)
def cubic_length(areas: tuple[Fraction, ...]) -> Enclosure:
    """Return an enclosure of the length in mm from d1·d1, d1·d2, d1·d3, d2·d2, d2·d3 and d3·d3 in mm²."""
    rule = gauss_rule()
    total = slack = 0
    for depth, _, quartic in _parts(areas):
        if quartic[0] <= 0 or not _is_even(quartic):
            # The longest that a part can be, where P is too uneven: its length in t times 3 sqrt(greatest P).
            slack += _longest(quartic, depth)
            continue
        values = [math.isqrt(max(value, 0) << PLACES) for value in _values(quartic, rule.places)]
        found = sum(weight * value for weight, value in zip(rule.weights, values, strict=True)) >> PLACES
        greatest = math.isqrt(2 * quartic[0] << PLACES)
        off = math.ceil(greatest * rule.error) + 2 * ((_ROUNDING << PLACES) // math.isqrt(quartic[0] << PLACES)) + 64
        total += (3 * found) >> (depth + 1)
        slack += ((3 * off) >> (depth + 1)) + 1
    return Fraction(total - slack, ONE), Fraction(total + slack, ONE)


@lru_cache(maxsize=512)
def cubic_slopes(areas: tuple[Fraction, ...]) -> tuple[Fraction, ...]:
    """Return how fast the length grows with each of the areas, to more than 20 digits where it has no rest."""
    rule = gauss_rule()
    totals = [0] * len(_BASIS)
    for depth, middle, quartic in _parts(areas):
        if quartic[0] <= 0 or not _is_even(quartic):
            continue
        for place, value, weight in zip(rule.places, _values(quartic, rule.places), rule.weights, strict=True):
            t = middle + (place >> (depth + 1))
            share = (weight << PLACES) // max(1, math.isqrt(value << PLACES))
            for index, basis in enumerate(_SCALED_BASIS):
                totals[index] += (share * _horner(basis, t)) >> (PLACES + depth + 1)
    return tuple(Fraction(3 * total, 2 * ONE) for total in totals)


def _parts(areas: tuple[Fraction, ...]) -> Iterator[tuple[int, int, Quartic]]:
    """Yield the parts: how often halved, the middle, and P over [-1, 1] across the part."""
    powers = [
        sum(
            (area * basis[power] for area, basis in zip(areas, _BASIS, strict=True)),
            Fraction(0),
        )
        for power in range(5)
    ]
    whole = [math.floor(value * ONE) for value in powers]
    # t = (1 + x) / 2
    halved = [value >> power for power, value in enumerate(whole)]
    waiting = [(0, ONE >> 1, _moved(halved, 1))]
    while waiting:
        depth, middle, quartic = waiting.pop()
        if (quartic[0] > 0 and _is_even(quartic)) or depth >= _DEEPEST or _is_nothing(quartic, depth):
            yield depth, middle, quartic
            continue
        half = [value >> power for power, value in enumerate(quartic)]
        by = ONE >> (depth + 2)
        waiting.append((depth + 1, middle + by, _moved(half, 1)))
        waiting.append((depth + 1, middle - by, _moved(half, -1)))


def _moved(quartic: Quartic, by: int) -> Quartic:
    """Return the polynomial of x + by, for by 1 or -1."""
    moved = list(quartic)
    for first in range(4):
        for power in range(3, first - 1, -1):
            moved[power] += by * moved[power + 1]
    return moved


def _is_even(quartic: Quartic) -> bool:
    """Whether P differs from its middle by at most three quarters within 2 of it, where the rule's ellipse lies."""
    off = sum(abs(value) << power for power, value in enumerate(quartic) if power)
    return 4 * (off + _ROUNDING) <= 3 * quartic[0]


def _is_nothing(quartic: Quartic, depth: int) -> bool:
    """Whether the part cannot matter: it is short, or all of P is lost in rounding."""
    return _longest(quartic, depth) <= _NOTHING or sum(map(abs, quartic)) <= _ROUNDING


def _longest(quartic: Quartic, depth: int) -> int:
    return ((3 * math.isqrt((sum(map(abs, quartic)) + _ROUNDING) << PLACES)) >> depth) + 1


def _values(quartic: Quartic, places: tuple[int, ...]) -> Iterator[int]:
    for place in places:
        yield _horner(quartic, place)


def _horner(quartic: Quartic | tuple[int, ...], place: int) -> int:
    value = quartic[4]
    for factor in (quartic[3], quartic[2], quartic[1], quartic[0]):
        value = factor + ((value * place) >> PLACES)
    return value
