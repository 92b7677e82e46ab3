"""Outlines: stitching lines as forms of the dimensions, with their edges, corners and boxes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import ZERO, Form, diagonal, total
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.points import Point
from grading.verify.geometry.curves import Arc, Cubic, Curve, Ellipse, length_along, middle_of
from grading.verify.geometry.flats import CONE, SECTOR, Flat, read_flat
from grading.verify.reading import Fields, choice, fields, items, joined, name
from grading.verify.unreadable import refuse

Place = tuple[Form, Form]
HALF = Fraction(1, 2)
MOST_EDGES = 400
CORNERS = ("top_left", "top_right", "bottom_right", "bottom_left")
TURNS = ("right", "left")
SHAPES = ("rectangle", "trapezoid", "rounded_rectangle", "disc", SECTOR, CONE)
BENDS = ("quarter", "half", "ellipse", "arc", "cubic")


@dataclass(frozen=True, eq=False)
class Segment:
    """A line, a quarter arc where it turns, or a curve; `reach` is dx and dy, the signs are those at the base size."""

    start: Place
    end: Place
    reach: Place
    turns: str | None
    centre: Place | None
    signs: tuple[int, int]
    curve: Curve | None = None

    @property
    def is_line(self) -> bool:
        """Whether it is straight."""
        return self.turns is None and self.curve is None

    @property
    def is_level(self) -> bool:
        """Whether it is a line along x, whatever the size."""
        return self.is_line and self.reach[1].is_zero

    @property
    def is_upright(self) -> bool:
        """Whether it is a line along y, whatever the size."""
        return self.is_line and self.reach[0].is_zero

    @property
    def measure(self) -> Form | None:
        """The length of a line parallel to an axis, the radius of a quarter arc, None for other lines and curves."""
        if self.curve is not None:
            return None
        if self.turns is not None or self.is_level:
            return _signed(self.reach[0], self.signs[0])
        return _signed(self.reach[1], self.signs[1]) if self.is_upright else None

    @property
    def vertices(self) -> list[Place]:
        """What it adds to an outline: its start, and the middle of an arc with a level or upright chord."""
        middle = self.curve.middle if isinstance(self.curve, Arc) else None
        return [self.start] if middle is None else [self.start, middle]

    @property
    def length(self) -> Form:
        """The length: |d|, sqrt(dx² + dy²), pi/2 × radius, or the term of a curve."""
        if self.curve is not None:
            return length_along(self.curve, self.start, self.end)
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
    """Edges in the order in which they run, clockwise, and the box about them; a flat has neither segments nor box."""

    start: Place
    edges: Mapping[str, Edge]
    drawn_box: Box | None
    base: Point
    flat: Flat | None = None

    @property
    def box(self) -> Box:
        """The box as forms."""
        if self.drawn_box is None:
            refuse("speaks of the sides of a flat, whose points are no sums of dimensions")
        return self.drawn_box

    def corners_of(self, edge: str) -> tuple[Any, Any]:
        """Return the corners at which an edge starts and ends: equal values for equal places."""
        if self.flat is None:
            segments = self.edges[edge].segments
            ends = segments[0].start, segments[-1].end
            return (ends[0][0].identity, ends[0][1].identity), (ends[1][0].identity, ends[1][1].identity)
        index = list(self.edges).index(edge)
        return ("corner", index), ("corner", (index + 1) % len(self.edges))

    @property
    def segments(self) -> list[tuple[str, Segment]]:
        """All segments in order, each with the name of its edge."""
        return [(edge.name, segment) for edge in self.edges.values() for segment in edge.segments]


def sign_of(value: Fraction) -> int:
    """Return -1, 0 or 1."""
    return (value > 0) - (value < 0)


@dataclass(frozen=True, eq=False)
class Way:
    """Where a segment goes, and how; `rise` is that of an arc."""

    end: Place
    turns: str | None = None
    curve: Ellipse | Cubic | None = None
    rise: Form | None = None


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

    def segment(self, start: Place, way: Way, path: str) -> Segment:
        """Return a line, a quarter arc or a curve."""
        end, turns = way.end, way.turns
        reach = (end[0] - start[0], end[1] - start[1])
        signs = (sign_of(self.base.rational(reach[0])), sign_of(self.base.rational(reach[1])))
        if signs == (0, 0):
            refuse("is an edge without length at the base size", path)
        if turns is None:
            return Segment(start, end, reach, None, None, signs, way.curve)
        if way.rise is not None:
            arc = Arc(way.rise, middle_of(start, end, way.rise, turns, signs))
            return Segment(start, end, reach, turns, None, signs, arc)
        is_round = (reach[0] - reach[1]).is_zero or (reach[0] + reach[1]).is_zero
        if way.curve is None and not is_round:
            refuse("is a quarter arc that does not reach as far across as along", path)
        if 0 in signs:
            refuse("is a quarter of an ellipse with a half axis of 0 at the base size", path)
        level_first = (signs[0] != signs[1]) == (turns == "right")
        centre = (start[0], end[1]) if level_first else (end[0], start[1])
        return Segment(start, end, reach, turns, centre, signs, None if is_round else way.curve)

    def outline(self, value: object, path: str) -> Outline:
        """Return the outline of a piece from one of the seven ways to draw it."""
        if not isinstance(value, dict):
            refuse("is no outline", path)
        if "start" in value:
            return self.free(fields(value, path, ("start", "edges")), path)
        given = fields(value, path, (), SHAPES)
        if len([key for key in given if key != "says"]) != 1:
            refuse(f"is not one of {', '.join(SHAPES)}, start with edges", path)
        if "rectangle" in given:
            path = joined(path, "rectangle")
            width, height = items(given["rectangle"], path, 2)
            return self.rectangle(
                self.coordinate(width, joined(path, 0)), self.coordinate(height, joined(path, 1)), path
            )
        if "trapezoid" in given:
            return self.trapezoid(given["trapezoid"], joined(path, "trapezoid"))
        for kind in (SECTOR, CONE):
            if kind in given:
                return self.flat(kind, given[kind], joined(path, kind))
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
        return self.closed(corners[0], [(edge, [Way(end)]) for edge, end in ends], path)

    def flat(self, kind: str, value: object, path: str) -> Outline:
        """Return the flat of a cone, or a sector of a ring."""
        flat = read_flat(kind, value, path, self.expressions, self.base)
        edges = {title: Edge(title, (), length) for title, length in flat.lengths.items()}
        return Outline((ZERO, ZERO), edges, None, self.base, flat)

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
        edges = [(edge, [Way(end, "right" if corner else None)]) for edge, end, corner in kept]
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
        return self.closed((ZERO, radius), [("rim", [Way(end, "right") for end in ends])], path)

    def free(self, given: Fields, path: str) -> Outline:
        """Return an outline of lines, arcs and curves that each say where they go."""
        start = self.place(given["start"], joined(path, "start"))
        listed = items(given["edges"], joined(path, "edges"))
        if not 2 <= len(listed) <= MOST_EDGES:
            refuse(f"is not a list of 2 to {MOST_EDGES} edges", joined(path, "edges"))
        here, edges, names = start, [], set()
        for index, entry in enumerate(listed):
            where = joined(joined(path, "edges"), index)
            edge = fields(entry, where, ("name", "to"), (*BENDS, "rise"))
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

    def ways(self, start: Place, end: Place, edge: Fields, path: str) -> list[Way]:
        """Return the ends and turns of the segments of one edge: a half is two quarters."""
        bends = [bend for bend in BENDS if bend in edge]
        if len(bends) > 1:
            refuse(f"is at once: {', '.join(bends)}", path)
        if ("rise" in edge) != ("arc" in edge):
            refuse("has a rise without an arc, or an arc without a rise", path)
        if not bends:
            return [Way(end)]
        where = joined(path, bends[0])
        if "cubic" in edge:
            return [Way(end, curve=self.cubic(start, end, edge["cubic"], where))]
        turns = choice(edge[bends[0]], where, TURNS, "")
        if "half" in edge:
            return self.half(start, end, turns, path)
        if "arc" in edge:
            return [Way(end, turns, rise=self.rise(edge["rise"], joined(path, "rise")))]
        return [Way(end, turns, Ellipse() if "ellipse" in edge else None)]

    def rise(self, value: object, path: str) -> Form:
        """Return the rise of an arc."""
        rise = self.coordinate(value, path)
        if self.base.rational(rise) <= 0:
            refuse("is a rise that is not above 0 at the base size", path)
        return rise

    def cubic(self, start: Place, end: Place, value: object, path: str) -> Cubic:
        """Return a cubic between two ends, neither of which has the next point on it at the base size."""
        first, second = (self.place(item, joined(path, index)) for index, item in enumerate(items(value, path, 2)))
        for place, other in ((start, first), (second, end)):
            if all(self.base.rational(other[axis] - place[axis]) == 0 for axis in (0, 1)):
                refuse("is a cubic with a point on one of its ends at the base size", path)
        return Cubic(first, second)

    def half(self, start: Place, end: Place, turns: str, path: str) -> list[Way]:
        """Return the two quarters of a half arc."""
        across, along = end[0] - start[0], end[1] - start[1]
        if not (across.is_zero or along.is_zero):
            refuse("is a half arc whose ends are not level or upright", path)
        side = HALF if turns == "right" else -HALF
        middle = (
            (start[0] + end[0]).times(HALF) - along.times(side),
            (start[1] + end[1]).times(HALF) + across.times(side),
        )
        return [Way(middle, turns), Way(end, turns)]

    def closed(self, start: Place, ways: Sequence[tuple[str, Sequence[Way]]], path: str) -> Outline:
        """Return the outline that runs from the start along the given ends."""
        here, edges = start, {}
        for title, ends in ways:
            segments = []
            for way in ends:
                segments.append(self.segment(here, way, f"{path} ({title})"))
                here = way.end
            edges[title] = Edge(title, tuple(segments), total([segment.length for segment in segments]))
        vertices = [place for edge in edges.values() for segment in edge.segments for place in segment.vertices]
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
