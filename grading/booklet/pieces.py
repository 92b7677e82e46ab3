"""The pieces one by one: a small drawing, and what is needed to draw each on cloth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from reportlab.platypus import Flowable

from grading.booklet import piece_words
from grading.booklet.edition import Edition
from grading.booklet.figures import Figure
from grading.booklet.pages import section
from grading.booklet.papers import Papers, SizePapers
from grading.booklet.piece_drawing import piece_drawing
from grading.booklet.tables import Cell, Column, ruled
from grading.booklet.typography import paragraph, words
from grading.document.pieces import Piece

Json = Mapping[str, Any]
ROOM = (36.0, 30.0)
"""The greatest breadth and height of a drawing in mm."""
COLUMNS = (Column("Drawing", breadth=40), Column("Measures on the stitching line", share=1))
READING = (
    "Seen from the right side of the cloth; not to one scale. The outer line is the cut line, the inner one the "
    "stitching line; strokes between them are notches, the arrow runs along the grain. Widths and heights are finished "
    "ones: allowances are added outside. Lines are marked on cloth that is cut and, where it is quilted, trimmed."
)
TEMPLATE = "Cut from its template; the measures are to check it by."


def pieces(papers: Papers, size: SizePapers, edition: Edition, key: str, across: float) -> Iterator[Flowable]:
    """All pieces of a size in the order of their letters."""
    pattern = papers.resolved(size)
    rows = {row["piece"]: row for row in size.grade["cut_list"]}
    yield from section("Pieces", f"{key} pieces", room=70)
    yield paragraph(READING)
    listed: list[list[Cell]] = []
    for name, piece in size.grade["pieces"].items():
        written = pattern.pieces[name]
        kinds = {line: each.kind for line, each in written.lines.items()}
        drawn, (wide, high) = piece_drawing(piece, kinds, written.grain, ROOM)
        texts = list(_texts(name, piece, written, rows.get(name), edition))
        listed.append([[Figure(drawn, wide, high)], texts])
    yield ruled(COLUMNS, listed, across)


def _texts(name: str, piece: Json, written: Piece, row: Json | None, edition: Edition) -> Iterator[Flowable]:
    yield paragraph(f"{piece['letter']}  {words(name)}", "cell bold")
    if written.says:
        yield paragraph(edition.prose(written.says), "small")
    box = f"{edition.length(piece['width'])} wide, {edition.length(piece['height'])} high"
    yield paragraph(f"{box}. {piece_words.allowances(piece, edition)}.", "cell")
    for text in (piece_words.corners(piece, edition), piece_words.notches(piece, edition)):
        if text:
            yield paragraph(f"{text}.", "cell")
    for text in piece_words.lines(piece, written, edition):
        yield paragraph(f"Line {text}.", "cell")
    finish = piece_words.finishes(written)
    if finish:
        yield paragraph(f"{finish}.", "cell")
    if row is not None and row["kind"] == "template":
        yield paragraph(TEMPLATE, "small")
