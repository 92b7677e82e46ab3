"""Convex hulls, and how near a shape and the same turned by 180 come to each other, against shapely."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from shapely import MultiPoint, Polygon, get_coordinates
from shapely.affinity import translate

from grading.cloth.hull import hull, slid_together

Place = tuple[Fraction, Fraction]
ONE, ZERO = Fraction(1), Fraction(0)
WAYS = ((ONE, ZERO), (-ONE, ZERO), (ZERO, ONE), (ZERO, -ONE))
COORDINATES = st.integers(-200, 200).map(lambda value: Fraction(value, 4))
POINTS = st.lists(st.tuples(COORDINATES, COORDINATES), min_size=3, max_size=9)


EIGHTH = Fraction(1, 8)
HALF_SQUARE = [(-EIGHTH, -EIGHTH), (EIGHTH, -EIGHTH), (-EIGHTH, EIGHTH)]
"""Its longest edge goes through the middle of its box, so that it and its half turn lie apart as they are."""


def middled(points: list[Place]) -> tuple[Place, ...]:
    """Their hull, the middle of its box at (0, 0)."""
    corners = hull(points)
    across, along = ((min(axis) + max(axis)) / 2 for axis in zip(*corners, strict=True))
    return tuple((x - across, y - along) for x, y in corners)


def polygon(corners: tuple[Place, ...], sign: int = 1) -> Polygon:
    return Polygon([(sign * float(x), sign * float(y)) for x, y in corners])


@given(points=POINTS)
def test_the_hull_is_that_of_shapely(points: list[Place]) -> None:
    theirs = MultiPoint([(float(x), float(y)) for x, y in points]).convex_hull
    assume(theirs.geom_type == "Polygon")
    ours = polygon(hull(points))
    assert ours.equals(theirs)
    assert len(hull(points)) == len(get_coordinates(theirs)) - 1
    assert ours.exterior.is_ccw


@example(points=HALF_SQUARE, way=WAYS[0], gap=0)
@example(points=HALF_SQUARE, way=WAYS[1], gap=0)
@given(points=POINTS, way=st.sampled_from(WAYS), gap=st.sampled_from([0, 2, 5]))
def test_a_shape_is_slid_until_it_is_a_gap_apart_and_no_further(points: list[Place], way: Place, gap: int) -> None:
    assume(MultiPoint([(float(x), float(y)) for x, y in points]).convex_hull.geom_type == "Polygon")
    corners = middled(points)
    by = slid_together(corners, way, Fraction(gap), ONE)
    first, second = polygon(corners), polygon(corners, -1)

    def moved(steps: Fraction) -> Polygon:
        return translate(second, float(steps * way[0]), float(steps * way[1]))

    assert by.denominator == 1 and by >= 0
    assert first.distance(moved(by)) >= gap - 1e-9
    assert first.intersection(moved(by)).area < 1e-9
    if not gap and by >= 1:
        assert first.intersection(moved(by - 1)).area > 0


@pytest.mark.parametrize(("gap", "by"), [(0, 10), (5, 15), (3, 13)])
def test_squares_lie_side_by_side(gap: int, by: int) -> None:
    square = middled([(ZERO, ZERO), (Fraction(10), ZERO), (Fraction(10), Fraction(10)), (ZERO, Fraction(10))])
    assert slid_together(square, (ONE, ZERO), Fraction(gap), ONE) == by


def test_a_gap_across_a_slanted_side_is_exact() -> None:
    """Along a slope of 3 in 4 a gap of 4 mm is exactly 5 mm across; of one that is a trifle more it is a step more."""
    side = middled([(ZERO, ZERO), (Fraction(30), ZERO), (ZERO, Fraction(40))])
    least = Fraction(32, 10)  # 3.2 × 5 / 4 = 4
    assert slid_together(side, (ONE, ZERO), Fraction(4), ONE) == 5
    assert slid_together(side, (ONE, ZERO), least, ONE) == 4
    assert slid_together(side, (ONE, ZERO), least + Fraction(1, 10**30), ONE) == 5
