"""Cutting layouts as pictures: the cloth with its selvages, every piece to scale, and where each begins.

The cloth runs from left to right, its cut end at the left; the left selvage (x = 0) is at the top. Lines follow the
engineering drawing's habit (ISO 128): wide for what is cut, narrow for measures and hatching, dash-dot for a fold.
Floats, to look at; the numbers are those of the layouts' document.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import svg

from grading.drawing.cut_path import millimetres
from grading.drawing.strokes import GLYPH, NARROW, PAPER, SMALL, TEXT, Frame, line, safe, text
from grading.pictures.ground import ground
from grading.pictures.laid_piece import laid_piece

BREADTH = 1000.0
"""Width of a picture in its own units."""
MARGIN = 60.0
HEAD, FOOT = 88.0, 52.0
MOST_ACROSS = 620.0
"""How much of a picture's height one cloth may take."""
LEAST_SCALE = 0.02
DIRECTIONS = {"any": "any direction", "two-way": "two-way", "one-way": "one-way"}


def layout_picture(
    layouts: Mapping[str, Any], grade: Mapping[str, Any] | None = None, material: str | None = None
) -> str:
    """An SVG picture of all cloths of a layouts document, or of one material's.

    With the document of its grade, pieces are drawn by their cut lines and not only as rectangles. Raises KeyError for
    a material that has no layout.
    """
    chosen = layouts["cloths"] if material is None else {material: layouts["cloths"][material]}
    elements: list[svg.Element] = []
    top = 0.0
    for role, cloth in chosen.items():
        drawn, height = _cloth(role, cloth, grade, top)
        elements += drawn
        top += height
    size = layouts["size"]["name"] or "a size of its own"
    title = f"{layouts['pattern']}, {size}: cutting layout"
    paper = svg.Rect(x=0, y=0, width=BREADTH, height=max(top, HEAD), fill=PAPER)
    view = svg.ViewBoxSpec(0, 0, BREADTH, round(max(top, HEAD), 2))
    return str(svg.SVG(viewBox=view, elements=[svg.Title(text=safe(title)), paper, *elements])) + "\n"


def _cloth(
    role: str, cloth: Mapping[str, Any], grade: Mapping[str, Any] | None, top: float
) -> tuple[list[svg.Element], float]:
    """One cloth below `top`, and the height that it takes."""
    sheets = int(cloth.get("sheets", 0))
    width = millimetres(cloth["width"])
    length = max(millimetres(cloth["length"]), 1.0)
    scale = min((BREADTH - 2 * MARGIN) / length, MOST_ACROSS / width)
    elements = [*_headline(role, cloth, top)]
    down = top + HEAD
    counts = Counter((piece["letter"], piece["layer"]) for piece in cloth["pieces"])
    for number in range(max(sheets, 1)):
        frame = Frame(MARGIN, down, max(scale, LEAST_SCALE))
        laid = [piece for piece in cloth["pieces"] if piece.get("sheet", 0) == number]
        elements += ground(cloth, frame, (width, length), number if sheets else None)
        for piece in laid:
            elements += laid_piece(piece, frame, grade, counts[piece["letter"], piece["layer"]])
        elements += _measures(laid, frame, (width, length))
        down += frame.size(width) + FOOT
    return elements, down - top


def _headline(role: str, cloth: Mapping[str, Any], top: float) -> Iterator[svg.Element]:
    says = f": {cloth['says']}" if cloth.get("says") else ""
    yield text(f"{role}{says}", (MARGIN, top + 26), 17, bold=True)
    lies = "folded along its length, right sides together, fold at the top" if cloth["style"] == "folded" else "single"
    facts = [f"usable width {cloth['usable_width']}", f"{lies}, right side up" if lies == "single" else lies]
    facts.append(DIRECTIONS[cloth["direction"]])
    if cloth.get("buy", {}).get("length"):
        facts.append(f"laid on {cloth['length']}, buy {cloth['buy']['length']}")
    yield text("; ".join(facts), (MARGIN, top + 45), TEXT)
    yield text(
        f"{cloth['above']}. Measure your cloth before cutting; usable width tested: ________", (MARGIN, top + 62), TEXT
    )


def _measures(laid: Sequence[Mapping[str, Any]], frame: Frame, size: tuple[float, float]) -> Iterator[svg.Element]:
    """Running positions from the cut end, below the cloth: where pieces begin; those that would touch are left out."""
    width, length = size
    bottom = frame.at((width, 0))[1]
    starts = sorted({(millimetres(piece["y"]), piece["y"]) for piece in laid if millimetres(piece["y"]) < length})
    last = float("-inf")
    for along, words in starts:
        x = frame.at((0, along))[0]
        yield line((x, bottom), (x, bottom + 6), NARROW, None)
        if x - last > len(words) * SMALL * GLYPH + 6:
            yield text(words, (x, bottom + 32), SMALL)
            last = x
