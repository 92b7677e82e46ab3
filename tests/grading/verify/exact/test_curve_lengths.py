"""Lengths of curves and their slopes, checked against mpmath's integrals, and against published values."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from mpmath import atan, ellipe, mp, mpf, quad, sqrt, workdps

from grading.verify.exact.circles import cosine_and_sine
from grading.verify.exact.curve_lengths import length_of, slopes_of
from grading.verify.exact.enclosures import Enclosure
from grading.verify.exact.quadrature import ONE, gauss_rule

Step = tuple[int, int]
DIGITS = 45
NARROW = Fraction(1, 10**24)


def of(value: Fraction) -> mpf:
    return mpf(value.numerator) / value.denominator


def holds(enclosure: Enclosure, truth: mpf, narrow: Fraction = NARROW) -> bool:
    """Whether an enclosure has the truth in it and is narrow; mpmath's own value is good to DIGITS."""
    slack = mpf(10) ** -(DIGITS - 8)
    low, high = enclosure
    return high - low <= narrow and of(low) - slack <= truth <= of(high) + slack


def squares(steps: tuple[Step, Step, Step]) -> tuple[Fraction, ...]:
    pairs = [(0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2)]
    return tuple(Fraction(steps[i][0] * steps[j][0] + steps[i][1] * steps[j][1]) for i, j in pairs)


def cubic_by_mpmath(areas: list[mpf], parts: int = 32) -> mpf:
    def speed(t: mpf) -> mpf:
        r = 1 - t
        a, b, c, d, e, f = areas
        square = r**4 * a + 4 * t * r**3 * b + t * t * r * r * (2 * c + 4 * d) + 4 * t**3 * r * e + t**4 * f
        return 3 * sqrt(square)

    return quad(speed, [mpf(i) / parts for i in range(parts + 1)])


@pytest.mark.parametrize(
    ("chord", "rise"), [("100", "3"), ("100", "50"), ("100", "49.99"), ("640", "1/64"), ("7/3", "1"), ("20", "35")]
)
def test_an_arc_is_as_long_as_its_angle_times_its_radius(chord: str, rise: str) -> None:
    # (c² + 4s²)/(2s) atan(2s/c): radius times angle, by the textbook.
    c, s = Fraction(chord), Fraction(rise)
    with workdps(DIGITS):
        truth = (of(c) ** 2 + 4 * of(s) ** 2) / (2 * of(s)) * atan(2 * of(s) / of(c))
        assert holds(length_of("arc", (c * c, s * s)), truth)


def test_an_arc_is_the_integral_that_the_reference_states() -> None:
    with workdps(DIGITS):
        c, s = mpf(90), mpf(20)
        truth = quad(lambda t: c * (c**2 + 4 * s**2) / (c**2 + 4 * s**2 * t**2), [0, 0.5, 1])
        assert holds(length_of("arc", (Fraction(8100), Fraction(400))), truth)


def test_an_arc_of_half_a_circle_is_half_a_circle_and_one_without_rise_its_chord() -> None:
    low, high = length_of("arc", (Fraction(100**2), Fraction(50**2)))
    with workdps(DIGITS):
        assert of(low) <= 50 * mp.pi <= of(high)
    low, high = length_of("arc", (Fraction(49), Fraction(0)))
    assert low <= 7 <= high <= 7 + NARROW


@pytest.mark.parametrize(("a", "b"), [(3, 4), (1000, 1), (50, 50), (1, 0), (60, 61)])
def test_a_quarter_of_an_ellipse_is_the_complete_elliptic_integral(a: int, b: int) -> None:
    with workdps(DIGITS):
        great, small = mpf(max(a, b)), mpf(min(a, b))
        truth = great * ellipe(1 - (small / great) ** 2)
        for order in ((a, b), (b, a)):
            assert holds(length_of("ellipse", tuple(Fraction(side) ** 2 for side in order)), truth)


def test_a_quarter_of_an_ellipse_is_the_integral_that_the_reference_states() -> None:
    with workdps(DIGITS):
        a, b = mpf(70), mpf(40)
        truth = quad(
            lambda t: sqrt(4 * (4 * a**2 * t**2 + b**2 * (1 - t**2) ** 2)) / (1 + t**2) ** 2, [0, 0.25, 0.5, 0.75, 1]
        )
        assert holds(length_of("ellipse", (Fraction(4900), Fraction(1600))), truth)


STEPS = st.tuples(st.integers(-200, 200), st.integers(-200, 200))


