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
from grading.model.bounds import cubic_point

Place = tuple[Fraction, Fraction]
"""A point or a direction (x, y)."""
SMOOTH = Fraction(1, 10**9)
"""The sine of an angle below which two curves run on into each other: far below any angle that is drawn."""
TOUCHING = Fraction(1, 10**30)
"""The part of its measures within which a line touches a circle: what roots leave of an exact touch."""


@dataclass(frozen=True)
class Curve:
    """A line, an arc about `centre` turning right (clockwise) or left, a quarter of an ellipse, or a cubic.

    ellipse  whether it is a quarter of an ellipse about `centre` with its extents for half axes
    inner    of a cubic: its two inner points
    rise     of an arc of any turn: how far its middle lies beside the middle of its chord

    Exact but for the centres of arcs over slanting chords, and for flats.
    """

    start: Place
    end: Place
    centre: Place | None = None
    turn: str | None = None
    ellipse: bool = False
    inner: tuple[Place, Place] | None = None
    rise: Fraction | None = None

    @property
    def is_arc(self) -> bool:
        """Whether it is a part of a circle, which moves to another part of a circle."""
        return self.centre is not None and not self.ellipse

    @property
    def is_chain(self) -> bool:
        """Whether it is no line and no arc, and moves to a chain of lines."""
        return self.ellipse or self.inner is not None

    @cached_property
    def way_out(self) -> Place:
        """The direction at its start."""
        return self.way_at(Fraction(0)) if self.is_chain else self._way(self.start)

    @cached_property
    def way_in(self) -> Place:
        """The direction at its end."""
        return self.way_at(Fraction(1)) if self.is_chain else self._way(self.end)

    def point_at(self, t: Fraction) -> Place:
        """The point of an ellipse or a cubic at t, 0 to 1; see section 6 of the reference."""
        if self.inner is not None:
            return cubic_point((self.start, *self.inner, self.end), t)
        if self.centre is None:
            return plus(self.start, minus(self.end, self.start), t)
        onto_start, onto_end = (1 - t * t) / (1 + t * t), 2 * t / (1 + t * t)
        return plus(
            plus(self.centre, minus(self.start, self.centre), onto_start), minus(self.end, self.centre), onto_end
        )

    def way_at(self, t: Fraction) -> Place:
        """The direction of an ellipse or a cubic at t; that of its chord where it comes to rest."""
        if self.inner is not None:
            points = (self.start, *self.inner, self.end)
            steps = [minus(points[place + 1], points[place]) for place in range(3)]
            u = 1 - t
            way = plus(plus((u * u * steps[0][0], u * u * steps[0][1]), steps[1], 2 * u * t), steps[2], t * t)
        elif self.centre is not None:
            start, end = minus(self.start, self.centre), minus(self.end, self.centre)
            way = plus(((1 - t * t) * end[0], (1 - t * t) * end[1]), start, -2 * t)
        else:
            way = (Fraction(0), Fraction(0))
        return way if any(way) else minus(self.end, self.start)

    def tangent(self, *, at_end: bool) -> Curve:
        """The straight line that runs as an ellipse or a cubic does at one of its ends; any other curve itself."""
        if not self.is_chain:
            return self
        if at_end:
            return Curve(minus(self.end, self.way_in), self.end)
        return Curve(self.start, plus(self.start, self.way_out, Fraction(1)))

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
        return size(minus(self.start, self.centre))

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


def turning(before: Place, after: Place) -> int:
    """1 where the way turns left, -1 where it turns right, 0 where it runs on (or back) but for SMOOTH."""
    turn = cross(before, after)
    if not turn or turn * turn < SMOOTH * SMOOTH * dot(before, before) * dot(after, after):
        return 0
    return 1 if turn > 0 else -1


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
    if abs(under) < TOUCHING * squared * (squared + radius * radius):
        under = Fraction(0)
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
