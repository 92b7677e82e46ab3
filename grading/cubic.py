"""The length of a cubic: 3 times the integral of sqrt(p) over [0, 1] for a polynomial p of degree 4, enclosed.

On each part of [0, 1], seen as -1 <= u <= 1 and p as q₀(1 + Q(u)), a polynomial z with z(0) = 1 stands for
(1 + Q)^(-1/2). The slope of z × sqrt(1 + Q) is (2(1 + Q)z' + Q'z)/(2 sqrt(1 + Q)): what its numerator is at most bounds
how far z is off. The series of z makes it zero but for roundings and for what follows its last term, and both are
counted; so z is proven, not believed. Whole numbers of fixed point throughout.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import comb, isqrt, lcm

from grading.exact import Enclosure

MOST_BITS = 400
"""Bits after the point kept of an area."""
MOST_TERMS = 128
"""Coefficients of a series before the part of the curve that it stands for is halved."""
DEEPEST = 64
"""Halvings of [0, 1] after which a part is only known to lie between nothing and its greatest speed."""
SHORT = 20
"""Bits of a unit's multiple: a part at rest that is no longer than so many units is not halved on."""
SMALL = 4
"""Units of fixed point that four terms in a row may have where a series ends."""


@dataclass(frozen=True)
class _Part:
    """A part of [0, 1] with its middle at odd / 2^depth and half of its width 1 / 2^depth.

    `speed` is q₀ × 2^(4 × depth), `moments` are the integrals of u^k z over -1..1, `length` that of sqrt(1 + Q) and
    `off` what it may be off, all three in units of fixed point.
    """

    odd: int
    depth: int
    speed: int
    moments: tuple[int, ...]
    length: int
    off: int


