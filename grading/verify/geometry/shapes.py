"""Shapes: outlines at one size, as exact points, and whether they close, are simple and run clockwise."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from grading.verify.exact.enclosures import PI, Enclosure, added, scaled
from grading.verify.exact.forms import Form
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.points import Point
from grading.verify.geometry import curves
from grading.verify.geometry.bends import Bend, Bow, Oval, Round, arc_centre, area_beside_chord
from grading.verify.geometry.crossings import first_meeting
from grading.verify.geometry.flats import INNER, LEFT, OUTER, RIGHT, FlatSize
from grading.verify.geometry.intersections import Arc, Stroke, meet
from grading.verify.geometry.outlines import Outline, Segment
from grading.verify.geometry.stretches import Stretch, stretch_of

Spot = tuple[Fraction, Fraction]
# How far a curve may run out of the box of the vertices (mm); part of the format.
BOX_BOUND = Fraction(1, 100)


@dataclass(frozen=True)
class Part:
    """A line, a quarter arc, or a bend at one size, with the name of its edge."""

    edge: str
    start: Spot
    end: Spot
    turns: str | None
    centre: Spot | None
    bend: Bend | None = None

    @property
    def reach(self) -> Spot:
        """Where the end lies, from the start."""
        return self.end[0] - self.start[0], self.end[1] - self.start[1]

    @property
    def radius(self) -> Fraction:
        """The radius of an arc."""
        return self.bend.radius if isinstance(self.bend, Round) else abs(self.end[0] - self.start[0])

    @property
    def circle(self) -> Spot | None:
        """The centre of the circle of which it is an arc, if it is one."""
        return None if isinstance(self.bend, Oval) else self.centre

    @property
    def rise(self) -> Fraction | None:
        """The rise of an arc over its chord, where it has one."""
        return self.bend.rise if isinstance(self.bend, Round) else None

    @property
    def is_chain(self) -> bool:
        """Whether its cut line is a chain of straight lines."""
        return isinstance(self.bend, Oval | Bow)

    @property
    def stretch(self) -> Stretch:
        """Its points of control, which hold it between them."""
        return stretch_of(self.start, self.end, self.turns, self.bend)


@dataclass(frozen=True)
class Shape:
    """An outline at one size, in mm; `flat` where it is one."""

    start: Spot
    parts: tuple[Part, ...]
    flat: FlatSize | None = None

    @cached_property
    def area(self) -> Enclosure:
        """An enclosure of the area in mm², above 0 where the outline runs clockwise."""
        if self.flat is not None:
            return self.flat.area
        doubled = sum((p.end[0] - p.start[0]) * (p.end[1] + p.start[1]) for p in self.parts)
        arcs = [p for p in self.parts if p.turns and p.bend is None]
        squares = sum((p.radius**2 * (1 if p.turns == "right" else -1) for p in arcs), Fraction(0))
        # Between a quarter arc and its chord lies (pi/4 - 1/2) × radius².
        plain = Fraction(doubled) / 2 - squares / 2
        area = added((plain, plain), scaled(PI, squares / 4))
        for part in self.parts:
            if part.bend is not None:
                beside = area_beside_chord(part.bend, part.start, part.end)
                area = added(area, scaled(beside, Fraction(-1 if part.turns == "left" else 1)))
        return area

    @property
    def is_curved(self) -> bool:
        """Whether a curve is part of it."""
        return any(part.bend is not None for part in self.parts)

    def leaves_box(self) -> str | None:
        """Return an edge that runs out of the box of the vertices by too much, or None where none does."""
        if self.flat is not None:
            return None
        vertices = [part.start for part in self.parts]
        vertices += [p.bend.middle for p in self.parts if isinstance(p.bend, Round) and p.bend.middle is not None]
        across, along = [spot[0] for spot in vertices], [spot[1] for spot in vertices]
        least = min(across) - BOX_BOUND, min(along) - BOX_BOUND
        most = max(across) + BOX_BOUND, max(along) + BOX_BOUND
        bent = (part for part in self.parts if part.bend is not None)
        return next((part.edge for part in bent if not part.stretch.is_within(least, most)), None)

    def crossing(self) -> tuple[str, str] | None:
        """Return two edges that touch where they should not, or None where the outline is simple.

        Where curves come closer than can be told, they count as touching.
        """
        if self.flat is not None:
            return None if self.flat.is_sound else (OUTER, RIGHT)
        if self.is_curved:
            return self._curved_crossing()
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

    def _curved_crossing(self) -> tuple[str, str] | None:
        if any(part.start == part.end for part in self.parts):
            edge = next(part.edge for part in self.parts if part.start == part.end)
            return edge, edge
        strokes, count = _strokes(self), len(self.parts)

        def touch(first: int, second: int) -> bool:
            return _touch(strokes[first], strokes[second], first, second, count)

        found = first_meeting([part.stretch for part in self.parts], [part.bend is None for part in self.parts], touch)
        return None if found is None else (self.parts[found[0]].edge, self.parts[found[1]].edge)

    def is_symmetric(self, across_the_grain: int) -> bool:
        """Whether it is its own mirror image about its middle along the other axis."""
        if self.flat is not None:
            # It lies upright about the y axis.
            return across_the_grain == 0
        values = [part.start[across_the_grain] for part in self.parts]
        both = min(values) + max(values)

        def mirrored(spot: Spot) -> Spot:
            value = both - spot[across_the_grain]
            return (value, spot[1]) if across_the_grain == 0 else (spot[0], value)

        merged = list(_merged(self.parts))
        known = {(item.start, item.end, item.turns, _bent(item)) for item in merged}
        return all(
            (mirrored(item.end), mirrored(item.start), item.turns, tuple(map(mirrored, _bent(item)[::-1]))) in known
            for item in merged
        )


def shape_of(outline: Outline, point: Point) -> Shape:
    """Return an outline at the given size."""
    if outline.flat is not None:
        return _flat_shape(outline.flat.at(point), INNER in outline.edges)
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
        if segment.curve is None:
            parts.append(Part(edge, start, end, segment.turns, centre))
        else:
            parts.append(_curved(Part(edge, start, end, segment.turns, centre), segment, point))
    return Shape(parts[0].start, tuple(parts))


def _curved(plain: Part, segment: Segment, point: Point) -> Part:
    """Return the part with its bend; an arc without a rise, or without a chord, is drawn as a line."""

    def spot(place: tuple[Form, Form]) -> Spot:
        return point.rational(place[0]), point.rational(place[1])

    curve = segment.curve
    if isinstance(curve, curves.Cubic):
        return replace(plain, bend=Bow(spot(curve.first), spot(curve.second)))
    if not isinstance(curve, curves.Arc):
        return replace(plain, bend=Oval())
    rise = point.rational(curve.rise)
    if rise <= 0 or plain.start == plain.end:
        return replace(plain, turns=None)
    centre, radius = arc_centre(plain.start, plain.end, rise, plain.turns or "")
    middle = None if curve.middle is None else spot(curve.middle)
    return replace(plain, centre=centre, bend=Round(radius, rise, middle))


def _flat_shape(size: FlatSize, has_inner: bool) -> Shape:
    cosine, sine = size.turned
    left, right = (-size.outer * sine, size.outer * cosine), (size.outer * sine, size.outer * cosine)
    inner_left, inner_right = (-size.inner * sine, size.inner * cosine), (size.inner * sine, size.inner * cosine)
    middle = Fraction(0), Fraction(0)
    parts = [Part(OUTER, left, right, "right", middle, Round(size.outer))]
    if has_inner:
        parts += [
            Part(RIGHT, right, inner_right, None, None),
            Part(INNER, inner_right, inner_left, "left", middle, Round(size.inner)),
            Part(LEFT, inner_left, left, None, None),
        ]
    else:
        parts += [Part(RIGHT, right, middle, None, None), Part(LEFT, middle, left, None, None)]
    return Shape(left, tuple(parts), size)


def _merged(parts: tuple[Part, ...]) -> Iterator[Part]:
    """Yield the parts with lines that run on in the same direction joined into one."""
    ways = list(parts)
    first = next((i for i in range(len(ways)) if not _runs_on(ways[i - 1], ways[i])), 0)
    ways = ways[first:] + ways[:first]
    current = ways[0]
    for way in ways[1:]:
        if _runs_on(current, way):
            current = replace(current, end=way.end)
        else:
            yield current
            current = way
    yield current


def _bent(part: Part) -> tuple[Spot, ...]:
    """Return what tells a bend from others of the same ends: its inner points, or the middle of an arc."""
    if isinstance(part.bend, Bow):
        return part.bend.first, part.bend.second
    if isinstance(part.bend, Round) and part.centre is not None:
        return (part.centre,)
    return ()


def _runs_on(first: Part, second: Part) -> bool:
    if first.turns is not None or second.turns is not None or first.bend is not None or second.bend is not None:
        return False
    (ux, uy), (vx, vy) = first.reach, second.reach
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
        is_arc = part.centre is not None and part.bend is None
        arc = Arc(whole(part.centre), int(part.radius * scale)) if part.centre is not None and is_arc else None
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
