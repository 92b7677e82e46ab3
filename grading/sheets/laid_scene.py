"""A cloth with its pieces as a scene, in mm of paper: x to the right along the cloth, left selvage or fold above."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from grading.drawing.cut_path import Place, millimetres
from grading.drawing.fonts import breadth
from grading.drawing.placed import laid_outline
from grading.drawing.scene import Line, Mark, Polyline, Scene, Words

Json = Mapping[str, Any]
SMALL, LETTER = 2.2, 6.0
LEAST_WEDGED = 15.0
"""How far a piece reaches at least towards its top, on paper, where a wedge there does not touch its letter."""
ARROW_EVERY = 40.0
"""Between two arrows of the print's direction, in mm of paper, where no repeat says so."""
LEAST_CELL = 4.0
"""Cells of a print's repeat smaller than this on paper are not drawn."""


@dataclass(frozen=True)
class Cloth:
    """A cloth, or one sheet of it, where its cut end meets its left selvage, and how much smaller it is drawn."""

    document: Json
    grade: Json | None
    counts: Mapping[tuple[str, str], int]
    corner: Place
    scale: float
    size: tuple[float, float]
    """Width and length in mm of cloth."""
    sheet: int

    def at(self, across: float, along: float) -> Place:
        """A place of the cloth on paper."""
        return self.corner[0] + along * self.scale, self.corner[1] - across * self.scale

    @property
    def pieces(self) -> list[Json]:
        """The pieces that lie on this sheet."""
        return [piece for piece in self.document["pieces"] if piece.get("sheet", 0) == self.sheet]


def cloth_scene(cloth: Cloth) -> Scene:
    """The cloth with its print, its pieces, and where they begin."""
    marks: list[Mark] = [*_print(cloth), *_edges(cloth)]
    for piece in cloth.pieces:
        marks += _piece(cloth, piece)
    return Scene((*marks, *_beginnings(cloth)))


def _edges(cloth: Cloth) -> Iterator[Mark]:
    width, length = cloth.size
    folded = cloth.document["style"] == "folded"
    for across, name in ((0.0, "fold" if folded else "left selvage"), (width, "selvages" if folded else "selvage")):
        start, end = cloth.at(across, 0), cloth.at(across, length)
        yield Line((start[0] - 3, start[1]), (end[0] + 3, end[1]), "fold" if name == "fold" else "wide", "cloth")
        yield Words(name, (start[0], start[1] + 1.5 if across == 0 else start[1] - 3.2), SMALL)
    yield Line(cloth.at(0, 0), cloth.at(width, 0), "narrow", "cloth")
    yield Line(cloth.at(0, length), cloth.at(width, length), "dashed", "cloth")
    x, y = cloth.at(width / 2, 0)
    yield Words("cut end", (x - 1.5, y), SMALL, "middle", turned=90)


def _print(cloth: Cloth) -> Iterator[Mark]:
    """The lattice of the print's repeat at its true size, and arrows for which way the print runs."""
    width, length = cloth.size
    repeat = cloth.document.get("repeat") or {}
    steps = {way: millimetres(repeat[way]) for way in ("across", "along") if repeat.get(way)}
    for way, most in (("along", length), ("across", width)):
        step = steps.get(way, 0.0)
        for number in range(1, int(most / step) + 1 if step * cloth.scale >= LEAST_CELL else 0):
            place = step * number
            ends = ((0.0, place), (width, place)) if way == "along" else ((place, 0.0), (place, length))
            yield Line(cloth.at(*ends[0]), cloth.at(*ends[1]), "lattice", "print")
    if cloth.document["direction"] == "any":
        return
    every = max(steps.get("along", 0.0), ARROW_EVERY / cloth.scale)
    both = cloth.document["direction"] == "two-way"
    for number in range(int(length / every) + 1):
        yield from _arrow(cloth.at(width, min(every * (number + 0.5), length)), both)


def _arrow(middle: Place, both: bool) -> Iterator[Mark]:
    """An arrow below the lower selvage, along the cloth."""
    x, y = middle[0], middle[1] - 11
    yield Line((x - 5, y), (x + 5, y), "narrow", "print")
    for tip, back in ((5, -2), (-5, 2)) if both else ((5, -2),):
        points = ((x + tip, y), (x + tip + back, y + 0.8), (x + tip + back, y - 0.8))
        yield Polyline(points, "narrow", "print", closed=True, filled=True)


