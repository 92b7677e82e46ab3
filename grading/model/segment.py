"""Segments and edges as symbols: points, lines and curves whose coordinates are forms."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Literal

from grading.form import Form, arc_length, cubic_length, ellipse_length, hypotenuse
from grading.model.draft import Draft

Turn = Literal["right", "left"]
HALF = Fraction(1, 2)


@dataclass(frozen=True)
class Point:
    """A point whose coordinates are forms; x to the right, y upwards, as seen from the right side."""

    x: Form
    y: Form

    def shifted(self, across: Form, along: Form) -> Point:
        """The point moved."""
        return Point(self.x + across, self.y + along)


@dataclass(frozen=True)
class Segment:
    """A line, a quarter arc turning right (clockwise) or left, or a curve.

    signs    of its extents across and along at the base size (-1, 0 or 1)
    rise     of an arc of any turn: how far its middle lies beside the middle of its chord
    inner    of a cubic: its two inner points
    ellipse  whether it is a quarter of an ellipse with its extents for half axes
    """

    start: Point
    end: Point
    turn: Turn | None
    signs: tuple[int, int]
    rise: Form | None = None
    inner: tuple[Point, Point] | None = None
    ellipse: bool = False

    @cached_property
    def across(self) -> Form:
        """Its extent in x, signed."""
        return self.end.x - self.start.x

    @cached_property
    def along(self) -> Form:
        """Its extent in y, signed."""
        return self.end.y - self.start.y

    @property
    def is_line(self) -> bool:
        """Whether it is straight."""
        return self.turn is None and self.inner is None

    @property
    def is_quarter(self) -> bool:
        """Whether it is a quarter arc of a circle, with a radius that can lie on a ruler."""
        return self.turn is not None and self.rise is None and not self.ellipse

    @property
    def is_level(self) -> bool:
        """Whether it is a line along x."""
        return self.is_line and self.along.is_zero

    @property
    def is_upright(self) -> bool:
        """Whether it is a line along y."""
        return self.is_line and self.across.is_zero

    @cached_property
    def radius(self) -> Form:
        """The radius of a quarter arc."""
        return self.across.times(self.signs[0])

    @cached_property
    def centre(self) -> Point:
        """The centre of a quarter, of a circle or an ellipse: the corner of its box on its inner side."""
        beside_start = (self.signs[0] != self.signs[1]) == (self.turn == "right")
        return Point(self.start.x, self.end.y) if beside_start else Point(self.end.x, self.start.y)

    @cached_property
    def middle(self) -> Point | None:
        """The middle of an arc with a rise whose chord is level or upright, None of all else: it is no form there."""
        if self.rise is None or not (self.across.is_zero or self.along.is_zero):
            return None
        # The middle lies on the left of the way of an arc that turns right.
        outwards = self.rise if self.turn == "right" else -self.rise
        halfway = self.start.shifted(self.across.times(HALF), self.along.times(HALF))
        return halfway.shifted(outwards.times(-self.signs[1]), outwards.times(self.signs[0]))

    @cached_property
    def chord(self) -> Form:
        """The straight distance of its ends."""
        if self.along.is_zero:
            return self.across.times(self.signs[0])
        if self.across.is_zero:
            return self.along.times(self.signs[1])
        return hypotenuse(self.across, self.along)

    @cached_property
    def length(self) -> Form:
        """Its length: pi/2 × radius on a quarter arc, the term of its curve, else that of its chord."""
        if self.rise is not None:
            return arc_length(self.across, self.along, self.rise)
        if self.ellipse:
            return ellipse_length(self.across, self.along)
        if self.inner is not None:
            points = (self.start, *self.inner, self.end)
            return cubic_length([(points[i + 1].x - points[i].x, points[i + 1].y - points[i].y) for i in range(3)])
        return self.chord if self.turn is None else self.radius.times(HALF).times_pi()


@dataclass(frozen=True)
class Edge:
    """A named edge: one segment, or several quarter arcs. An edge of a flat has no segments, its length is given."""

    name: str
    segments: tuple[Segment, ...]
    given: Form | None = None

    @cached_property
    def length(self) -> Form:
        """Its length."""
        total = Form() if self.given is None else self.given
        for segment in self.segments:
            total += segment.length
        return total

    @property
    def first(self) -> Segment:
        """Its first segment."""
        return self.segments[0]

    @property
    def is_level(self) -> bool:
        """Whether it is one line along x."""
        return len(self.segments) == 1 and self.first.is_level

    @property
    def is_upright(self) -> bool:
        """Whether it is one line along y."""
        return len(self.segments) == 1 and self.first.is_upright

    @property
    def start(self) -> Point:
        """Where it starts."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.segments[-1].end


def draw_segment(
    draft: Draft,
    start: Point,
    end: Point,
    turn: Turn | None = None,
    *,
    rise: Form | None = None,
    inner: tuple[Point, Point] | None = None,
    ellipse: bool = False,
) -> Segment:
    """A segment between two points, with the signs of its extents at the base size."""
    signs = _sign(draft, end.x - start.x), _sign(draft, end.y - start.y)
    return Segment(start, end, turn, signs, rise, inner, ellipse)


def _sign(draft: Draft, form: Form) -> int:
    value = draft.at_base(form)
    return (value > 0) - (value < 0)
