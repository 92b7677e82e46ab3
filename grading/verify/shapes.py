"""Shapes: outlines at one size, as exact points, and whether they close, are simple and run clockwise."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from grading.verify.enclosures import PI, Enclosure, added, scaled
from grading.verify.forms import Form
from grading.verify.intersections import Arc, Stroke, meet
from grading.verify.outlines import Outline
from grading.verify.points import Point

Spot = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Part:
    """A line or quarter arc at one size, with the name of its edge."""

    edge: str
    start: Spot
    end: Spot
    turns: str | None
    centre: Spot | None

    @property
    def reach(self) -> Spot:
        """Where the end lies, from the start."""
        return self.end[0] - self.start[0], self.end[1] - self.start[1]

    @property
    def radius(self) -> Fraction:
        """The radius of an arc."""
        return abs(self.end[0] - self.start[0])


@dataclass(frozen=True)
class Shape:
    """An outline at one size, in mm."""

    start: Spot
    parts: tuple[Part, ...]

    @cached_property
    def area(self) -> Enclosure:
        """An enclosure of the area in mm², above 0 where the outline runs clockwise."""
        doubled = sum((p.end[0] - p.start[0]) * (p.end[1] + p.start[1]) for p in self.parts)
        squares = sum((p.radius**2 * (1 if p.turns == "right" else -1) for p in self.parts if p.turns), Fraction(0))
        # Between a quarter arc and its chord lies (pi/4 - 1/2) × radius².
        plain = Fraction(doubled) / 2 - squares / 2
        return added((plain, plain), scaled(PI, squares / 4))

    def crossing(self) -> tuple[str, str] | None:
        """Return two edges that touch where they should not, or None where the outline is simple."""
        strokes = _strokes(self)
        count = len(strokes)
        order = sorted(range(count), key=lambda index: strokes[index].box[0])
        active: list[int] = []
        for index in order:
            left = strokes[index].box[0]
            active = [other for other in active if strokes[other].box[1] >= left]
            for other in active:
                first, second = min(index, other), max(index, other)
                if _touch(strokes[first], strokes[second], first, second, count):
                    return self.parts[first].edge, self.parts[second].edge
            active.append(index)
        return None

    def is_symmetric(self, across_the_grain: int) -> bool:
        """Whether it is its own mirror image about its middle along the other axis."""
        values = [part.start[across_the_grain] for part in self.parts]
        both = min(values) + max(values)

        def mirrored(spot: Spot) -> Spot:
            value = both - spot[across_the_grain]
            return (value, spot[1]) if across_the_grain == 0 else (spot[0], value)

        merged = list(_merged(self.parts))
        known = {(start, end, turns) for start, end, turns in merged}
        return all((mirrored(end), mirrored(start), turns) in known for start, end, turns in merged)


def shape_of(outline: Outline, point: Point) -> Shape:
    """Return an outline at the given size."""
    known: dict[int, Fraction] = {}

    def value(place: Form) -> Fraction:
        found = known.get(id(place))
        if found is None:
            found = known[id(place)] = point.rational(place)
        return found

    parts = []
    for edge, segment in outline.segments:
        start = value(segment.start[0]), value(segment.start[1])
        end = value(segment.end[0]), value(segment.end[1])
        centre = None if segment.centre is None else (value(segment.centre[0]), value(segment.centre[1]))
        parts.append(Part(edge, start, end, segment.turns, centre))
    return Shape(parts[0].start, tuple(parts))


def _merged(parts: tuple[Part, ...]) -> Iterator[tuple[Spot, Spot, str | None]]:
    """Yield the parts with lines that run on in the same direction joined into one."""
    ways = [(part.start, part.end, part.turns) for part in parts]
    first = next((i for i in range(len(ways)) if not _runs_on(ways[i - 1], ways[i])), 0)
    ways = ways[first:] + ways[:first]
    current = ways[0]
    for way in ways[1:]:
        if _runs_on(current, way):
            current = current[0], way[1], None
        else:
            yield current
            current = way
    yield current


def _runs_on(first: tuple[Spot, Spot, str | None], second: tuple[Spot, Spot, str | None]) -> bool:
    if first[2] is not None or second[2] is not None:
        return False
    (ax, ay), (bx, by) = first[:2]
    (cx, cy), (dx, dy) = second[:2]
    ux, uy, vx, vy = bx - ax, by - ay, dx - cx, dy - cy
    return ux * vy == uy * vx and ux * vx + uy * vy > 0


def _strokes(shape: Shape) -> list[Stroke]:
    """Return the parts in whole numbers, all multiplied by one denominator."""
    numbers = [value for part in shape.parts for spot in (part.start, part.end) for value in spot]
    scale = math.lcm(*(number.denominator for number in numbers))

    def whole(spot: Spot) -> tuple[int, int]:
        return (
            spot[0].numerator * (scale // spot[0].denominator),
            spot[1].numerator * (scale // spot[1].denominator),
        )

    strokes = []
    for part in shape.parts:
        arc = None if part.centre is None else Arc(whole(part.centre), int(part.radius * scale))
        strokes.append(Stroke(whole(part.start), whole(part.end), arc))
    return strokes


def _touch(first: Stroke, second: Stroke, index: int, other: int, count: int) -> bool:
    (left, right, bottom, top), (l2, r2, b2, t2) = first.box, second.box
    if left > r2 or l2 > right or bottom > t2 or b2 > top:
        return False
    shared = []
    if other == index + 1:
        shared.append(first.end)
    if index == 0 and other == count - 1:
        shared.append(first.start)
    return meet(first, second, shared)
