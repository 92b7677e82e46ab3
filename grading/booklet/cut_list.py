"""The cut list: by cloth, largest first, a box to tick for each row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from reportlab.platypus import Flowable

from grading.booklet.edition import Edition
from grading.booklet.pages import part, section
from grading.booklet.papers import Papers, SizePapers
from grading.booklet.tables import Column, Tick, ruled
from grading.booklet.typography import paragraph, sentence, words
from grading.document import Pattern

Json = Mapping[str, Any]
COLUMNS = (
    Column("", breadth=5.6),
    Column("Letter", breadth=10),
    Column("Piece", share=1),
    Column("Cut", breadth=16),
    Column("Across × along the grain", breadth=37, right=True),
    Column("Allowance", breadth=15.5),
    Column("From", breadth=16),
    Column("Goes with", breadth=18),
    Column("Step", breadth=8.5, right=True),
)
READING = (
    "Across is across the grain of the cloth, along is along it; of each cloth the largest piece comes first. Pieces "
    "from measures are drawn on the cloth with ruler and square; pieces from a template need the printed sheet. Where "
    "the allowance is included, cut on the line; where it is none, the piece ends inside the seams, or is a strip "
    "that is cut as it is."
)


def cut_list(papers: Papers, size: SizePapers, edition: Edition, key: str, across: float) -> Iterator[Flowable]:
    """The cut list of a size, a table for each cloth."""
    pattern = papers.resolved(size)
    yield from section("Cut list", f"{key} cut list", room=65)
    yield paragraph(READING)
    rows: dict[str, list[Json]] = {}
    for row in size.grade["cut_list"]:
        rows.setdefault(row["material"], []).append(row)
    for material, listed in rows.items():
        says = pattern.materials[material].says
        title = sentence(words(material)) + (f": {edition.prose(says)}" if says else "")
        yield from part(title)
        yield ruled(COLUMNS, [_cells(row, size.grade, pattern, edition) for row in listed], across)


def _cells(row: Json, grade: Json, pattern: Pattern, edition: Edition) -> list[Any]:
    partners = partners_of(row, grade)
    return [
        Tick(),
        row["letter"],
        [paragraph(words(row["piece"]), "cell"), *_notes(row, pattern, edition)],
        count_of(row),
        f"{edition.length(row['across'])} × {edition.length(row['along'])}",
        row["allowance"],
        row["kind"],
        ", ".join(words(each) for each in partners) or "–",
        "–" if row["step"] is None else str(row["step"]),
    ]


def count_of(row: Json) -> str:
    """How many are cut: "2 + 2 mirrored"."""
    return f"{row['count']} + {row['mirrored']} mirrored" if row["mirrored"] else str(row["count"])


def partners_of(row: Json, grade: Json) -> list[str]:
    """The other layers that are cut for the same piece: its lining, its foam, its interfacing."""
    return [
        other["layer"]
        for other in grade["cut_list"]
        if other["letter"] == row["letter"] and other["layer"] != row["layer"]
    ]


def _notes(row: Json, pattern: Pattern, edition: Edition) -> list[Flowable]:
    text = "; ".join(note for note in _remarks(row, pattern, edition) if note)
    return [paragraph(text, "small")] if text else []


def _remarks(row: Json, pattern: Pattern, edition: Edition) -> Iterator[str]:
    def box(measures: Json) -> str:
        return f"{edition.length(measures['across'])} × {edition.length(measures['along'])}"

    if row["trim"] is not None:
        yield f"cut roughly to this, trim to {box(row['trim'])}"
    if (row["finished"]["across"], row["finished"]["along"]) != (row["across"], row["along"]):
        yield f"finished {box(row['finished'])}"
    if row["on_fold"] is not None:
        yield f"on the fold: {box(row['on_fold'])} on doubled cloth"
    if row["strips"] is not None:
        strips = row["strips"]
        yield f"joined from {strips['count']} strips, {edition.length(strips['total'])} in all with {_joins(strips)}"
    if row["grain"] != "along" and row["layer"] != "strip":
        yield "on the bias" if row["grain"] == "bias" else "grain runs across the drawing"
    elif row["layer"] == "strip":
        yield f"strip cut {row['grain']}" if row["grain"] == "straight" else "strip cut on the bias"
    if len(row["uses"]) > 1:
        yield ", ".join(words(use) for use in row["uses"])
    yield from _layer_remarks(row, pattern, edition)


def _joins(strips: Json) -> str:
    return "1 join" if strips["joins"] == 1 else f"{strips['joins']} joins"


def _layer_remarks(row: Json, pattern: Pattern, edition: Edition) -> Iterator[str]:
    piece = pattern.pieces.get(row["piece"])
    for layer in () if piece is None else piece.layers:
        if (layer.name or layer.material) == row["layer"]:
            if layer.face == "down":
                yield "right side down"
            if layer.says:
                yield edition.prose(layer.says)