@pytest.mark.parametrize(
    "steps",
    [
        ((30, 40), (50, 0), (30, -40)),
        ((10, 0), (10, 0), (10, 0)),
        ((1, 0), (300, 1), (0, 1)),
        ((5, 90), (40, -10), (-5, 30)),
        ((100, 100), (-100, 0), (100, -100)),
    ],
)
def test_a_cubic_is_the_integral_of_its_speed(steps: tuple[Step, Step, Step]) -> None:
    with workdps(DIGITS):
        truth = cubic_by_mpmath([of(area) for area in squares(steps)])
        assert holds(length_of("cubic", squares(steps)), truth)


def test_a_cubic_that_comes_to_rest_is_enclosed_all_the_same() -> None:
    # (t - 1/2)² turned back on itself: out 1/4 of the reach and back, on one line; P = (3 - 6t)² of the first step.
    low, high = length_of("cubic", squares(((1, 0), (0, 0), (-1, 0))))
    assert low <= Fraction(3, 2) <= high
    assert high - low < NARROW


@given(STEPS, STEPS, STEPS)
def test_any_cubic_is_enclosed(first: Step, second: Step, third: Step) -> None:
    areas = squares((first, second, third))
    low, high = length_of("cubic", areas)
    assert 0 <= high - low < NARROW
    # A fine chain along the curve is shorter, by little.
    t = np.linspace(0, 1, 2001)
    points = [np.zeros(2), np.array(first), np.array(first) + second, np.array(first) + second + np.array(third)]
    weights = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3]
    way = sum(np.outer(weight, point) for weight, point in zip(weights, points, strict=True))
    chain = np.linalg.norm(np.diff(way, axis=0), axis=1).sum()
    assert chain - 1e-9 <= float(high) and float(low) <= chain * (1 + 1e-5) + 1e-3
    chord = math.hypot(first[0] + second[0] + third[0], first[1] + second[1] + third[1])
    around = sum(math.hypot(*step) for step in (first, second, third))
    assert chord - 1e-9 <= float(high) and float(low) <= around + 1e-9


@pytest.mark.parametrize(
    ("kind", "areas"),
    [
        ("arc", (Fraction(10000), Fraction(900))),
        ("arc", (Fraction(10000), Fraction(2500))),
        ("ellipse", (Fraction(900), Fraction(1600))),
        ("ellipse", (Fraction(1600), Fraction(900))),
        ("ellipse", (Fraction(900), Fraction(900))),
        ("cubic", squares(((30, 40), (50, 0), (30, -40)))),
        ("cubic", squares(((5, 90), (40, -10), (-5, 30)))),
    ],
)
def test_slopes_are_those_of_mpmath(kind: str, areas: tuple[Fraction, ...]) -> None:
    with workdps(DIGITS):

        def length(*values: mpf) -> mpf:
            if kind == "cubic":
                return cubic_by_mpmath(list(values), 8)
            if kind == "arc":
                c, s = sqrt(values[0]), sqrt(values[1])
                return (values[0] + 4 * values[1]) / (2 * s) * atan(2 * s / c)
            # The integral over the angle has no great and small axis.
            return quad(
                lambda u: sqrt(values[0] * mp.sin(u) ** 2 + values[1] * mp.cos(u) ** 2), [0, mp.pi / 4, mp.pi / 2]
            )

        found = slopes_of(kind, areas)
        assert found is not None
        step = mpf(10) ** -12
        for place, slope in enumerate(found):
            ends = [[of(area) + by * (place == other) for other, area in enumerate(areas)] for by in (step, -step)]
            truth = (length(*ends[0]) - length(*ends[1])) / (2 * step)
            assert abs(of(slope) - truth) < mpf(10) ** -18


def test_what_has_no_slope_says_so() -> None:
    assert slopes_of("arc", (Fraction(100), Fraction(0))) is None
    assert slopes_of("ellipse", (Fraction(0), Fraction(4))) is None
    assert slopes_of("cubic", squares(((0, 0), (1, 0), (1, 1)))) is None


def test_the_rule_is_gausss() -> None:
    # numpy.polynomial.legendre.leggauss, good to 15 digits.
    places, weights = np.polynomial.legendre.leggauss(28)
    rule = gauss_rule()
    found = sorted((place / ONE, weight / ONE) for place, weight in zip(rule.places, rule.weights, strict=True))
    assert np.allclose(found, np.column_stack([places, weights]), rtol=0, atol=1e-14)
    assert 0 < rule.error < Fraction(1, 10**31)


@given(st.fractions(0, 3, max_denominator=10**6))
def test_sines_and_cosines_are_those_of_mpmath(angle: Fraction) -> None:
    cosine, sine = cosine_and_sine(angle)
    with workdps(60):
        assert abs(of(cosine) - mp.cos(of(angle))) < mpf(10) ** -40
        assert abs(of(sine) - mp.sin(of(angle))) < mpf(10) ** -40
