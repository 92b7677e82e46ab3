"""Measures in a picture as ISO 129-1 draws them: narrow extension lines, a line with closed arrows, the value above it.

The habits are from memory of the standard: values stand above their line and read from below or from the right.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import svg

from grading.drawing.cut_path import Place
from grading.drawing.strokes import FONT, INK, PAPER, line, safe

ARROW, HALF_ARROW = 11.0, 2.6
OVERRUN, GAP = 6.0, 3.0
LIFT = 6.0
GLYPH = 0.56
"""About how wide a letter is for its size."""


@dataclass(frozen=True)
class Look:
    """The breadths of a picture's wide and narrow lines (two to one, ISO 128-2), and the size of its words."""

    wide: float = 2.4
    narrow: float = 1.2
    size: float = 20.0


def across_measure(
    left: float, right: float, start: float, y: float, words: str, look: Look, end: float | None = None
) -> Iterator[svg.Element]:
    """A measure across at the height `y`, its extension lines coming from `start`; its words end before `end`."""
    beyond = OVERRUN if y > start else -OVERRUN
    for x in (left, right):
        yield line((x, start + (GAP if y > start else -GAP)), (x, y + beyond), look.narrow, None)
    yield line((left, y), (right, y), look.narrow, None)
    yield _arrow((left, y), (1, 0))
    yield _arrow((right, y), (-1, 0))
    breadth = len(words) * GLYPH * look.size
    middle = (left + right) / 2 if end is None else min((left + right) / 2, end - breadth / 2)
    if breadth > right - left:  # the value is wider than its measure: no line runs through it
        ground = y - LIFT - look.size * 0.85
        yield svg.Rect(x=round(middle - breadth / 2, 2), y=ground, width=breadth, height=look.size, fill=PAPER)
    yield written(words, (middle, y - LIFT), look.size, "middle")


def upright_measure(top: float, bottom: float, start: float, x: float, words: str, look: Look) -> Iterator[svg.Element]:
    """A measure upwards at `x`, to the left of where its extension lines come from; its value reads from the right."""
    for y in (top, bottom):
        yield line((start - GAP, y), (x - OVERRUN, y), look.narrow, None)
    yield line((x, top), (x, bottom), look.narrow, None)
    yield _arrow((x, top), (0, 1))
    yield _arrow((x, bottom), (0, -1))
    yield written(words, (x - LIFT, (top + bottom) / 2), look.size, "middle", turned=True)


def written(words: str, at: Place, size: float, anchor: str = "start", *, turned: bool = False) -> svg.Element:
    """Words at a place, escaped; `turned` to read from the right."""
    x, y = round(at[0], 2), round(at[1], 2)
    return svg.Text(
        x=x,
        y=y,
        text=safe(words),
        font_family=FONT,
        font_size=size,
        text_anchor="middle" if anchor == "middle" else "start",
        fill=INK,
        transform=[svg.Rotate(-90, x, y)] if turned else None,
    )


def _arrow(tip: Place, way: Place) -> svg.Element:
    across, down = way
    base = (tip[0] + across * ARROW, tip[1] + down * ARROW)
    one = (base[0] - down * HALF_ARROW, base[1] + across * HALF_ARROW)
    other = (base[0] + down * HALF_ARROW, base[1] - across * HALF_ARROW)
    return svg.Polygon(points=[svg.Point(round(a, 2), round(b, 2)) for a, b in (tip, one, other)], fill=INK)
