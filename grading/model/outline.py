"""Outlines on the stitching line as symbols: points, lines and quarter arcs whose coordinates are forms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Literal

from grading.document.index import corner_radii
from grading.document.pieces import (
    DiscOutline,
    PathEdge,
    PathOutline,
    Place,
    RectangleOutline,
    RoundedRectangle,
    RoundedRectangleOutline,
    Trapezoid,
    TrapezoidOutline,
)
from grading.document.pieces import (
    Outline as WrittenOutline,
)
from grading.document.values import Expression
from grading.form import Form, hypotenuse
from grading.model.draft import Draft

Turn = Literal["right", "left"]


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
    """A line, or a quarter arc turning right (clockwise) or left.

    `signs` are those of its extents across and along at the base size (-1, 0 or 1).
    """

    start: Point
    end: Point
    turn: Turn | None
    signs: tuple[int, int]

    @cached_property
    def across(self) -> Form:
        """Its extent in x, signed."""
        return self.end.x - self.start.x

    @cached_property
    def along(self) -> Form:
        """Its extent in y, signed."""
        return self.end.y - self.start.y

    @property
    def is_level(self) -> bool:
        """Whether it is a line along x."""
        return self.turn is None and self.along.is_zero

    @property
    def is_upright(self) -> bool:
        """Whether it is a line along y."""
        return self.turn is None and self.across.is_zero

    @cached_property
    def radius(self) -> Form:
        """The radius of an arc."""
        return self.across.times(self.signs[0])

    @cached_property
    def centre(self) -> Point:
        """The centre of an arc: the corner of its box on its inner side."""
        beside_start = (self.signs[0] != self.signs[1]) == (self.turn == "right")
        return Point(self.start.x, self.end.y) if beside_start else Point(self.end.x, self.start.y)

    @cached_property
    def length(self) -> Form:
        """Its length: |d| along an axis, sqrt(dx² + dy²) otherwise, pi/2 × radius on an arc."""
        if self.turn is not None:
            return self.radius.times(Fraction(1, 2)).times_pi()
        if self.is_level:
            return self.across.times(self.signs[0])
        if self.is_upright:
            return self.along.times(self.signs[1])
        return hypotenuse(self.across, self.along)


@dataclass(frozen=True)
class Edge:
    """A named edge: one segment, or several quarter arcs."""

    name: str
    segments: tuple[Segment, ...]

    @cached_property
    def length(self) -> Form:
        """Its length."""
        total = Form()
        for segment in self.segments:
            total += segment.length
        return total

    @property
    def first(self) -> Segment:
        """Its first segment."""
        return self.segments[0]

    @property
    def start(self) -> Point:
        """Where it starts."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.segments[-1].end


@dataclass(frozen=True)
class Box:
    """The sides of an outline's box, by the vertices that are outermost at the base size."""

    left: Form
    right: Form
    top: Form
    bottom: Form

    def side(self, name: str) -> Form:
        """The side of that name."""
        return {"left": self.left, "right": self.right, "top": self.top, "bottom": self.bottom}[name]

    @cached_property
    def width(self) -> Form:
        """Its width."""
        return self.right - self.left

    @cached_property
    def height(self) -> Form:
        """Its height."""
        return self.top - self.bottom


@dataclass(frozen=True)
class Outline:
    """A closed outline, clockwise."""

    edges: tuple[Edge, ...]
    box: Box

    @cached_property
    def by_name(self) -> dict[str, Edge]:
        """The edges by name."""
        return {edge.name: edge for edge in self.edges}

    @property
    def segments(self) -> Iterator[tuple[Edge, Segment]]:
        """All segments in order, with their edges."""
        for edge in self.edges:
            for segment in edge.segments:
                yield edge, segment

    @property
    def has_only_square_lines_and_arcs(self) -> bool:
        """Whether every line is parallel to an axis."""
        return all(s.turn is not None or s.is_level or s.is_upright for _, s in self.segments)


