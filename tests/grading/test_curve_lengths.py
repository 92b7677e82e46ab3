"""Lengths of curves: enclosed, with their slopes, checked against mpmath (its quadrature, `ellipe` and `atan`)."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from fractions import Fraction

import mpmath
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.curve import Kind, measure_curve
from grading.exact import enclose_pi, enclose_root
from grading.form import Form, arc_length, cubic_length, dimension, ellipse_length, length
from tests.evaluation import curve_length, true_value

Step = tuple[Fraction, Fraction]
DIGITS = 45
NEAR = Fraction(1, 10**24)

sides = st.fractions(min_value=1, max_value=900, max_denominator=50)
shares = st.fractions(min_value=Fraction(1, 1000), max_value=Fraction(1, 2), max_denominator=1000)
coordinates = st.fractions(min_value=-300, max_value=300, max_denominator=20)
steps = st.tuples(coordinates, coordinates)


def products(one: Step, two: Step, three: Step) -> tuple[Fraction, ...]:
    """The six products of the steps of a cubic, in the order of the reference."""
    three_steps = (one, two, three)
    return tuple(
        three_steps[i][0] * three_steps[j][0] + three_steps[i][1] * three_steps[j][1]
        for i, j in ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))
    )


def true_length(kind: Kind, areas: Sequence[Fraction]) -> mpmath.mpf:
    with mpmath.workdps(DIGITS):
        return curve_length(kind, [mpmath.mpf(area.numerator) / area.denominator for area in areas])


def assert_encloses(kind: Kind, areas: tuple[Fraction, ...], quadrature: str = "1e-30") -> None:
    found, true = measure_curve(kind, areas).length, true_length(kind, areas)
    assert found.width <= 2 * NEAR
    with mpmath.workdps(DIGITS):
        room = mpmath.mpf(quadrature)
        assert mpmath.mpf(found.low.numerator) / found.low.denominator <= true + room
        assert mpmath.mpf(found.high.numerator) / found.high.denominator >= true - room


@settings(max_examples=60)
@given(sides, shares)
def test_an_arc_is_its_angle_times_its_radius(chord: Fraction, share: Fraction) -> None:
    assert_encloses("arc", (chord**2, (chord * share) ** 2))


@settings(max_examples=60)
@given(sides, sides)
def test_a_quarter_of_an_ellipse_is_the_complete_elliptic_integral(a: Fraction, b: Fraction) -> None:
    assert_encloses("ellipse", (a**2, b**2))


@pytest.mark.parametrize("b", [Fraction(1, 10**6), Fraction(1, 10**3), 200 + Fraction(1, 10**12), Fraction(10**7)])
def test_ellipses_as_flat_or_as_round_as_can_be(b: Fraction) -> None:
    assert_encloses("ellipse", (Fraction(200**2), b**2))


@settings(max_examples=12, deadline=None)
@given(steps, steps, steps)
def test_a_cubic_is_the_integral_of_its_speed(one: Step, two: Step, three: Step) -> None:
    # Where a cubic nearly comes to rest the quadrature of mpmath is what errs.
    assert_encloses("cubic", products(one, two, three), quadrature="1e-3")


@pytest.mark.parametrize(
    "points",
    [
        ((0, 0), (0, 40), (30, 70), (80, 70)),
        ((0, 0), (200, 10), (-100, 30), (90, 0)),
        ((0, 0), (100, 100), (100, 0), (0, 100)),
        ((0, 0), (1, 2), (3, 1), (250, 0)),
    ],
)
def test_cubics_to_thirty_digits(points: tuple[tuple[int, int], ...]) -> None:
    one, two, three = ((Fraction(b[0] - a[0]), Fraction(b[1] - a[1])) for a, b in itertools.pairwise(points))
    assert_encloses("cubic", products(one, two, three))


@settings(max_examples=40)
@given(steps, steps, steps)
def test_a_cubic_is_as_long_as_its_two_halves(one: Step, two: Step, three: Step) -> None:
    """Halves by de Casteljau: a law that needs no quadrature, right at cusps too."""

    def half(left: Step, right: Step) -> Step:
        return (left[0] + right[0]) / 2, (left[1] + right[1]) / 2

    a, b = half(one, two), half(two, three)
    first = ((one[0] / 2, one[1] / 2), (a[0] / 2, a[1] / 2), (half(a, b)[0] / 2, half(a, b)[1] / 2))
    last = ((half(a, b)[0] / 2, half(a, b)[1] / 2), (b[0] / 2, b[1] / 2), (three[0] / 2, three[1] / 2))
    whole, *parts = (measure_curve("cubic", products(*each)).length for each in ((one, two, three), first, last))
    together = parts[0] + parts[1]
    assert whole.low <= together.high
    assert together.low <= whole.high


def test_a_cusp_is_enclosed_too() -> None:
    """(0,0), (100,100), (0,100), (100,0), worked out by hand."""
    one, two, three = (Fraction(100), Fraction(100)), (Fraction(-100), Fraction(0)), (Fraction(100), Fraction(-100))
    found = measure_curve("cubic", products(one, two, three)).length
    # x' = 300(1 - 2t)², y' = 300(1 - 2t): with v = 1 - 2t the length is 300 × the integral of v sqrt(v² + 1) over 0..1.
    true = enclose_root(Fraction(8), 30).times(Fraction(100)).low - 100
    assert abs(found.low - true) < Fraction(1, 10**20)


def test_a_straight_cubic_is_as_long_as_its_chord() -> None:
    third = (Fraction(30), Fraction(40))
    found = measure_curve("cubic", products(third, third, third)).length
    assert found.low <= 150 <= found.high


@given(sides)
def test_half_a_circle_is_pi_times_its_radius(radius: Fraction) -> None:
    found, pi = measure_curve("arc", (4 * radius**2, radius**2)).length, enclose_pi(40).times(radius)
    assert found.low <= pi.low <= pi.high <= found.high


@given(sides)
def test_an_arc_without_a_rise_is_its_chord(chord: Fraction) -> None:
    found = measure_curve("arc", (chord**2, Fraction(0))).length
    assert found.low <= chord <= found.high
    assert found.width <= 2 * NEAR


@given(sides)
def test_a_round_ellipse_is_a_quarter_of_a_circle(radius: Fraction) -> None:
    found, quarter = measure_curve("ellipse", (radius**2, radius**2)).length, enclose_pi(40).times(radius / 2)
    assert found.low <= quarter.low <= quarter.high <= found.high


@pytest.mark.parametrize("kind", ["arc", "ellipse", "cubic"])
def test_nothing_is_as_long_as_nothing(kind: Kind) -> None:
    found = measure_curve(kind, (Fraction(0),) * (6 if kind == "cubic" else 2))
    assert found.length.low <= 0 <= found.length.high
    assert found.length.width <= NEAR


def test_an_area_below_zero_is_of_no_curve() -> None:
    with pytest.raises(ValueError, match="no curve"):
        measure_curve("arc", (Fraction(100), Fraction(-1)))


def test_points_with_endless_digits_are_enclosed_too() -> None:
    """As in the nearest-size search, whose points are quotients of hundreds of digits."""
    odd = Fraction(10**200 + 7, 3 * 10**199 + 1)
    one, two, three = (odd, Fraction(1)), (2 * odd, odd**2), (Fraction(3), -odd)
    assert_encloses("cubic", products(one, two, three))
    assert_encloses("arc", ((9 * odd) ** 2, odd**2))


SLOPED: list[tuple[Kind, tuple[Fraction, ...]]] = [
    ("arc", (Fraction(160**2), Fraction(14**2))),
    ("arc", (Fraction(160**2), Fraction(1, 100))),
    ("arc", (Fraction(160**2), Fraction(80**2))),
    ("ellipse", (Fraction(40**2), Fraction(30**2))),
    ("ellipse", (Fraction(30), Fraction(30))),
    ("ellipse", (Fraction(400**2), Fraction(1))),
    ("cubic", products((Fraction(0), Fraction(40)), (Fraction(30), Fraction(30)), (Fraction(50), Fraction(0)))),
    ("cubic", products((Fraction(90), Fraction(4)), (Fraction(-30), Fraction(35)), (Fraction(50), Fraction(9)))),
]


@pytest.mark.parametrize(("kind", "areas"), SLOPED)
def test_slopes_are_those_of_the_length(kind: Kind, areas: tuple[Fraction, ...]) -> None:
    """Against differences of mpmath's lengths at 45 digits, twice the order of the step."""
    found = measure_curve(kind, areas).slopes
    for place, slope in enumerate(found):
        step = areas[0] / 10**12
        ahead, behind = (
            true_length(kind, [*areas[:place], areas[place] + sign * step, *areas[place + 1 :]]) for sign in (1, -1)
        )
        with mpmath.workdps(DIGITS):
            wanted = (ahead - behind) / (2 * mpmath.mpf(step.numerator) / step.denominator)
            assert abs(float(slope) - float(wanted)) <= 1e-15 + 1e-12 * abs(float(wanted))


