"""Outlines with curves for tests, drawn at a size, and as polygons of many points for shapely."""

from __future__ import annotations

from fractions import Fraction
from math import atan2, cos, hypot, pi, sin
from typing import Any

from shapely.geometry import Polygon

from grading.verify.cutting.cut_lines import Cut
from grading.verify.exact.expressions import Expressions
from grading.verify.exact.points import Point, point_of
from grading.verify.geometry.bends import Bow, Oval
from grading.verify.geometry.outlines import Outline, OutlineReader
from grading.verify.geometry.shapes import Part, Shape, shape_of

BASE = {"w": Fraction(120), "h": Fraction(80), "r": Fraction(20)}
Dots = list[tuple[float, float]]


def read(outline: dict[str, Any], **sizes: float | Fraction) -> tuple[Outline, Point]:
    expressions = Expressions(Fraction(1), Fraction(1), frozenset(BASE), {"gores": 6})
    found = OutlineReader(expressions, point_of(BASE)).outline(outline, "outline")
    return found, point_of({**BASE, **{name: Fraction(value) for name, value in sizes.items()}})


def free(*edges: dict[str, Any], start: Any = (0, 0)) -> dict[str, Any]:
    """An outline of edges, named e0, e1 and so on; the last one ends at the start."""
    listed = [{"name": f"e{place}", **edge} for place, edge in enumerate(edges)]
    return {"start": list(start), "edges": [*listed[:-1], {"to": list(start), **listed[-1]}]}


def shape(outline: dict[str, Any], **sizes: float | Fraction) -> Shape:
    return shape_of(*read(outline, **sizes))


def dots_of(part: Part, count: int = 1000) -> Dots:
    """Points along a part, without its end; floats, by the textbook's formulas of each curve."""
    start, end = ((float(x), float(y)) for x, y in (part.start, part.end))
    times = [step / count for step in range(count)]
    if isinstance(part.bend, Bow):
        points = (start, *((float(x), float(y)) for x, y in (part.bend.first, part.bend.second)), end)
        weights = [((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3) for t in times]
        return [
            (
                sum(w * p[0] for w, p in zip(row, points, strict=True)),
                sum(w * p[1] for w, p in zip(row, points, strict=True)),
            )
            for row in weights
        ]
    if part.centre is None or part.turns is None:
        return [start]
    x, y = float(part.centre[0]), float(part.centre[1])
    if isinstance(part.bend, Oval):
        first, last = (start[0] - x, start[1] - y), (end[0] - x, end[1] - y)
        return [
            (x + first[0] * cos(t * pi / 2) + last[0] * sin(t * pi / 2),
             y + first[1] * cos(t * pi / 2) + last[1] * sin(t * pi / 2))
            for t in times
        ]  # fmt: skip
    return arc_dots((x, y), start, end, part.turns, count)


def arc_dots(
    centre: tuple[float, float], start: tuple[float, float], end: tuple[float, float], turns: str, count: int = 1000
) -> Dots:
    first, last = (atan2(dot[1] - centre[1], dot[0] - centre[0]) for dot in (start, end))
    way = (last - first) % (2 * pi) - (2 * pi if turns == "right" else 0)
    radius = hypot(start[0] - centre[0], start[1] - centre[1])
    angles = [first + way * step / count for step in range(count)]
    return [(centre[0] + radius * cos(angle), centre[1] + radius * sin(angle)) for angle in angles]


def polygon(drawn: Shape) -> Polygon:
    return Polygon([dot for part in drawn.parts for dot in dots_of(part)])


def polygon_of_cut(cuts: list[Cut]) -> Polygon:
    dots: Dots = []
    for cut in cuts:
        start, end = ((float(x), float(y)) for x, y in (cut.start, cut.end))
        if cut.centre is not None and cut.turns is not None:
            dots += arc_dots((float(cut.centre[0]), float(cut.centre[1])), start, end, cut.turns)
        else:
            dots += [start, *((float(x), float(y)) for x, y in cut.through or ())]
    return Polygon(dots)


# A hem that dips: a cubic that runs on smoothly from both sides.
DIPPED = free(
    {"to": ["w", 0]},
    {"to": ["w", "-h"]},
    {"to": [0, "-h"], "cubic": [["2*w/3", "r-h"], ["w/3", "r-h"]]},
    {},
)
OVAL = free(
    {"to": ["w/2", "h/2"], "ellipse": "right"},
    {"to": ["w", 0], "ellipse": "right"},
    {"to": ["w/2", "-h/2"], "ellipse": "right"},
    {"ellipse": "right"},
)
LENS = free({"to": ["w", 0], "arc": "right", "rise": "r"}, {"arc": "right", "rise": "r+10"})
# A bib: its arm holes are arcs with slanting chords that turn left.
BIB = free(
    {"to": ["w/3", "h/2"], "arc": "left", "rise": "r/2"},
    {"to": ["2*w/3", "h/2"]},
    {"to": ["w", 0], "arc": "left", "rise": "r/2"},
    {"to": ["w", "-h"]},
    {"to": [0, "-h"]},
    {},
)
SCOOPED = free({"to": ["w-r", 0]}, {"to": ["w", "-h/2"], "ellipse": "left"}, {"to": ["w", "-h"]}, {"to": [0, "-h"]}, {})
DOME = free({"to": ["w", 0], "arc": "right", "rise": "w/2"}, {})
LEAF = free(
    {"to": ["w", 0], "cubic": [["w/4", "r"], ["3*w/4", "r"]]},
    {"cubic": [["3*w/4", "-r"], ["w/4", "-r"]]},
)
SOUND = {"dipped": DIPPED, "oval": OVAL, "lens": LENS, "bib": BIB, "scooped": SCOOPED, "dome": DOME, "leaf": LEAF}
SECTOR = {"sector": {"outer": "w", "inner": "r", "turn": "1/4"}}
WIDE = {"sector": {"outer": "w", "inner": "r", "turn": "3/4"}}
FAN = {"sector": {"outer": "w", "inner": 0, "turn": "0.4"}}
CONE = {"cone": {"bottom": "w", "top": "r", "height": "h", "share": "1/2"}}
HAT = {"cone": {"bottom": "h", "top": 0, "height": "h"}}
FLATS = {"sector": SECTOR, "wide": WIDE, "fan": FAN, "cone": CONE, "hat": HAT}
