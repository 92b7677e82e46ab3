"""Outlines: stitching lines as forms of the dimensions, with their edges, corners and boxes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.verify.expressions import Expressions
from grading.verify.forms import ZERO, Form, diagonal, total
from grading.verify.points import Point
from grading.verify.reading import Fields, choice, fields, items, joined, name
from grading.verify.unreadable import refuse

Place = tuple[Form, Form]
HALF = Fraction(1, 2)
MOST_EDGES = 400
CORNERS = ("top_left", "top_right", "bottom_right", "bottom_left")
TURNS = ("right", "left")


@dataclass(frozen=True, eq=False)
class Segment:
    """A line, or a quarter arc where it turns; `reach` is dx and dy, the signs are those at the base size."""

    start: Place
    end: Place
    reach: Place
    turns: str | None
    centre: Place | None
    signs: tuple[int, int]

    @property
    def is_level(self) -> bool:
        """Whether it is a line along x, whatever the size."""
        return self.turns is None and self.reach[1].is_zero

    @property
    def is_upright(self) -> bool:
        """Whether it is a line along y, whatever the size."""
        return self.turns is None and self.reach[0].is_zero

    @property
    def measure(self) -> Form | None:
        """The length of a line parallel to an axis, the radius of an arc, None for other lines."""
        if self.turns is not None or self.is_level:
            return _signed(self.reach[0], self.signs[0])
        return _signed(self.reach[1], self.signs[1]) if self.is_upright else None

    @property
    def length(self) -> Form:
        """The length: |d|, sqrt(dx² + dy²), or pi/2 × radius."""
        measure = self.measure
        if measure is None:
            return diagonal(*self.reach)
        if self.turns is None:
            return measure
        turned = measure.times_pi()
        if turned is None:
            msg = "a radius has no pi"
            raise AssertionError(msg)
        return turned.times(HALF)


@dataclass(frozen=True, eq=False)
class Edge:
    """A named part of an outline."""

    name: str
    segments: tuple[Segment, ...]
    length: Form


@dataclass(frozen=True, eq=False)
class Box:
    """The least and greatest x and y of an outline, as forms and at the base size."""

    left: Form
    right: Form
    bottom: Form
    top: Form
    base: tuple[Fraction, Fraction, Fraction, Fraction]

    @property
    def width(self) -> Form:
        """How wide the box is, along x."""
        return self.right - self.left

    @property
    def height(self) -> Form:
        """How high the box is, along y."""
        return self.top - self.bottom


@dataclass(frozen=True, eq=False)
class Outline:
    """Edges in the order in which they run, clockwise, and the box about them."""

    start: Place
    edges: Mapping[str, Edge]
    box: Box
    base: Point

    @property
    def segments(self) -> list[tuple[str, Segment]]:
        """All segments in order, each with the name of its edge."""
        return [(edge.name, segment) for edge in self.edges.values() for segment in edge.segments]


def sign_of(value: Fraction) -> int:
    """Return -1, 0 or 1."""
    return (value > 0) - (value < 0)


def _signed(form: Form, sign: int) -> Form:
    return -form if sign < 0 else form


class OutlineReader:
    """Reads outlines; the base point says which way lines run."""

    def __init__(self, expressions: Expressions, base: Point) -> None:
        self.expressions = expressions
        self.base = base

    def coordinate(self, value: object, path: str) -> Form:
        """Return a drawn length without pi and roots."""
        form = self.expressions.drawn(value, path)
        if not form.is_rational:
            refuse("is a coordinate with pi or a root", path)
        return form

    def place(self, value: object, path: str) -> Place:
        """Return the two coordinates of a point."""
        x, y = items(value, path, 2)
        return self.coordinate(x, joined(path, 0)), self.coordinate(y, joined(path, 1))

    def segment(self, start: Place, end: Place, turns: str | None, path: str) -> Segment:
        """Return a line or a quarter arc."""
        reach = (end[0] - start[0], end[1] - start[1])
        signs = (sign_of(self.base.rational(reach[0])), sign_of(self.base.rational(reach[1])))
        if signs == (0, 0):
            refuse("is an edge without length at the base size", path)
        if turns is None:
            return Segment(start, end, reach, None, None, signs)
        if not ((reach[0] - reach[1]).is_zero or (reach[0] + reach[1]).is_zero):
            refuse("is a quarter arc that does not reach as far across as along", path)
        level_first = (signs[0] != signs[1]) == (turns == "right")
        centre = (start[0], end[1]) if level_first else (end[0], start[1])
        return Segment(start, end, reach, turns, centre, signs)

    def outline(self, value: object, path: str) -> Outline:
        """Return the outline of a piece from one of the five ways to draw it."""
        if not isinstance(value, dict):
            refuse("is no outline", path)
        if "start" in value:
            return self.free(fields(value, path, ("start", "edges")), path)
        given = fields(value, path, (), ("rectangle", "trapezoid", "rounded_rectangle", "disc"))
        if len([key for key in given if key != "says"]) != 1:
            refuse("is not one of rectangle, trapezoid, rounded_rectangle, disc, start with edges", path)
        if "rectangle" in given:
            path = joined(path, "rectangle")
            width, height = items(given["rectangle"], path, 2)
            return self.rectangle(
                self.coordinate(width, joined(path, 0)), self.coordinate(height, joined(path, 1)), path
            )
        if "trapezoid" in given:
            return self.trapezoid(given["trapezoid"], joined(path, "trapezoid"))
        if "disc" in given:
            return self.disc(given["disc"], joined(path, "disc"))
        return self.rounded(given["rounded_rectangle"], joined(path, "rounded_rectangle"))

    def rectangle(self, width: Form, height: Form, path: str) -> Outline:
        """Return a rectangle from (0, 0) to the right and downwards."""
        corners = [(ZERO, ZERO), (width, ZERO), (width, -height), (ZERO, -height)]
        return self.polygon(corners, path)

    def trapezoid(self, value: object, path: str) -> Outline:
        """Return a trapezoid; `lean` moves its bottom to the right."""
        given = fields(value, path, ("top", "bottom", "height"), ("lean",))
        top, bottom, height, lean = (
            self.coordinate(given.get(key, 0), joined(path, key)) for key in ("top", "bottom", "height", "lean")
        )
        right = (top + bottom).times(HALF) + lean
        left = (top - bottom).times(HALF) + lean
        return self.polygon([(ZERO, ZERO), (top, ZERO), (right, -height), (left, -height)], path)

    def polygon(self, corners: list[Place], path: str) -> Outline:
        """Return four lines named top, right, bottom, left."""
        ends = zip(("top", "right", "bottom", "left"), corners[1:] + corners[:1], strict=True)
        return self.closed(corners[0], [(edge, [(end, None)]) for edge, end in ends], path)

    def rounded(self, value: object, path: str) -> Outline:
        """Return a rectangle of which some or all corners are quarter arcs."""
        given = fields(value, path, ("width", "height", "corners"))
        width, height = (self.coordinate(given[key], joined(path, key)) for key in ("width", "height"))
        radii = self.radii(given["corners"], joined(path, "corners"))
        first, second, third, fourth = (radii.get(corner, ZERO) for corner in CORNERS)
        steps: list[tuple[str, Place, str | None]] = [
            ("top", (width - second, ZERO), None),
            ("top_right", (width, -second), "top_right"),
            ("right", (width, third - height), None),
            ("bottom_right", (width - third, -height), "bottom_right"),
            ("bottom", (fourth, -height), None),
            ("bottom_left", (ZERO, fourth - height), "bottom_left"),
            ("left", (ZERO, -first), None),
            ("top_left", (first, ZERO), "top_left"),
        ]
        kept = [step for step in steps if step[2] is None or step[2] in radii]
        edges: list[tuple[str, list[tuple[Place, str | None]]]] = [
            (edge, [(end, "right" if corner else None)]) for edge, end, corner in kept
        ]
        return self.closed((first, ZERO), edges, path)

    def radii(self, value: object, path: str) -> dict[str, Form]:
        """Return the radius of each rounded corner."""
        if not isinstance(value, dict):
            return dict.fromkeys(CORNERS, self.coordinate(value, path))
        given = fields(value, path, (), CORNERS)
        return {key: self.coordinate(given[key], joined(path, key)) for key in CORNERS if key in given}

    def disc(self, value: object, path: str) -> Outline:
        """Return a disc about (0, 0), with one edge of four quarters."""
        given = fields(value, path, ("radius",))
        radius = self.coordinate(given["radius"], joined(path, "radius"))
        ends = [(radius, ZERO), (ZERO, -radius), (-radius, ZERO), (ZERO, radius)]
        return self.closed((ZERO, radius), [("rim", [(end, "right") for end in ends])], path)

    def free(self, given: Fields, path: str) -> Outline:
        """Return an outline of lines, quarters and halves that each say where they go."""
        start = self.place(given["start"], joined(path, "start"))
        listed = items(given["edges"], joined(path, "edges"))
        if not 2 <= len(listed) <= MOST_EDGES:
            refuse(f"is not a list of 2 to {MOST_EDGES} edges", joined(path, "edges"))
        here, edges, names = start, [], set()
        for index, entry in enumerate(listed):
            where = joined(joined(path, "edges"), index)
            edge = fields(entry, where, ("name", "to"), ("quarter", "half"))
            title = name(edge["name"], joined(where, "name"))
            if title in names:
                refuse("is the name of two edges", joined(where, "name"))
            names.add(title)
            end = self.place(edge["to"], joined(where, "to"))
            edges.append((title, self.ways(here, end, edge, where)))
            here = end
        if not ((here[0] - start[0]).is_zero and (here[1] - start[1]).is_zero):
            refuse("does not end where it starts", joined(path, "edges"))
        return self.closed(start, edges, path)

    def ways(self, start: Place, end: Place, edge: Fields, path: str) -> list[tuple[Place, str | None]]:
        """Return the ends and turns of the segments of one edge: a half is two quarters."""
        if "quarter" in edge and "half" in edge:
            refuse("is a quarter and a half at once", path)
        if "half" not in edge:
            turns = choice(edge.get("quarter"), joined(path, "quarter"), TURNS, "")
            return [(end, turns or None)]
        turns = choice(edge["half"], joined(path, "half"), TURNS, "")
        across, along = end[0] - start[0], end[1] - start[1]
        if not (across.is_zero or along.is_zero):
            refuse("is a half arc whose ends are not level or upright", path)
        side = HALF if turns == "right" else -HALF
        middle = (
            (start[0] + end[0]).times(HALF) - along.times(side),
            (start[1] + end[1]).times(HALF) + across.times(side),
        )
        return [(middle, turns), (end, turns)]

    def closed(self, start: Place, ways: list[tuple[str, list[tuple[Place, str | None]]]], path: str) -> Outline:
        """Return the outline that runs from the start along the given ends."""
        here, edges = start, {}
        for title, ends in ways:
            segments = []
            for end, turns in ends:
                segments.append(self.segment(here, end, turns, f"{path} ({title})"))
                here = end
            edges[title] = Edge(title, tuple(segments), total([segment.length for segment in segments]))
        vertices = [segment.start for edge in edges.values() for segment in edge.segments]
        return Outline(start, edges, self.box(vertices), self.base)

    def box(self, vertices: list[Place]) -> Box:
        """Return the box; the first vertex in order is chosen on a tie."""
        across = [self.base.rational(place[0]) for place in vertices]
        along = [self.base.rational(place[1]) for place in vertices]
        left, right, bottom, top = min(across), max(across), min(along), max(along)
        return Box(
            vertices[across.index(left)][0],
            vertices[across.index(right)][0],
            vertices[along.index(bottom)][1],
            vertices[along.index(top)][1],
            (left, right, bottom, top),
        )
