"""Layouts: each cloth with its drawing, what to know before cutting, and where every piece lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from reportlab.platypus import Flowable, KeepTogether

from grading.booklet.edition import Edition
from grading.booklet.figures import Figure
from grading.booklet.layout_drawing import layout_drawing
from grading.booklet.pages import section
from grading.booklet.papers import SizePapers
from grading.booklet.tables import Cell, Column, Tick, ruled
from grading.booklet.typography import paragraph, sentence, words
from grading.drawing.cut_path import millimetres

Json = Mapping[str, Any]
NO_LAYOUTS = (
    "No cutting layout is in this booklet, so the supplies do not count the cloth: lay the pieces of the cut list on "
    "your cloth before you buy or cut, the largest first."
)
MEASURE = "Measure your cloth before cutting."
ABOVE = 38.0
"""Height in mm of a heading and of what is told of a cloth above its drawing."""
TESTED = "Usable width of my cloth: ____________   My cloth is: single / folded"
COLUMNS = (
    Column("", breadth=5.6),
    Column("Letter", breadth=11),
    Column("Piece", share=1),
    Column("From the cut end", breadth=27, right=True),
    Column("From the left", breadth=27, right=True),
    Column("Across × along as laid", breadth=42, right=True),
    Column("Turned", breadth=14, right=True),
)
FROM_FOLD = (*COLUMNS[:4], Column("From the fold", breadth=27, right=True), *COLUMNS[5:])
DIRECTIONS: Mapping[str, str] = {
    "any": "pieces may be turned",
    "two-way": "pieces may be turned upside down",
    "one-way": "all tops lie the same way, as the arrow shows",
}


def layouts(size: SizePapers, edition: Edition, key: str, across: float) -> Iterator[Flowable]:
    """The layouts of a size, a drawing and a table for each cloth."""
    if size.layouts is None:
        yield from section("Layouts", f"{key} layouts")
        yield paragraph(size.unlaid or NO_LAYOUTS)
        return
    cloths = size.layouts["cloths"]
    drawings = {role: [*layout_drawing(cloth, size.grade, edition, across)] for role, cloth in cloths.items()}
    first = next(iter(drawings.values()), [])
    yield from section("Layouts", f"{key} layouts", room=ABOVE + sum(height for _, height in first[:1]))
    for role, cloth in cloths.items():
        figures = [Figure(drawn, across, height) for drawn, height in drawings[role]]
        yield from _cloth(role, cloth, figures, edition, across)
    for left in size.layouts["without"]:
        says = f" ({edition.prose(left['says'])})" if left["says"] else ""
        yield paragraph(f"{sentence(words(left['material']))}{says} is not laid out: no usable width is known.", "note")


def _cloth(role: str, cloth: Json, figures: Sequence[Flowable], edition: Edition, across: float) -> Iterator[Flowable]:
    says = f": {edition.prose(cloth['says'])}" if cloth["says"] else ""
    head = [
        paragraph(sentence(words(role)) + says, "part"),
        paragraph("; ".join(_facts(cloth, edition)) + "."),
        paragraph(f"{MEASURE} {TESTED}", "small"),
    ]
    yield KeepTogether([*head, *figures[:1]])
    yield from figures[1:]
    columns = FROM_FOLD if cloth["style"] == "folded" else COLUMNS
    yield ruled(columns, [_cells(piece, edition) for piece in _in_order(cloth)], across)
    for cut in cloth.get("cuts") or ():
        yield paragraph(edition.prose(cut), "note")
    if cloth.get("hurried"):
        yield paragraph(cloth["hurried"], "note")


def _in_order(cloth: Json) -> list[Json]:
    """The pieces from the cut end on, and from the left selvage or the fold."""

    def place(piece: Json) -> tuple[int, float, float]:
        return piece.get("sheet", 0), millimetres(piece["y"]), millimetres(piece["x"])

    return sorted(cloth["pieces"], key=place)


def _facts(cloth: Json, edition: Edition) -> Iterator[str]:
    yield f"Usable width {edition.length(cloth['usable_width'])}"
    if cloth["washed_width"] != cloth["usable_width"]:
        yield f"{edition.length(cloth['washed_width'])} when washed"
    if cloth["style"] == "folded":
        yield "folded along its length, right sides together"
    else:
        yield "single, right side up" + (", cut with a rotary cutter" if cloth["style"] == "rotary" else "")
    yield DIRECTIONS[cloth["direction"]]
    if "repeat" in cloth:
        sides = [f"{edition.length(length)} {side}" for side, length in cloth["repeat"].items()]
        yield f"the print repeats every {', '.join(sides)}"
    buy = cloth["buy"]
    if "sheets" in buy:
        yield f"{buy['sheets']} {'sheet' if buy['sheets'] == 1 else 'sheets'} to buy"
    else:
        yield f"laid on {edition.length(cloth['length'])}, to buy {edition.length(buy['length'])}"
        yield f"{edition.length(buy['spare'])} of it to spare"
    yield cloth["above"]


def _cells(piece: Json, edition: Edition) -> list[Cell]:
    note = ", ".join(_notes(piece, edition))
    name = words(piece["piece"])
    return [
        Tick(),
        piece["letter"],
        f"{name}, {note}" if note else name,
        edition.length(piece["y"]),
        edition.length(piece["x"]),
        f"{edition.length(piece['across'])} × {edition.length(piece['along'])}",
        f"{piece['turned']}°" if piece["turned"] else "–",
    ]


def _notes(piece: Json, edition: Edition) -> Iterator[str]:
    if "sheet" in piece:
        yield f"sheet {piece['sheet'] + 1}"
    if piece["kind"] == "strip":
        yield "strip"
    if piece["mirrored"]:
        yield "mirrored"
    if piece.get("on_fold"):
        yield "on the fold"
    if piece.get("pair"):
        yield "two at a time"
    if "nested" in piece:
        yield f"nested, pair {piece['nested']}"
    if "bias" in piece:
        bias = piece["bias"]
        strips = "1 strip" if bias["strips"] == 1 else f"{bias['strips']} strips"
        yield f"{strips} on the bias, {edition.length(bias['width'])} wide, {edition.length(bias['centre'])} each"
