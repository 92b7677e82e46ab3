"""Both sides of a seam to one scale: their stitching lines laid straight, one below the other, from the seam's start.

Each part of a side ends at a short stroke and has its number; notches are wedges on the side of their piece, and those
that must meet are joined by a dashed line. Lines as in ISO 128, the ease measured as in ISO 129-1. Floats, to look at;
the lengths are those of the grade.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count
from textwrap import wrap

import svg

from grading.drawing.cut_path import Place, millimetres
from grading.drawing.strokes import INK, PAPER, line, safe
from grading.pictures.bag_document import Json, SizedBag
from grading.pictures.bag_measures import GLYPH, Look, across_measure, written
from grading.pictures.seam_sides import Entry, notches_on, seam_side

BREADTH, EDGE = 480.0, 20.0
LOOK = Look(size=16.0)
ROW = 22.0
APART = 72.0
"""Between the two sides, with room for what is written of both."""
LETTERS = 50
"""Letters in a row of words."""
DIFFERENCE = 0.05
"""Millimetres from which two sides are drawn as of different length."""


@dataclass(frozen=True)
class _Side:
    """One side: its parts, its notches as they are named and lie, its length as printed, where it is drawn."""

    entries: tuple[Entry, ...]
    notches: dict[str, float]
    length: str
    above: bool


def seam_picture(pattern: Json, grade: Json, seam: str) -> str:
    """An SVG picture of the two sides of a seam. Raises KeyError for a seam that the grade does not have."""
    printed = grade["seams"][seam]
    bag = SizedBag(pattern, grade)
    sides = [_side(bag, seam, side, printed[side]) for side in ("join", "to")]
    longest = max(side.entries[-1].end for side in sides) or 1.0
    scale = (BREADTH - 2 * EDGE) / longest
    heads = [_head(side) for side in sides]
    top = ROW * len(heads[0]) + 2 * ROW
    lower = top + APART
    elements: list[svg.Element] = []
    elements += _rows(heads[0], ROW)
    elements += _meeting(bag.parts("seams")[seam].get("notches", []), sides, scale, (top, lower))
    elements += _line(sides[0], scale, top)
    elements += _line(sides[1], scale, lower)
    bottom = lower + 2 * ROW
    ends = sorted(side.entries[-1].end * scale + EDGE for side in sides)
    if ends[1] - ends[0] > DIFFERENCE * scale and millimetres(printed["ease"]):
        words = f"to be eased in: {printed['ease'].removeprefix('-')}"
        elements += across_measure(ends[0], ends[1], lower, bottom + ROW, words, LOOK, BREADTH - EDGE)
        bottom += 1.6 * ROW
    elements += _rows(heads[1], bottom + ROW)
    height = bottom + ROW * (len(heads[1]) + 1)
    title = svg.Title(text=safe(f"{grade['pattern']}: both sides of the seam {_words(seam)}"))
    told = svg.Desc(text=safe(" ".join((*heads[0], *heads[1]))))
    paper = svg.Rect(x=0, y=0, width=BREADTH, height=height, fill=PAPER)
    view = svg.ViewBoxSpec(0, 0, BREADTH, round(height, 2))
    return str(svg.SVG(viewBox=view, elements=[title, told, paper, *elements])) + "\n"


def _side(bag: SizedBag, seam: str, side: str, length: str) -> _Side:
    entries = seam_side(bag, seam, side)
    return _Side(entries, dict(notches_on(bag, entries)), length, side == "join")


def _words(name: str) -> str:
    return name.replace("_", " ")


def _head(side: _Side) -> list[str]:
    """What a side is made of, in words, numbered where it has several parts."""
    names = [f"{_words(entry.use)} {_words(entry.name)}" for entry in side.entries]
    parts = names if len(names) == 1 else [f"{number} {name}" for number, name in zip(count(1), names, strict=False)]
    return wrap(f"{', '.join(parts)}: {side.length}", LETTERS)


def _rows(words: Sequence[str], first: float) -> Iterator[svg.Element]:
    for number, row in enumerate(words):
        yield written(row, (EDGE, first + ROW * number), LOOK.size)


def _line(side: _Side, scale: float, y: float) -> Iterator[svg.Element]:
    end = EDGE + side.entries[-1].end * scale
    yield line((EDGE, y), (end, y), LOOK.wide, None)
    for at in {0.0, *(entry.end for entry in side.entries)}:
        x = EDGE + at * scale
        yield line((x, y - 7), (x, y + 7), LOOK.narrow, None)
    if len(side.entries) > 1:
        yield from _numbers(side, scale, y)
    for at in sorted(set(side.notches.values())):
        yield _wedge((EDGE + at * scale, y), side.above)


def _numbers(side: _Side, scale: float, y: float) -> Iterator[svg.Element]:
    below = y - 17 if side.above else y + 17 + LOOK.size * 0.7
    for number, entry in enumerate(side.entries, 1):
        if (entry.end - entry.start) * scale > len(str(number)) * GLYPH * LOOK.size:
            yield written(str(number), (EDGE + (entry.start + entry.end) / 2 * scale, below), LOOK.size, "middle")


def _wedge(at: Place, above: bool) -> svg.Element:
    """A notch: a wedge into the piece, which lies above the upper side and below the lower one."""
    (x, y), up = at, -1 if above else 1
    points = [svg.Point(round(a, 2), round(b, 2)) for a, b in ((x, y), (x - 5, y + up * 11), (x + 5, y + up * 11))]
    return svg.Polygon(points=points, fill=INK)


def _meeting(
    pairs: Sequence[Sequence[str]], sides: Sequence[_Side], scale: float, heights: tuple[float, float]
) -> Iterator[svg.Element]:
    """A dashed line between each two notches that must meet."""
    for pair in pairs:
        ends = [side.notches.get(name) for side, name in zip(sides, pair, strict=True)]
        if ends[0] is not None and ends[1] is not None:
            yield line((EDGE + ends[0] * scale, heights[0]), (EDGE + ends[1] * scale, heights[1]), LOOK.narrow, "7 4")
