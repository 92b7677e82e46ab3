"""Outlines on the stitching line as symbols: closed ways of edges, and their boxes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from grading.document.index import corner_radii, edge_names
from grading.document.pieces import (
    ConeOutline,
    DiscOutline,
    PathOutline,
    RectangleOutline,
    RoundedRectangle,
    RoundedRectangleOutline,
    SectorOutline,
    Trapezoid,
    TrapezoidOutline,
)
from grading.document.pieces import (
    Outline as WrittenOutline,
)
from grading.form import Form
from grading.model.bounds import OUTSIDE, Place, arc_centre, arc_extremes, cubic_extremes
from grading.model.draft import Draft
from grading.model.flat import Flat, flat_edges, read_flat
from grading.model.path import free_path
from grading.model.segment import Edge as Edge
from grading.model.segment import Point as Point
from grading.model.segment import Segment as Segment
from grading.model.segment import draw_segment as draw_segment


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
    """A closed outline, clockwise. A flat has no box as symbols, and its edges no segments."""

    edges: tuple[Edge, ...]
    bounds: Box | None
    flat: Flat | None = None

    @property
    def box(self) -> Box:
        """The box of its vertices. Raises ValueError for a flat, whose points are no forms."""
        if self.bounds is None:
            msg = "a flat has no box before it is drawn at a size"
            raise ValueError(msg)
        return self.bounds

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
        """Whether it has only lines parallel to an axis and quarter arcs."""
        return self.flat is None and all(s.is_quarter or s.is_level or s.is_upright for _, s in self.segments)


def read_outline(draft: Draft, path: str, written: WrittenOutline) -> Outline | None:
    """The outline as symbols; None if it has faults, which are noted in the draft."""
    before = len(draft.faults)
    if isinstance(written, SectorOutline | ConeOutline):
        flat = read_flat(draft, path, written)
        return None if flat is None else Outline(flat_edges(flat, edge_names(written)), None, flat)
    edges = _edges(draft, path, written)
    if len(draft.faults) > before:
        return None
    for edge in edges:
        for segment in edge.segments:
            if segment.signs == (0, 0):
                draft.fault(f"{path}", f"its edge {edge.name!r} has no length at the base size", "move one of its ends")
    if len(draft.faults) > before:
        return None
    box = _box(draft, edges)
    _check_bulges(draft, path, edges, box)
    return None if len(draft.faults) > before else Outline(tuple(edges), box)


def _check_bulges(draft: Draft, path: str, edges: Sequence[Edge], box: Box) -> None:
    """Note each curve that at the base size runs out of the box of the outline's vertices."""
    text = draft.ruler.text
    for edge in edges:
        places = [place for segment in edge.segments for place in _extremes(draft, segment)]
        beyond = [(way, side, place) for place in places for side, way in _beyond(draft, box, place).items()]
        way, side, place = max(beyond, default=(OUTSIDE, "", None))
        if place is not None and way > OUTSIDE:
            draft.fault(
                path,
                f"its edge {edge.name!r} bulges {text(round(way, 2))} beyond the {side} of its box, about "
                f"({text(round(place[0], 2))}, {text(round(place[1], 2))})",
                "divide the edge in two there, so that its outermost point is an end of both",
            )


def _beyond(draft: Draft, box: Box, place: Place) -> dict[str, Fraction]:
    """How far a place lies beyond each side of a box at the base size, in mm."""
    at = draft.at_base
    return {
        "left": at(box.left) - place[0],
        "right": place[0] - at(box.right),
        "top": place[1] - at(box.top),
        "bottom": at(box.bottom) - place[1],
    }


def _extremes(draft: Draft, segment: Segment) -> Iterator[Place]:
    """Where a curve may be outermost between its ends, at the base size. Quarters are so at their ends only."""

    def place(point: Point) -> Place:
        return draft.at_base(point.x), draft.at_base(point.y)

    start, end = place(segment.start), place(segment.end)
    if segment.inner is not None:
        yield from cubic_extremes((start, *map(place, segment.inner), end))
    elif segment.rise is not None and segment.turn is not None:
        centre = arc_centre(start, end, segment.turn, draft.at_base(segment.rise))
        yield from arc_extremes(start, end, centre, segment.turn)


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
            return free_path(draft, path, written)
        case _:
            raise AssertionError(written)


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


def _box(draft: Draft, edges: Sequence[Edge]) -> Box:
    points = []
    for segment in (segment for edge in edges for segment in edge.segments):
        points.append(segment.start)
        points += [] if segment.middle is None else [segment.middle]
    across, along = [point.x for point in points], [point.y for point in points]
    at = draft.at_base
    # Of equal ones, min and max take the first.
    return Box(min(across, key=at), max(across, key=at), max(along, key=at), min(along, key=at))
