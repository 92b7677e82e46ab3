"""Lines and words of a picture, in its own units; floats. Line breadths in the manner of ISO 128: wide and narrow."""

from __future__ import annotations

from dataclasses import dataclass
from xml.sax.saxutils import escape

import svg

from grading.drawing.cut_path import Place

WIDE, NARROW, THIN = 1.6, 0.7, 0.3
TEXT, SMALL = 13.0, 11.0
INK, PALE, PAPER = "#1c1c1c", "#f1efe9", "#ffffff"
FONT = "Helvetica, Arial, sans-serif"
GLYPH = 0.62
"""About how wide a letter is for its size; for fitting words into pieces."""


@dataclass(frozen=True)
class Frame:
    """From the cloth to the picture: a point (x across, y along) in mm lies at (left + y × scale, top + x × scale)."""

    left: float
    top: float
    scale: float

    def at(self, place: Place) -> Place:
        """A point of the cloth in the picture."""
        return self.left + place[1] * self.scale, self.top + place[0] * self.scale

    def size(self, length: float) -> float:
        """A length of the cloth in the picture."""
        return length * self.scale


def safe(text: str) -> str:
    """A text as it may stand in XML: escaped, which svg.py leaves to us, and without control characters."""
    return escape("".join(each if each.isprintable() else " " for each in text))


def line(start: Place, end: Place, breadth: float, dashes: str | None) -> svg.Element:
    """A line between two points of the picture; dashes as in "6 4"."""
    return svg.Line(
        x1=round(start[0], 2),
        y1=round(start[1], 2),
        x2=round(end[0], 2),
        y2=round(end[1], 2),
        stroke=INK,
        stroke_width=breadth,
        stroke_dasharray=None if dashes is None else [float(each) for each in dashes.split()],
    )


def text(words: str, place: Place, size: float, *, anchor: str = "start", bold: bool = False) -> svg.Element:
    """Words at a place, escaped."""
    return svg.Text(
        x=round(place[0], 2),
        y=round(place[1], 2),
        text=safe(words),
        font_family=FONT,
        font_size=round(size, 1),
        text_anchor="middle" if anchor == "middle" else "start",
        font_weight="bold" if bold else None,
        fill=INK,
    )
