"""One piece on the cloth: its cut line, its letter and measures, and which way its top lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

import svg

from grading.drawing.cut_path import Place, millimetres
from grading.drawing.placed import laid_outline
from grading.drawing.strokes import GLYPH, INK, NARROW, PAPER, SMALL, THIN, WIDE, Frame, text

LETTER = 22.0
"""The size of a piece's letter where there is room."""


def laid_piece(
    piece: Mapping[str, Any], frame: Frame, grade: Mapping[str, Any] | None, count: int
) -> Iterator[svg.Element]:
    """What is drawn of one piece of a layout, one of `count` alike."""
    corner = (millimetres(piece["x"]), millimetres(piece["y"]))
    across, along = millimetres(piece["across"]), millimetres(piece["along"])
    x, y = frame.at(corner)
    wide, high = frame.size(along), frame.size(across)
    outline = laid_outline(piece, grade)
    if outline is None:
        # Boxes of a nested pair overlap: neither hides the other.
        fill = "none" if "nested" in piece else PAPER
        yield svg.Rect(x=x, y=y, width=wide, height=high, fill=fill, stroke=INK, stroke_width=WIDE)
    else:
        if "nested" not in piece:
            yield svg.Rect(
                x=x, y=y, width=wide, height=high, fill="none", stroke=INK, stroke_width=THIN, stroke_dasharray=[2, 3]
            )
        points = [svg.Point(*frame.at(point)) for point in outline]
        yield svg.Polygon(points=points, fill=PAPER, stroke=INK, stroke_width=WIDE)
    if piece["kind"] == "block":
        yield _slanted((x, y), (wide, high))
    room = (x, y), (wide, high)
    if outline is not None and "nested" in piece:
        room = _room([frame.at(point) for point in outline], (wide, high))
    yield from _words(piece, count, *room)
    if min(wide, high) > 40:
        yield _top_mark(int(piece["turned"]), (x, y), (wide, high))


def _room(outline: Sequence[Place], size: Place) -> tuple[Place, Place]:
    """The corner and the size of a box for words: about the centroid of a cut line, as much smaller than the box of
    this size about it as its area is.
    """
    double, moments = 0.0, [0.0, 0.0]
    for start, end in pairwise((*outline, outline[0])):
        turn = start[0] * end[1] - end[0] * start[1]
        double += turn
        moments = [moment + turn * (one + other) for moment, one, other in zip(moments, start, end, strict=True)]
    share = abs(double) / 2 / (size[0] * size[1])
    wide, high = size[0] * share, size[1] * share
    return (moments[0] / double / 3 - wide / 2, moments[1] / double / 3 - high / 2), (wide, high)


def _slanted(corner: Place, size: Place) -> svg.Element:
    """Lines at 45° through a block that is cut into bias strips."""
    (x, y), (wide, high) = corner, size
    lines: list[svg.PathData] = []
    for number in range(1, 5):
        reach = number * (wide + high) / 5
        lines += [
            svg.M(x + min(reach, wide), y + max(0.0, reach - wide)),
            svg.L(x + max(0.0, reach - high), y + min(reach, high)),
        ]
    return svg.Path(d=lines, stroke=INK, stroke_width=NARROW, fill="none")


def _words(piece: Mapping[str, Any], count: int, corner: Place, size: Place) -> Iterator[svg.Element]:
    """The letter of a piece, which copy it is, and its measures, as far as there is room in a box."""
    (x, y), (wide, high) = corner, size
    middle = (x + wide / 2, y + high / 2)
    letter = piece["letter"]
    big = min(LETTER, high * 0.8, wide / (GLYPH * len(letter)) * 0.8)
    name = str(piece["piece"]).replace("_", " ")
    copy = (
        f"{piece['copy']} of {count}"
        + (", mirrored" if piece["mirrored"] else "")
        + (", a pair" if piece.get("pair") else "")
    )
    notes = [
        each for each in (name, copy, f"{piece['across']} × {piece['along']}") if len(each) * SMALL * GLYPH < wide - 6
    ]
    rows = max(0, min(len(notes), int((high - big - 14) / 13)))
    start = middle[1] - rows * 6.5 + big * 0.35
    yield text(letter, (middle[0], start), big, anchor="middle", bold=True)
    for number, note in enumerate(notes[:rows]):
        yield text(note, (middle[0], start + 14 + 13 * number), SMALL, anchor="middle")


def _top_mark(turned: int, corner: Place, size: Place) -> svg.Element:
    """A small wedge in a piece at the side that is the top of its drawing's grain: along the cloth where not turned."""
    (x, y), (wide, high) = corner, size
    sides = {
        0: ((x + wide - 4, y + high / 2), (-7, -4), (-7, 4)),
        90: ((x + wide / 2, y + high - 4), (-4, -7), (4, -7)),
        180: ((x + 4, y + high / 2), (7, -4), (7, 4)),
        270: ((x + wide / 2, y + 4), (-4, 7), (4, 7)),
    }
    tip, one, other = sides[turned % 360]
    points = [svg.Point(tip[0] + by[0], tip[1] + by[1]) for by in ((0, 0), one, other)]
    return svg.Polygon(points=points, fill=INK)