def read_outline(draft: Draft, path: str, written: WrittenOutline) -> Outline | None:
    """The outline as symbols; None if it has faults, which are noted in the draft."""
    before = len(draft.faults)
    edges = _edges(draft, path, written)
    if len(draft.faults) > before:
        return None
    for edge in edges:
        for segment in edge.segments:
            if segment.signs == (0, 0):
                draft.fault(f"{path}", f"its edge {edge.name!r} has no length at the base size", "move one of its ends")
    return None if len(draft.faults) > before else Outline(tuple(edges), _box(draft, edges))


def rectangle_edges(draft: Draft, width: Form, height: Form) -> tuple[Edge, ...]:
    """The edges of a rectangle: top, right, bottom, left, from its top left corner (0, 0)."""
    zero = Form()
    corners = [Point(zero, zero), Point(width, zero), Point(width, -height), Point(zero, -height)]
    return _polygon(draft, ("top", "right", "bottom", "left"), corners)


def _edges(draft: Draft, path: str, written: WrittenOutline) -> Sequence[Edge]:
    match written:
        case RectangleOutline(rectangle=(width, height)):
            return rectangle_edges(
                draft,
                draft.rational(f"{path}.rectangle.0", width),
                draft.rational(f"{path}.rectangle.1", height),
            )
        case TrapezoidOutline(trapezoid=shape):
            return _trapezoid(draft, f"{path}.trapezoid", shape)
        case RoundedRectangleOutline(rounded_rectangle=shape):
            return _rounded_rectangle(draft, f"{path}.rounded_rectangle", shape)
        case DiscOutline(disc=shape):
            return _disc(draft, draft.rational(f"{path}.disc.radius", shape.radius))
        case PathOutline():
            return _free_path(draft, path, written)


def _trapezoid(draft: Draft, path: str, shape: Trapezoid) -> Sequence[Edge]:
    top, bottom = draft.rational(f"{path}.top", shape.top), draft.rational(f"{path}.bottom", shape.bottom)
    height, lean = draft.rational(f"{path}.height", shape.height), draft.rational(f"{path}.lean", shape.lean)
    half, zero = Fraction(1, 2), Form()
    corners = [
        Point(zero, zero),
        Point(top, zero),
        Point((top + bottom).times(half) + lean, -height),
        Point((top - bottom).times(half) + lean, -height),
    ]
    return _polygon(draft, ("top", "right", "bottom", "left"), corners)


def _polygon(draft: Draft, names: Sequence[str], corners: Sequence[Point]) -> tuple[Edge, ...]:
    return tuple(
        Edge(name, (draw_segment(draft, corners[place], corners[(place + 1) % len(corners)], None),))
        for place, name in enumerate(names)
    )


def _rounded_rectangle(draft: Draft, path: str, shape: RoundedRectangle) -> Sequence[Edge]:
    width, height = draft.rational(f"{path}.width", shape.width), draft.rational(f"{path}.height", shape.height)
    uniform = not hasattr(shape.corners, "top_left")
    radii: dict[str, Form | None] = {
        name: None if radius is None else draft.rational(f"{path}.corners{'' if uniform else '.' + name}", radius)
        for name, radius in corner_radii(shape.corners).items()
    }
    zero = Form()
    corners = {  # each corner's point, the way into it and the way out of it
        "top_right": (Point(width, zero), (1, 0), (0, -1)),
        "bottom_right": (Point(width, -height), (0, -1), (-1, 0)),
        "bottom_left": (Point(zero, -height), (-1, 0), (0, 1)),
        "top_left": (Point(zero, zero), (0, 1), (1, 0)),
    }
    at = _beside(corners["top_left"][0], corners["top_left"][2], radii["top_left"])
    edges: list[Edge] = []
    for side, name in zip(("top", "right", "bottom", "left"), corners, strict=True):
        corner, way_in, way_out = corners[name]
        radius = radii[name]
        before = _beside(corner, (-way_in[0], -way_in[1]), radius)
        edges.append(Edge(side, (draw_segment(draft, at, before, None),)))
        at = before
        if radius is not None:
            after = _beside(corner, way_out, radius)
            edges.append(Edge(name, (draw_segment(draft, before, after, "right"),)))
            at = after
    return edges


