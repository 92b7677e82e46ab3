"""Flats: sectors of rings and the flats of cones, whose edges are forms while their points are computed at a size.

Points are within 10**-40 of the size, far below the 0.01 mm in which printed points are judged.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from grading.verify.exact.circles import cosine_and_sine
from grading.verify.exact.enclosures import PI, Enclosure, added, near_root
from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import Form, diagonal
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.points import Point
from grading.verify.reading import fields, joined
from grading.verify.unreadable import refuse

SECTOR, CONE = "sector", "cone"
OUTER, RIGHT, INNER, LEFT = "outer", "right", "inner", "left"
TWICE = Fraction(2)
_PI = (PI[0] + PI[1]) / 2


@dataclass(frozen=True, eq=False)
class Flat:
    """A sector of a ring, or the flat of a cone; `part` is its turn, or the cone's share."""

    kind: str
    measures: Mapping[str, Form]
    part: Fraction
    lengths: Mapping[str, Form]

    def at(self, point: Point) -> FlatSize:
        """Return the flat at a size; refused where there is no such cone."""
        values = [point.rational(form) for form in self.measures.values()]
        if self.kind == SECTOR:
            return FlatSize(values[0], values[1], _PI * self.part)
        bottom, top, height = values
        if bottom <= top:
            refuse("a cone whose top is not narrower than its bottom has no flat, at this size")
        slope = near_root((bottom - top) ** 2 + height**2)
        outer = bottom * slope / (bottom - top)
        return FlatSize(outer, outer - slope, _PI * self.part * (bottom - top) / slope)


@dataclass(frozen=True)
class FlatSize:
    """A flat at a size: the two radii in mm, and half of the angle between its straight edges."""

    outer: Fraction
    inner: Fraction
    half_angle: Fraction

    @cached_property
    def turned(self) -> tuple[Fraction, Fraction]:
        """The cosine and the sine of half the angle."""
        return cosine_and_sine(self.half_angle)

    @property
    def is_sound(self) -> bool:
        """Whether it is a part of a ring: of some breadth, and less than a full turn."""
        return 0 <= self.inner < self.outer and 0 < self.half_angle < PI[0] - Fraction(1, 10**30)

    @property
    def area(self) -> Enclosure:
        """An enclosure of its area in mm²."""
        value = self.half_angle * (self.outer**2 - self.inner**2)
        slack = Fraction(1, 10**20)
        return added((value, value), (-slack, slack))

    @property
    def box(self) -> tuple[Fraction, Fraction]:
        """The width and the height of its true box."""
        cosine, sine = self.turned
        beyond_half = cosine < 0
        width = 2 * (self.outer if beyond_half else self.outer * sine)
        return width, self.outer - (self.outer if beyond_half else self.inner) * cosine


def read_flat(kind: str, value: object, path: str, expressions: Expressions, base: Point) -> Flat:
    """Return the flat that a piece's outline is."""
    names, optional = (("outer", "inner"), ()) if kind == SECTOR else (("bottom", "top", "height"), ("share",))
    given = fields(value, path, (*names, "turn") if kind == SECTOR else names, optional)
    measures = {}
    for name in names:
        form = measures[name] = expressions.drawn(given[name], joined(path, name))
        if not form.is_rational:
            refuse("is a measure of a flat with pi or a root", joined(path, name))
    key = "turn" if kind == SECTOR else "share"
    part = expressions.number(given.get(key, 1), joined(path, key))
    if part <= 0 or part > 1 or (kind == SECTOR and part == 1):
        refuse("is not a part of one" if kind == CONE else "is not a part of a full turn", joined(path, key))
    great, small = list(measures.values())[:2]
    least = base.rational(small)
    if base.rational(great - small) <= 0 or least < 0 or (least == 0 and not small.is_zero):
        refuse("is a flat without breadth at the base size", path)
    if kind == CONE and base.rational(measures["height"]) <= 0:
        refuse("is a cone without height at the base size", joined(path, "height"))
    return Flat(kind, measures, part, _lengths(kind, measures, part))


def _lengths(kind: str, measures: Mapping[str, Form], part: Fraction) -> dict[str, Form]:
    great, small, *height = measures.values()
    side = diagonal(great - small, height[0]) if kind == CONE else great - small
    lengths = {OUTER: _round(great, part), RIGHT: side, INNER: _round(small, part), LEFT: side}
    if small.is_zero:
        del lengths[INNER]
    return lengths


def _round(radius: Form, part: Fraction) -> Form:
    turned = radius.times_pi()
    if turned is None:
        msg = "a radius has no pi"
        raise AssertionError(msg)
    return turned.times(TWICE * part)