W, H = dimension("width"), dimension("height")


def drawn(*points: tuple[Form, Form]) -> Form:
    """The length of a cubic through the points as they are drawn."""
    return cubic_length([(b[0] - a[0], b[1] - a[1]) for a, b in itertools.pairwise(points)])


POINTS = (
    (length(0), length(0)),
    (W.times(Fraction(1, 4)), H.times(Fraction(1, 2))),
    (W.times(Fraction(3, 4)), H + length(5)),
    (W, H),
)


def test_congruent_curves_cancel_however_they_lie() -> None:
    curve = drawn(*POINTS)
    backwards = drawn(*POINTS[::-1])
    mirrored = drawn(*((-x, y) for x, y in POINTS))
    turned = drawn(*((-y + length(70), x) for x, y in POINTS))
    assert (curve - backwards).is_zero
    assert (curve - mirrored).is_zero
    assert (curve - turned).is_zero
    assert not (curve - drawn(POINTS[0], POINTS[1], POINTS[2], (W + length(1), H))).is_zero


def test_ellipses_and_arcs_cancel_whichever_way_they_lie() -> None:
    assert (ellipse_length(W, H) - ellipse_length(-H, W)).is_zero
    assert not (ellipse_length(W, H) - ellipse_length(W, W)).is_zero
    rise = W.times(Fraction(1, 10))
    assert (arc_length(W, H, rise) - arc_length(-H, W, rise)).is_zero
    assert not (arc_length(W, H, rise) - arc_length(W, H, rise + length(1))).is_zero


def test_curves_that_become_equal_cancel() -> None:
    apart = arc_length(W, length(0), H) - arc_length(dimension("depth"), length(0), H)
    assert not apart.is_zero
    assert apart.names == {"width", "depth", "height"}
    assert apart.substituted({"depth": W}).is_zero


@settings(max_examples=8, deadline=None)
@given(st.fixed_dictionaries({"width": sides, "height": sides}), st.integers(1, 40))
def test_a_form_with_curves_encloses_its_true_length(at: dict[str, Fraction], digits: int) -> None:
    form = W.times(2) + ellipse_length(W, H).times(3) - drawn(*POINTS).times(Fraction(1, 2)) + H.times_pi()
    enclosure, true = form.enclosure(at, digits), true_value(form, at)
    assert enclosure.low - NEAR <= true <= enclosure.high + NEAR
    assert enclosure.width <= 10 * Fraction(1, 10 ** min(digits, 24))
    assert abs(form.stated(at) - true) < Fraction(1, 10**22)
    assert form.is_real(at)
    assert not form.is_rational
    assert abs(form.rough({name: float(value) for name, value in at.items()}) - float(true)) < 1e-6
