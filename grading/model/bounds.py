"""How far curves run at a size, in numbers, and whether a cubic comes to rest.

Exact but for square roots, which are taken to 40 digits: where a coordinate is greatest it changes so little that
a place found by them is off by next to nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from grading.exact import enclose_root

Place = tuple[Fraction, Fraction]
"""A point (x, y) in mm."""

OUTSIDE = Fraction(1, 100)
"""How far, in mm, a curve may run out of the box of its outline's vertices; see section 3 of the reference."""


def cubic_point(points: Sequence[Place], t: Fraction) -> Place:
    """A point of a cubic with these four points."""
    u = 1 - t
    factors = (u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t)
    return (
        sum((factor * x for factor, (x, _) in zip(factors, points, strict=True)), Fraction(0)),
        sum((factor * y for factor, (_, y) in zip(factors, points, strict=True)), Fraction(0)),
    )


def cubic_extremes(points: Sequence[Place]) -> Iterator[Place]:
    """Points of a cubic between its ends where x or y is least or greatest."""
    for axis in (0, 1):
        for t in _roots(_speed([point[axis] for point in points])):
            if 0 < t < 1:
                yield cubic_point(points, t)


def _speed(values: Sequence[Fraction]) -> tuple[Fraction, Fraction, Fraction]:
    """A third of the slope of one coordinate: its coefficients, that of 1 first."""
    a, b, c = (values[place + 1] - values[place] for place in range(3))
    return a, 2 * (b - a), a - 2 * b + c


def _roots(polynomial: tuple[Fraction, Fraction, Fraction]) -> Iterator[Fraction]:
    """Where a polynomial of degree 2 is zero, to 40 digits; nowhere where it is zero throughout."""
    c, b, a = polynomial
    if not a:
        if b:
            yield -c / b
        return
    under = b * b - 4 * a * c
    if under < 0:
        return
    # The sum without cancellation; the other root by the product of the two.
    far = -(b + (enclose_root(under).low if b >= 0 else -enclose_root(under).low)) / 2
    yield far / a
    if far:
        yield c / far


def comes_to_rest(points: Sequence[Place]) -> bool:
    """Whether a cubic has no direction at some place of it, exactly."""
    across, along = (_trimmed(_speed([point[axis] for point in points])) for axis in (0, 1))
    while along:
        across, along = along, _remainder(across, along)
    # What is left is the greatest common divisor of the two speeds.
    if not across:
        return True
    return _has_root_within(across)


def _trimmed(polynomial: Sequence[Fraction]) -> tuple[Fraction, ...]:
    kept = list(polynomial)
    while kept and not kept[-1]:
        kept.pop()
    return tuple(kept)


def _remainder(over: tuple[Fraction, ...], under: tuple[Fraction, ...]) -> tuple[Fraction, ...]:
    rest = list(over)
    while len(rest) >= len(under):
        factor = rest[-1] / under[-1]
        for place in range(1, len(under) + 1):
            rest[-place] -= factor * under[-place]
        rest.pop()
    return _trimmed(rest)


def _has_root_within(polynomial: tuple[Fraction, ...]) -> bool:
    """Whether a polynomial of degree 0 to 2 is zero somewhere from 0 to 1."""
    ends = [polynomial[0], sum(polynomial, Fraction(0))]
    if ends[0] * ends[1] <= 0:
        return True
    if len(polynomial) < 3:
        return False
    c, b, a = polynomial
    return ends[0] * a > 0 and 0 < -b / (2 * a) < 1 and b * b >= 4 * a * c


def arc_centre(start: Place, end: Place, turn: str, rise: Fraction) -> Place:
    """The centre of an arc with this rise: exact over a level or upright chord."""
    across, along = end[0] - start[0], end[1] - start[1]
    chord = abs(across + along) if not across or not along else enclose_root(across * across + along * along).low
    # From the middle of the chord to the left of the way by rise - radius.
    beside = (rise * rise - chord * chord / 4) / (2 * rise * chord) * (1 if turn == "right" else -1)
    return (start[0] + end[0]) / 2 - along * beside, (start[1] + end[1]) / 2 + across * beside


def arc_extremes(start: Place, end: Place, centre: Place, turn: str) -> Iterator[Place]:
    """Points of an arc between its ends where x or y is least or greatest."""
    x, y = start[0] - centre[0], start[1] - centre[1]
    radius = abs(x + y) if not x or not y else enclose_root(x * x + y * y).low
    for across, along in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        place = centre[0] + across * radius, centre[1] + along * radius
        side = (end[0] - start[0]) * (place[1] - start[1]) - (end[1] - start[1]) * (place[0] - start[0])
        # To the left of the chord lies what a clockwise arc passes, however far it turns.
        if side > 0 if turn == "right" else side < 0:
            yield place
