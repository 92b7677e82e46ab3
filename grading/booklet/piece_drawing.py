"""A piece as a small drawing: cut line, stitching line, notches, lines, grain; in millimetres of paper."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from grading.drawing.box import Box, around
from grading.drawing.cut_path import Place, cut_points, millimetres, place
from grading.drawing.scene import Line, Mark, Polyline, Scene, Words
from grading.pictures.stitching_path import along_points, edge_points, stitching_points

Json = Mapping[str, Any]
LARGEST, LEAST_SCALE = 0.3, 0.001
"""No piece is drawn larger than 3 : 10, so that small pieces look small beside large ones."""
NOTCH, LETTER, MARGIN = 1.2, 5.0, 1.5
KINDS: Mapping[str, str] = {
    "placement": "thin",
    "quilting": "dots",
    "topstitching": "dots",
    "fold": "chain",
    "pleat": "chain",
}


def piece_drawing(piece: Json, kinds: Mapping[str, str], grain: str, room: Place) -> tuple[Scene, Place]:
    """The drawing of a piece of a grade within a room of so many mm, and how large it comes out.

    `kinds` are those of its lines.
    """
    cut = cut_points(piece)
    box = around(cut)
    wide, high = max(box.width, 0.1), max(box.height, 0.1)
    scale = max(min((room[0] - 2 * MARGIN) / wide, (room[1] - 2 * MARGIN) / high, LARGEST), LEAST_SCALE)

    def at(point: Place) -> Place:
        return (point[0] - box.left) * scale + MARGIN, (point[1] - box.low) * scale + MARGIN

    marks = [
        Polyline(tuple(at(point) for point in cut), "narrow", "cut", closed=True),
        Polyline(tuple(at(point) for point in stitching_points(piece)), "thin", "stitching", closed=True),
        *_lines(piece, kinds, at),
        *_notches(piece, at),
        *_grain(piece["letter"], grain, Box(*at((box.left, box.low)), *at((box.right, box.top)))),
    ]
    return Scene(tuple(marks)), (box.width * scale + 2 * MARGIN, box.height * scale + 2 * MARGIN)


def _lines(piece: Json, kinds: Mapping[str, str], at: Any) -> Iterator[Mark]:
    for name, line in piece["lines"].items():
        style = KINDS.get(kinds.get(name, "placement"), "thin")
        yield Line(at(place(line["from"])), at(place(line["to"])), style, "lines")


def _notches(piece: Json, at: Any) -> Iterator[Mark]:
    """Short strokes across the stitching line, towards the cut line."""
    edges = edge_points(piece)
    for notch in piece["notches"].values():
        points = edges[notch["edge"]]
        distance = millimetres(notch["at"])
        here, near = along_points(points, distance), along_points(points, distance + 0.5)
        if near == here:
            near, here = here, along_points(points, distance - 0.5)
        step = max(((near[0] - here[0]) ** 2 + (near[1] - here[1]) ** 2) ** 0.5, 1e-9)
        # Outlines run clockwise, so that the cloth's edge lies on their left.
        out = (-(near[1] - here[1]) / step, (near[0] - here[0]) / step)
        x, y = at(along_points(points, distance))
        yield Line((x, y), (x + NOTCH * out[0], y + NOTCH * out[1]), "narrow", "notches")


def _grain(letter: str, grain: str, box: Box) -> Iterator[Mark]:
    x, y = box.middle
    size = min(LETTER, box.height * 0.5, box.width * 0.6 / len(letter))
    yield Words(letter, (x, y - size * 0.36), size, "middle", bold=True)
    length = 0.62 * (box.width if grain == "across" else box.height)
    if min(box.width, box.height) < 7 or length < 6:
        return
    reach, head = length / 2, 1.4
    side = size * (0.5 * len(letter) + 0.5)
    if grain == "across":
        y -= size * 0.9
        ends = ((x - reach, y), (x + reach, y))
        tips = (((head, 0.5), (head, -0.5)), ((-head, 0.5), (-head, -0.5)))
    elif grain == "bias":
        part = min(box.width, box.height) * 0.3
        ends = ((x - part, y - part), (x + part, y + part))
        tips = (((head, 0.3), (0.3, head)), ((-head, -0.3), (-0.3, -head)))
    else:
        x += side
        if x > box.right - 1:
            return
        ends = ((x, y - reach), (x, y + reach))
        tips = (((0.5, head), (-0.5, head)), ((0.5, -head), (-0.5, -head)))
    yield Line(*ends, "narrow", "grain")
    for end, pair in zip(ends, tips, strict=True):
        corners = tuple((end[0] + by[0], end[1] + by[1]) for by in ((0.0, 0.0), *pair))
        yield Polyline(corners, "narrow", "grain", closed=True, filled=True)
