"""Plane geometry in rationals: moved lines and circles, and where they meet.

Lengths in mm. Square roots are taken to 40 digits from below, far finer than any print, so that points are
rationals close to the true ones; points of lines parallel to the axes are exact.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from grading.exact import enclose_root

Place = tuple[Fraction, Fraction]
"""A point or a direction (x, y)."""


@dataclass(frozen=True)
class Curve:
    """A line, or a quarter arc about `centre` turning right (clockwise) or left; exact."""

    start: Place
    end: Place
    centre: Place | None = None
    turn: str | None = None

    @cached_property
    def way_out(self) -> Place:
        """The direction at its start."""
        return self._way(self.start)

    @cached_property
    def way_in(self) -> Place:
        """The direction at its end."""
        return self._way(self.end)

    def _way(self, point: Place) -> Place:
        if self.centre is None:
            return minus(self.end, self.start)
        x, y = minus(point, self.centre)
        return (y, -x) if self.turn == "right" else (-y, x)

    @cached_property
    def radius(self) -> Fraction:
        """The radius of an arc."""
        if self.centre is None:
            return Fraction(0)
        x, y = minus(self.start, self.centre)
        return abs(x) + abs(y)  # one of the two is 0 on a quarter arc

    def moved_radius(self, distance: Fraction) -> Fraction:
        """The radius after moving outwards: outwards is left of the way."""
        return self.radius + distance if self.turn == "right" else self.radius - distance


def minus(left: Place, right: Place) -> Place:
    """left - right."""
    return left[0] - right[0], left[1] - right[1]


def plus(point: Place, way: Place, factor: Fraction) -> Place:
    """point + factor × way."""
    return point[0] + factor * way[0], point[1] + factor * way[1]


def cross(left: Place, right: Place) -> Fraction:
    """The cross product: above 0 where `right` lies to the left of `left`."""
    return left[0] * right[1] - left[1] * right[0]


def dot(left: Place, right: Place) -> Fraction:
    """The scalar product."""
    return left[0] * right[0] + left[1] * right[1]


def size(way: Place) -> Fraction:
    """The length of a direction, exact along the axes, else to 40 digits from below."""
    if not way[0] or not way[1]:
        return abs(way[0] + way[1])
    return enclose_root(dot(way, way)).low


def outwards(way: Place) -> Place:
    """The direction of length 1 to the left of a way, which is outside a clockwise outline."""
    long = size(way)
    return -way[1] / long, way[0] / long


def meetings(first: Curve, by: Fraction, second: Curve, other_by: Fraction) -> Iterator[Place]:
    """Where two curves meet, each moved outwards by its distance."""
    if first.centre is None and second.centre is None:
        yield from _lines_meet(first, by, second, other_by)
    elif first.centre is None:
        yield from _line_meets_circle(first, by, second, other_by)
    elif second.centre is None:
        yield from _line_meets_circle(second, other_by, first, by)
    else:
        yield from _circles_meet(first, by, second, other_by)


def _lines_meet(first: Curve, by: Fraction, second: Curve, other_by: Fraction) -> Iterator[Place]:
    way, other_way = first.way_out, second.way_out
    start = plus(first.start, outwards(way), by)
    other_start = plus(second.start, outwards(other_way), other_by)
    turning = cross(way, other_way)
    if turning:
        yield plus(start, way, cross(minus(other_start, start), other_way) / turning)


def _line_meets_circle(line: Curve, by: Fraction, arc: Curve, arc_by: Fraction) -> Iterator[Place]:
    if arc.centre is None:
        return
    start = plus(line.start, outwards(line.way_out), by)
    yield from _on_circle(start, line.way_out, arc.centre, arc.moved_radius(arc_by))


def _on_circle(start: Place, way: Place, centre: Place, radius: Fraction) -> Iterator[Place]:
    offset = minus(start, centre)
    squared, half = dot(way, way), dot(way, offset)
    under = half * half - squared * (dot(offset, offset) - radius * radius)
    if under < 0:
        return
    root = enclose_root(under).low
    for sign in (-1, 1):
        yield plus(start, way, (-half + sign * root) / squared)


def _circles_meet(first: Curve, by: Fraction, second: Curve, other_by: Fraction) -> Iterator[Place]:
    if first.centre is None or second.centre is None:
        return
    between = minus(second.centre, first.centre)
    apart = dot(between, between)
    if not apart:
        return
    radius, other_radius = first.moved_radius(by), second.moved_radius(other_by)
    # Both circles hold on the line where the difference of their equations is 0.
    along = (apart + radius * radius - other_radius * other_radius) / (2 * apart)
    yield from _on_circle(plus(first.centre, between, along), (-between[1], between[0]), first.centre, radius)