def _piece(cloth: Cloth, piece: Json) -> Iterator[Mark]:
    x, y = millimetres(piece["x"]), millimetres(piece["y"])
    across, along = millimetres(piece["across"]), millimetres(piece["along"])
    outline = laid_outline(piece, cloth.grade)
    corners = ((x, y), (x, y + along), (x + across, y + along), (x + across, y))
    nested = "nested" in piece
    if outline is not None and not nested:
        yield Polyline(tuple(cloth.at(*corner) for corner in corners), "grey", "box", closed=True)
    yield Polyline(tuple(cloth.at(*point) for point in outline or corners), "cut", "cut", closed=True)
    left, low = cloth.at(x + across, y)
    wide, high = along * cloth.scale, across * cloth.scale
    if piece["kind"] == "block":
        yield from _slanted((left, low), (wide, high))
    middle = (
        _middle([cloth.at(*point) for point in outline]) if outline and nested else (left + wide / 2, low + high / 2)
    )
    yield from _words(piece, cloth.counts[piece["letter"], piece["layer"]], (wide, high), middle)
    if not nested and (wide if int(piece["turned"]) % 180 == 0 else high) > LEAST_WEDGED:
        yield _top(piece["turned"], (left, low), (wide, high))


def _slanted(low: Place, size: Place) -> Iterator[Mark]:
    """Lines at 45° through a block that is cut into bias strips."""
    (x, y), (wide, high) = low, size
    for number in range(1, 5):
        reach = number * (wide + high) / 5
        start = (x + min(reach, wide), y + max(0.0, reach - wide))
        yield Line(start, (x + max(0.0, reach - high), y + min(reach, high)), "thin", "cut")


def _middle(points: Sequence[Place]) -> Place:
    """The centroid of a polygon."""
    pairs = list(zip(points, [*points[1:], points[0]], strict=True))
    areas = [a[0] * b[1] - b[0] * a[1] for a, b in pairs]
    whole = 3 * sum(areas)
    x = sum((a[0] + b[0]) * area for (a, b), area in zip(pairs, areas, strict=True))
    y = sum((a[1] + b[1]) * area for (a, b), area in zip(pairs, areas, strict=True))
    return x / whole, y / whole


def _words(piece: Json, count: int, size: Place, at: Place) -> Iterator[Mark]:
    """Letter, name, copy and measures of a piece about a place, as far as there is room."""
    wide, high = size
    letter = str(piece["letter"])
    big = min(LETTER, high * 0.7, wide * 0.7 / breadth(letter, 1.0, bold=True))
    copy = f"{piece['copy']} of {count}" + (", mirrored" if piece["mirrored"] else "")
    told = (str(piece["piece"]).replace("_", " "), copy + (", a pair" if piece.get("pair") else ""))
    notes = [each for each in (*told, f"{piece['across']} × {piece['along']}") if breadth(each, SMALL) < wide - 6]
    notes = notes[: max(0, int((high - big - 3) / (SMALL * 1.35)))]
    middle = (at[0], at[1] + len(notes) * SMALL * 0.68)
    yield Words(letter, (middle[0], middle[1] - big * 0.36), big, "middle", bold=True)
    for number, note in enumerate(notes, 1):
        yield Words(note, (middle[0], middle[1] - big * 0.45 - number * SMALL * 1.35), SMALL, "middle")


def _top(turned: int, low: Place, size: Place) -> Mark:
    """A wedge at the side that is the top of the piece's drawing: to the right where it is not turned."""
    (x, y), (wide, high) = low, size
    tips = {
        0: ((x + wide - 0.8, y + high / 2), (-1.8, 1), (-1.8, -1)),
        90: ((x + wide / 2, y + 0.8), (-1, 1.8), (1, 1.8)),
        180: ((x + 0.8, y + high / 2), (1.8, 1), (1.8, -1)),
        270: ((x + wide / 2, y + high - 0.8), (-1, -1.8), (1, -1.8)),
    }
    tip, *backs = tips[int(turned) % 360]
    return Polyline((tip, *((tip[0] + a, tip[1] + b) for a, b in backs)), "narrow", "cut", closed=True, filled=True)


def _beginnings(cloth: Cloth) -> Iterator[Mark]:
    """Where pieces begin along the cloth, below it; those that would touch are left out."""
    last = float("-inf")
    width, length = cloth.size
    for along, says in sorted({(millimetres(piece["y"]), piece["y"]) for piece in cloth.pieces}):
        if along >= length:
            continue
        x, y = cloth.at(width, along)
        yield Line((x, y), (x, y - 1.5), "thin", "measures")
        if x - last > breadth(says, SMALL) + 2:
            yield Words(says, (x, y - 7.0), SMALL)
            last = x