def cubic_measure(areas: Sequence[Fraction], bits: int) -> tuple[Enclosure, tuple[Fraction, ...]]:
    """The length of a cubic and its slope for each area, to about `bits` binary places.

    areas  d₁·d₁, d₁·d₂, d₁·d₃, d₂·d₂, d₂·d₃, d₃·d₃ of the steps between its points, in mm²

    Where the curve comes to rest the slopes are those of what is left.
    """
    kept = [_kept(area) for area in areas]
    if not any(kept):
        return Enclosure(Fraction(0), Fraction(0)), (Fraction(0),) * 6
    # The square root of what was cut off from the areas, at most 9 of them, is less than this.
    room = Fraction(0) if kept == [*areas] else Fraction(3, 1 << MOST_BITS // 2)
    below = lcm(*(area.denominator for area in kept))
    polynomial = _speed_squared([int(area * below) for area in kept])
    low = high = 0
    moments = [0] * 5
    for part in _parts(polynomial, below, 0, 1, bits):
        if isinstance(part, int):
            high += part
            continue
        root = isqrt((part.speed << 2 * bits) // below)
        narrower = 3 * part.depth
        low += (root * (part.length - part.off) >> narrower) - 1
        high += ((root + 1) * (part.length + part.off) >> narrower) + 1
        for power, moment in enumerate(_moments_of_t(part)):
            # dt / sqrt(p) is 2^depth/2^(2 depth) × du / sqrt(speed), and t^k has 2^(k depth) below the line.
            moments[power] += (moment << bits) // (root or 1) << part.depth >> power * part.depth
    unit = 1 << 2 * bits
    length = Enclosure(max(Fraction(3 * low, unit) - room, Fraction(0)), Fraction(3 * high, unit) + room)
    return length, tuple(Fraction(3 * slope, 2 << bits) for slope in _slopes(moments))


def _kept(area: Fraction) -> Fraction:
    if area.denominator.bit_length() <= MOST_BITS:
        return area
    return Fraction((area.numerator << MOST_BITS) // area.denominator, 1 << MOST_BITS)


def _speed_squared(products: Sequence[int]) -> tuple[int, ...]:
    """The coefficients of |(1-t)² d₁ + 2t(1-t) d₂ + t² d₃|²."""
    aa, ab, ac, bb, bc, cc = products
    return (
        aa,
        4 * (ab - aa),
        6 * aa - 12 * ab + 2 * ac + 4 * bb,
        4 * (3 * ab - 2 * bb + bc - aa - ac),
        aa + 4 * bb + cc - 4 * ab + 2 * ac - 4 * bc,
    )


def _slopes(moments: Sequence[int]) -> tuple[int, ...]:
    """The integrals of the factors that stand with each product in `_speed_squared`, over sqrt(p)."""
    m = moments
    return (
        m[0] - 4 * m[1] + 6 * m[2] - 4 * m[3] + m[4],
        4 * m[1] - 12 * m[2] + 12 * m[3] - 4 * m[4],
        2 * m[2] - 4 * m[3] + 2 * m[4],
        4 * m[2] - 8 * m[3] + 4 * m[4],
        4 * m[3] - 4 * m[4],
        m[4],
    )


def _parts(polynomial: Sequence[int], below: int, depth: int, odd: int, bits: int) -> Iterator[_Part | int]:
    """The parts of the curve from here; of one that (nearly) comes to rest more than its length, in units squared."""
    depth += 1
    moved = _moved(polynomial, odd, depth)
    part = _part(moved, odd, depth, bits)
    if part is not None:
        yield part
        return
    most = (isqrt(sum(map(abs, moved)) // below) + 1 << 2 * bits + 1 >> 3 * depth) + 1
    if most >> bits + SHORT == 0 or depth > DEEPEST:
        yield most
    else:
        yield from _parts(polynomial, below, depth, 2 * odd - 1, bits)
        yield from _parts(polynomial, below, depth, 2 * odd + 1, bits)


def _moved(polynomial: Sequence[int], odd: int, depth: int) -> list[int]:
    """The coefficients of 2^(4 depth) × p((odd + u) / 2^depth) in u."""
    moved = [number << (4 - power) * depth for power, number in enumerate(polynomial)]
    for start in range(4):
        for place in range(3, start - 1, -1):
            moved[place] += odd * moved[place + 1]
    return moved


def _part(moved: Sequence[int], odd: int, depth: int, bits: int) -> _Part | None:
    """The part with these coefficients, or None if it has to be halved."""
    speed, one = moved[0], 1 << bits
    if speed <= 0:
        return None
    c1, c2, c3, c4 = ((number << bits) // speed for number in moved[1:])  # each less than 1 unit too small
    greatest = abs(c1) + abs(c2) + abs(c3) + abs(c4)
    if 4 * greatest > 3 * one:
        return None
    z = _series((c1, c2, c3, c4), bits)
    if z is None:
        return None
    off = _residual(z, (c1, c2, c3, c4), bits)
    if 4 * off > one:
        return None
    moments = tuple(_moment(z, power) for power in range(5))
    length = moments[0] + ((c1 * moments[1] + c2 * moments[2] + c3 * moments[3] + c4 * moments[4]) >> bits)
    # sqrt(1 + Q) is (1 + Q)z / (z sqrt(1 + Q)), the divisor within `off` of 1. Each moment lost less than one unit for
    # each of its terms, and each coefficient of Q less than one, times a moment of at most 4.
    return _Part(odd, depth, speed, moments, length, (2 * off * abs(length) >> bits) + 2 * len(z) + 32)


def _series(c: tuple[int, int, int, int], bits: int) -> list[int] | None:
    """z = 1 + z₁u + ... with 2n z_n = - the sum of (2n - k) c_k z_(n-k); None where it does not come to an end."""
    c1, c2, c3, c4 = c
    z = [1 << bits]
    before = (0, 0, 0)
    a, (b, d, e) = z[0], before
    for n in range(1, MOST_TERMS):
        two = 2 * n
        term = -((two - 1) * c1 * a + (two - 2) * c2 * b + (two - 3) * c3 * d + (two - 4) * c4 * e) // (two << bits)
        z.append(term)
        a, b, d, e = term, a, b, d
        if -SMALL <= a <= SMALL and -SMALL <= b <= SMALL and -SMALL <= d <= SMALL and -SMALL <= e <= SMALL:
            return z
    return None


def _residual(z: Sequence[int], c: Sequence[int], bits: int) -> int:
    """At least the greatest size of 2(1 + Q)z' + Q'z over -1 <= u <= 1, for the true Q, in units; see the module."""
    count = len(z)
    size, steep = sum(map(abs, z)), sum(n * abs(value) for n, value in enumerate(z))
    rounded = count * (count + 1)  # each term of the series lost less than one unit, times 2n
    inexact = (4 * 2 * steep + (1 + 2 + 3 + 4) * size >> bits) + 1  # each c is less than one unit off
    behind = 0
    for n in range(count, count + 4):
        terms = ((2 * n - k) * value * z[n - k] for k, value in enumerate(c, start=1) if n - k < count)
        behind += (abs(sum(terms)) >> bits) + 1
    return rounded + inexact + behind


def _moment(z: Sequence[int], power: int) -> int:
    """The integral of u^power × z over -1..1; each term loses less than a unit."""
    first = power % 2
    kept = z[first::2]
    return sum([2 * kept[place] // (2 * place + first + power + 1) for place in range(len(kept))])


def _moments_of_t(part: _Part) -> Iterator[int]:
    """The integrals of (odd + u)^k × z over -1..1."""
    for power in range(5):
        yield sum(comb(power, k) * part.odd ** (power - k) * part.moments[k] for k in range(power + 1))
