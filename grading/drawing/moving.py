"""Scenes and marks elsewhere: turned by quarters about (0, 0), then moved."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from grading.drawing.cut_path import Place
from grading.drawing.scene import Arc, ArcTo, CubicTo, Line, LineTo, Mark, Part, Path, Polyline, Scene, Words

QUARTER = 90.0


def moved(scene: Scene, by: Place, quarters: int = 0) -> Scene:
    """The scene turned anticlockwise by so many quarters about (0, 0), then moved."""
    return Scene(tuple(moved_mark(mark, by, quarters) for mark in scene.marks))


def moved_mark(mark: Mark, by: Place, quarters: int = 0) -> Mark:
    """A mark turned anticlockwise by so many quarters about (0, 0), then moved."""

    def to(place: Place) -> Place:
        x, y = turned_place(place, quarters)
        return x + by[0], y + by[1]

    angle = QUARTER * (quarters % 4)
    match mark:
        case Line():
            return replace(mark, start=to(mark.start), end=to(mark.end))
        case Polyline():
            return replace(mark, points=tuple(to(point) for point in mark.points))
        case Arc():
            return replace(mark, centre=to(mark.centre), start=mark.start + angle, end=mark.end + angle)
        case Path():
            return replace(mark, start=to(mark.start), parts=tuple(_moved_part(part, to) for part in mark.parts))
        case Words():
            return replace(mark, place=to(mark.place), turned=mark.turned + angle)


def turned_place(place: Place, quarters: int) -> Place:
    """A place turned anticlockwise by so many quarters about (0, 0)."""
    x, y = place
    return ((x, y), (-y, x), (-x, -y), (y, -x))[quarters % 4]


def _moved_part(part: Part, to: Callable[[Place], Place]) -> Part:
    match part:
        case LineTo():
            return LineTo(to(part.end))
        case ArcTo():
            return replace(part, end=to(part.end), centre=to(part.centre))
        case CubicTo():
            return CubicTo(to(part.end), to(part.first), to(part.second))