def _beside(corner: Point, way: tuple[int, int], radius: Form | None) -> Point:
    if radius is None:
        return corner
    return corner.shifted(radius.times(way[0]), radius.times(way[1]))


def _disc(draft: Draft, radius: Form) -> Sequence[Edge]:
    zero = Form()
    points = [Point(zero, radius), Point(radius, zero), Point(zero, -radius), Point(-radius, zero)]
    quarters = [draw_segment(draft, points[place], points[(place + 1) % 4], "right") for place in range(4)]
    return [Edge("rim", tuple(quarters))]


def _free_path(draft: Draft, path: str, written: PathOutline) -> Sequence[Edge]:
    before = len(draft.faults)
    start = at = _point(draft, f"{path}.start", written.start)
    edges: list[Edge] = []
    for number, edge in enumerate(written.edges):
        here = f"{path}.edges.{number}"
        to = _point(draft, f"{here}.to", edge.to)
        edges.append(Edge(edge.name, _path_segments(draft, here, at, to, edge)))
        at = to
    if len(draft.faults) == before and not ((at.x - start.x).is_zero and (at.y - start.y).is_zero):
        draft.fault(
            f"{path}.edges.{len(written.edges) - 1}.to",
            f"the outline does not close: it starts at {_shown(draft, start)} and ends at {_shown(draft, at)}",
            "let the last edge end where the first one starts",
        )
    return edges


def _path_segments(draft: Draft, path: str, start: Point, end: Point, edge: PathEdge) -> tuple[Segment, ...]:
    if edge.half is not None:
        return _half(draft, path, start, end, edge.half)
    segment = draw_segment(draft, start, end, edge.quarter)
    if edge.quarter is not None and not (
        segment.signs[0] and segment.signs[1] and (segment.radius - segment.along.times(segment.signs[1])).is_zero
    ):
        draft.fault(
            f"{path}.to",
            f"no quarter arc goes from {_shown(draft, start)} to {_shown(draft, end)}",
            "let it go as far along as across",
        )
    return (segment,)


def _half(draft: Draft, path: str, start: Point, end: Point, turn: Turn) -> tuple[Segment, ...]:
    chord = draw_segment(draft, start, end, None)
    if not (chord.is_level or chord.is_upright) or chord.signs == (0, 0):
        draft.fault(
            f"{path}.to",
            f"no half arc goes from {_shown(draft, start)} to {_shown(draft, end)}",
            "let it end straight across from, or straight above or below, its start",
        )
        return (chord,)
    half = Fraction(1, 2) if turn == "right" else Fraction(-1, 2)
    middle = start.shifted(chord.across.times(Fraction(1, 2)), chord.along.times(Fraction(1, 2)))
    # The top of the arc lies on the left of the way when it turns right.
    top = middle.shifted((-chord.along).times(half), chord.across.times(half))
    return (draw_segment(draft, start, top, turn), draw_segment(draft, top, end, turn))


def _point(draft: Draft, path: str, place: Place) -> Point:
    return Point(draft.rational(f"{path}.0", place[0]), draft.rational(f"{path}.1", place[1]))


def draw_segment(draft: Draft, start: Point, end: Point, turn: Turn | None = None) -> Segment:
    """A segment between two points, with the signs of its extents at the base size."""
    return Segment(start, end, turn, (_sign(draft, end.x - start.x), _sign(draft, end.y - start.y)))


def _sign(draft: Draft, form: Form) -> int:
    value = draft.at_base(form)
    return (value > 0) - (value < 0)


def _shown(draft: Draft, point: Point) -> str:
    return f"({draft.ruler.text(draft.at_base(point.x))}, {draft.ruler.text(draft.at_base(point.y))})"


def _box(draft: Draft, edges: Sequence[Edge]) -> Box:
    points = [segment.start for edge in edges for segment in edge.segments]
    across, along = [point.x for point in points], [point.y for point in points]
    at = draft.at_base
    # Of equal ones, min and max take the first.
    return Box(min(across, key=at), max(across, key=at), max(along, key=at), min(along, key=at))


def read_place(draft: Draft, path: str, x: Expression, y: Expression) -> Point:
    """A point of a piece, as for its lines."""
    return _point(draft, path, (x, y))
