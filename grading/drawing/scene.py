"""A drawing without a format: marks in mm, x to the right and y upwards, each in a named line style on a layer.

What is drawn is decided once; `grading.drawing.pdf`, `svg_drawing` and `dxf_drawing` only write it down. Floats:
coordinates come from documents that print them within 0.01 mm.
"""

from __future__ import annotations

from dataclasses import dataclass

from grading.drawing.cut_path import Place

DEFAULT_LAYER = "note"


@dataclass(frozen=True)
class Line:
    """A straight line."""

    start: Place
    end: Place
    style: str = "narrow"
    layer: str = DEFAULT_LAYER


@dataclass(frozen=True)
class Polyline:
    """Straight lines from point to point; `filled` ones are inked within, and have no line."""

    points: tuple[Place, ...]
    style: str = "narrow"
    layer: str = DEFAULT_LAYER
    closed: bool = False
    filled: bool = False


@dataclass(frozen=True)
class Arc:
    """A part of a circle, anticlockwise from the angle `start` to the angle `end`, in degrees; 0 to 360 is whole."""

    centre: Place
    radius: float
    start: float = 0.0
    end: float = 360.0
    style: str = "narrow"
    layer: str = DEFAULT_LAYER


@dataclass(frozen=True)
class LineTo:
    """A straight part of a path."""

    end: Place


@dataclass(frozen=True)
class ArcTo:
    """A part of a path along a circle, by less than a whole turn."""

    end: Place
    centre: Place
    clockwise: bool


@dataclass(frozen=True)
class CubicTo:
    """A part of a path along a cubic curve with these two inner points."""

    end: Place
    first: Place
    second: Place


Part = LineTo | ArcTo | CubicTo


@dataclass(frozen=True)
class Path:
    """Lines and curves from a start, each part from the end of the one before."""

    start: Place
    parts: tuple[Part, ...]
    style: str = "narrow"
    layer: str = DEFAULT_LAYER
    closed: bool = False


@dataclass(frozen=True)
class Words:
    """One line of text: `size` is the font's size in mm, `turned` in degrees anticlockwise about `place`.

    `place` lies on the base line, at the start, the middle or the end of the words by `anchor`.
    """

    text: str
    place: Place
    size: float = 3.5
    anchor: str = "start"
    bold: bool = False
    turned: float = 0.0
    layer: str = "text"


Mark = Line | Polyline | Arc | Path | Words


@dataclass(frozen=True)
class Scene:
    """Marks, drawn in their order."""

    marks: tuple[Mark, ...] = ()

    def __add__(self, other: Scene) -> Scene:
        return Scene(self.marks + other.marks)
