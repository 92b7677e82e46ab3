"""A cutting layout as a drawing in millimetres of paper: the cloth runs from left to right, its cut end at the left.

The left selvage, or the fold, is at the top.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from grading.booklet.edition import Edition
from grading.booklet.typography import words
from grading.drawing.cut_path import Place, millimetres
from grading.drawing.fonts import breadth
from grading.drawing.placed import laid_outline
from grading.drawing.scene import Line, Mark, Polyline, Scene, Words

Json = Mapping[str, Any]
MOST_DEEP, MOST_SCALE, LEAST_SCALE = 82.0, 0.35, 0.002
"""How deep one cloth may be on paper, in mm, and the scales between which it is drawn."""
OVER, UNDER, LEFT, RIGHT = 5.0, 6.0, 4.0, 15.0
"""Room in mm around the cloth, for what is written beside it."""
LETTER, CAPTION = 4.4, 1.9
QUARTER, WHOLE_TURN = 90, 360
SIDES = ("right", "low", "left", "top")
LEAST_WEDGED = 6.0
"""Breadth in mm of the narrowest piece that has a wedge."""


@dataclass(frozen=True)
class Cloth:
    """One cloth, or one sheet of it, as it lies on paper; `corner` is where its left selvage meets its cut end.

    It runs from left to right with the left selvage above, or `upright`: from the cut end upwards, that selvage left.
    """

    document: Json
    scale: float
    corner: Place
    length: float
    width: float
    upright: bool

    def at(self, across: float, along: float) -> Place:
        """A place on the cloth in the drawing."""
        x, y = self.corner
        if self.upright:
            return x + across * self.scale, y + along * self.scale
        return x + along * self.scale, y - across * self.scale

    def side(self, turned: int) -> str:
        """The side of a piece at which its top lies when it is turned so far clockwise on the cloth."""
        return SIDES[(turned % WHOLE_TURN // QUARTER - (1 if self.upright else 0)) % len(SIDES)]

    @property
    def edges(self) -> dict[str, tuple[Place, Place]]:
        """The two ends of each edge of the cloth, from left to right or upwards."""
        start, end = self.at(0, 0), self.at(0, self.length)
        far_start, far_end = self.at(self.width, 0), self.at(self.width, self.length)
        return {"left": (start, end), "right": (far_start, far_end), "cut": (start, far_start), "end": (end, far_end)}


def layout_drawing(cloth: Json, grade: Json, edition: Edition, across: float) -> Iterator[tuple[Scene, float]]:
    """A drawing for each sheet of a layout, or one of a length of cloth, and how high each is."""
    width, length = millimetres(cloth["width"]), max(millimetres(cloth["length"]), 1.0)
    sheets = int(cloth.get("sheets", 0))
    if sheets:
        length /= sheets
    drawn = _placed(cloth, length, width, across)
    height = OVER + UNDER + (length if drawn.upright else width) * drawn.scale
    counts = Counter((piece["letter"], piece["layer"]) for piece in cloth["pieces"])
    for number in range(max(sheets, 1)):
        laid = [piece for piece in cloth["pieces"] if piece.get("sheet", 0) == number]
        marks = [*_ground(drawn, number if sheets else None)]
        for piece in laid:
            marks += _piece(piece, drawn, grade, counts[piece["letter"], piece["layer"]])
        yield Scene((*marks, *_positions(laid, drawn, edition))), height


def _placed(cloth: Json, length: float, width: float, across: float) -> Cloth:
    """The cloth upright or lying, whichever is drawn larger."""
    room = across - LEFT - RIGHT
    lying = min(room / length, MOST_DEEP / width, MOST_SCALE)
    upright = min(room / width, MOST_DEEP / length, MOST_SCALE)
    scale = max(lying, upright, LEAST_SCALE)
    corner = (LEFT, UNDER) if upright > lying else (LEFT, UNDER + width * scale)
    return Cloth(cloth, scale, corner, length, width, upright > lying)


def _ground(cloth: Cloth, sheet: int | None) -> Iterator[Mark]:
    folded = cloth.document["style"] == "folded"
    for name, (start, end) in cloth.edges.items():
        style = "fold" if name == "left" and folded else "thin" if name in ("cut", "end") else "narrow"
        yield Line(start, end, style, "cloth")
    x, y = cloth.corner
    top = cloth.edges["left"][1][1]
    if sheet is not None:
        yield Words(f"sheet {sheet + 1}", (x, top + 1.2), CAPTION)
    else:
        selvage = "fold" if folded else "left selvage"
        beside, below = (
            ((x - 1.2, y), (x, y - 3.2)) if cloth.upright else ((x, y + 1.2), (x - 1.2, cloth.edges["right"][0][1]))
        )
        yield Words(selvage, beside, CAPTION, turned=90.0 if cloth.upright else 0.0)
        yield Words("cut end", below, CAPTION, turned=0.0 if cloth.upright else 90.0)
    yield from _direction(cloth)


def _direction(cloth: Cloth) -> Iterator[Mark]:
    direction = cloth.document["direction"]
    title = {"one-way": "one-way: tops this way", "two-way": "two-way", "any": "any direction"}[direction]
    (_, _), (right, top) = cloth.edges["end"] if cloth.upright else cloth.edges["left"]
    arrow = 0.0 if direction == "any" else 9.0
    if cloth.upright:
        yield Words(title, (right + 2.4, top - 1), CAPTION, "end", turned=90)
        ends = ((right + 5.0, top - arrow), (right + 5.0, top))
    else:
        yield Words(title, (right - arrow - (1.5 if arrow else 0.0), top + 1.2), CAPTION, "end")
        ends = ((right - arrow, top + 1.9), (right, top + 1.9))
    if arrow:
        yield Line(*ends, "narrow", "cloth")
        yield _tip(ends[1], "top" if cloth.upright else "right")
    if direction == "two-way":
        yield _tip(ends[0], "low" if cloth.upright else "left")


def _tip(tip: Place, towards: str, long: float = 1.6, half: float = 0.6) -> Mark:
    """A small filled wedge with its tip at a place."""
    x, y = tip
    backs = {"right": (-long, 0.0), "left": (long, 0.0), "top": (0.0, -long), "low": (0.0, long)}
    back = backs[towards]
    sides = ((0.0, half), (0.0, -half)) if back[0] else ((half, 0.0), (-half, 0.0))
    corners = (tip, *((x + back[0] + by[0], y + back[1] + by[1]) for by in sides))
    return Polyline(corners, "narrow", "cloth", closed=True, filled=True)


def _piece(piece: Json, cloth: Cloth, grade: Json, count: int) -> Iterator[Mark]:
    x, y = millimetres(piece["x"]), millimetres(piece["y"])
    across, along = millimetres(piece["across"]), millimetres(piece["along"])
    outline = laid_outline(piece, grade)
    box = ((x, y), (x, y + along), (x + across, y + along), (x + across, y))
    if outline is None:
        yield Polyline(tuple(cloth.at(*corner) for corner in box), "narrow", "cut", closed=True)
    else:
        yield Polyline(tuple(cloth.at(*corner) for corner in outline), "narrow", "cut", closed=True)
    low = cloth.at(x, y) if cloth.upright else cloth.at(x + across, y)
    size = (across * cloth.scale, along * cloth.scale) if cloth.upright else (along * cloth.scale, across * cloth.scale)
    if piece["kind"] == "block":
        yield from _slanted(low, size)
    yield from _words(piece, count, low, size)
    if min(size) > LEAST_WEDGED:
        yield _wedge(cloth.side(int(piece["turned"])), low, size)


def _slanted(low: Place, size: Place) -> Iterator[Mark]:
    """Lines at 45° through a block that is cut into bias strips."""
    (x, y), (wide, high) = low, size
    for number in range(1, 5):
        reach = number * (wide + high) / 5
        start = (x + min(reach, wide), y + max(0.0, reach - wide))
        yield Line(start, (x + max(0.0, reach - high), y + min(reach, high)), "thin", "cut")


def _words(piece: Json, count: int, low: Place, size: Place) -> Iterator[Mark]:
    """Letter, name and copy of a piece as far as there is room, and a wedge at the side that is its top."""
    (x, y), (wide, high) = low, size
    letter = piece["letter"]
    big = min(LETTER, high * 0.75, wide * 0.75 / breadth(letter, 1.0, bold=True))
    copy = (
        f"{piece['copy']} of {count}"
        + (", mirrored" if piece["mirrored"] else "")
        + (", a pair" if piece.get("pair") else "")
    )
    notes = [text for text in (words(piece["piece"]), copy) if breadth(text, CAPTION) < wide - 2]
    rows = notes[: max(0, int((high - big - 2.5) / (CAPTION * 1.3)))]
    middle = (x + wide / 2, y + high / 2 + len(rows) * CAPTION * 0.65)
    yield Words(letter, (middle[0], middle[1] - big * 0.36), big, "middle", bold=True)
    for number, text in enumerate(rows, 1):
        yield Words(text, (middle[0], middle[1] - big * 0.45 - number * CAPTION * 1.3), CAPTION, "middle")


def _wedge(side: str, low: Place, size: Place) -> Mark:
    (x, y), (wide, high) = low, size
    tips = {
        "right": (x + wide - 0.7, y + high / 2),
        "left": (x + 0.7, y + high / 2),
        "top": (x + wide / 2, y + high - 0.7),
        "low": (x + wide / 2, y + 0.7),
    }
    return _tip(tips[side], side, 1.3, 0.7)


def _positions(laid: Sequence[Json], cloth: Cloth, edition: Edition) -> Iterator[Mark]:
    """Running positions from the cut end, where pieces begin; those that would touch are in the table alone."""
    last = float("-inf")
    for along, text in sorted({(millimetres(piece["y"]), edition.length(piece["y"])) for piece in laid}):
        x, y = cloth.at(cloth.width, along)
        stroke = (x + 1.2, y) if cloth.upright else (x, y - 1.2)
        yield Line((x, y), stroke, "thin", "measures")
        here, needed = (y, CAPTION * 1.2) if cloth.upright else (x, breadth(text, CAPTION) + 1.5)
        if here - last > needed:
            yield Words(text, (x + 6.4, y - 0.4) if cloth.upright else (x, y - 3.6), CAPTION)
            last = here if cloth.upright else x
