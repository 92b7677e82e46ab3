"""Gauss's rule of 28 places for integrals over [-1, 1], in whole numbers of 2**-PLACES, with what it may be off.

That the rule is good is not taken on trust: for each Chebyshev polynomial of a degree below 56 its sum is compared
with the integral. A function that is analytic in the ellipse with the foci -1 and 1 whose half axes add up to rho,
and at most M there, is a sum of such polynomials with factors of at most 2 M rho**-k (Trefethen, Approximation Theory
and Approximation Practice, theorem 8.1), so that the rule's error is bounded by those factors.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from grading.verify.exact.fraction import Fraction

PLACES = 192
ONE = 1 << PLACES
COUNT = 28
# The ellipse of half axes 2 and sqrt(3): a disc of radius 2 about the middle holds it. rho = 2 + sqrt(3) > 3.732.
_RHO = Fraction(3732, 1000)
_NEWTON_STEPS = 12
# The polynomials are computed by recurrence in rounded numbers, off by less than this (units of 2**-PLACES).
_ROUNDING = 1 << 16


@dataclass(frozen=True)
class Rule:
    """Places in [-1, 1] and their weights, as whole numbers of 2**-PLACES; `error` is that of a function of bound 1."""

    places: tuple[int, ...]
    weights: tuple[int, ...]
    error: Fraction


@cache
def gauss_rule() -> Rule:
    """Return the rule, computed once, with the bound of its error."""
    places: list[int] = []
    weights: list[int] = []
    for index in range(COUNT // 2):
        # A float only says where to look; Newton's steps find the place, and the moments below judge it.
        x = round(math.cos(math.pi * (index + 0.75) / (COUNT + 0.5)) * 2**53) << (PLACES - 53)
        for _ in range(_NEWTON_STEPS):
            value, slope = _legendre(x)
            x -= (value << PLACES) // slope
        slope = _legendre(x)[1]
        square = (slope * slope) >> PLACES
        weight = (2 << (3 * PLACES)) // ((ONE - ((x * x) >> PLACES)) * square)
        places += [x, -x]
        weights += [weight, weight]
    return Rule(tuple(places), tuple(weights), _error(places, weights))


def _legendre(x: int) -> tuple[int, int]:
    """Return the Legendre polynomial of degree COUNT and its slope."""
    before, value = ONE, x
    for degree in range(2, COUNT + 1):
        before, value = value, ((2 * degree - 1) * ((x * value) >> PLACES) - (degree - 1) * before) // degree
    below = ((x * x) >> PLACES) - ONE
    return value, ((COUNT * (((x * value) >> PLACES) - before)) << PLACES) // below


def _error(places: list[int], weights: list[int]) -> Fraction:
    """Return the bound of the error for functions of bound 1 in the ellipse; odd degrees vanish by symmetry."""
    worst = 0
    before, values = [ONE] * len(places), list(places)
    for degree in range(2 * COUNT):
        row = before
        if degree % 2 == 0:
            found = sum((weight * value) >> PLACES for weight, value in zip(weights, row, strict=True))
            worst = max(worst, abs(found - 2 * ONE // (1 - degree * degree)))
        before, values = (
            values,
            [((2 * x * value) >> PLACES) - last for x, value, last in zip(places, values, before, strict=True)],
        )
    moments = Fraction(worst + _ROUNDING, ONE)
    low = 2 * moments / (1 - 1 / _RHO)
    # From degree 56 on: the integral is at most 2/(k² - 1), the sum at most the sum of the weights, about 2.
    high = 2 * Fraction(201, 100) / _RHO ** (2 * COUNT) / (1 - 1 / _RHO**2)
    return low + high
