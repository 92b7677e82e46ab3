"""The size chart: all named sizes of this edition beside each other, a part of it to a table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import Any

from reportlab.platypus import Flowable

from grading.booklet.edition import Edition, is_of
from grading.booklet.pages import part
from grading.booklet.tables import Cell, Column, ruled
from grading.booklet.typography import paragraph, sentence, words
from grading.compare.chart_tables import ChartRow, chart_notes, chart_rows

Json = Mapping[str, Any]
PARTS: Mapping[str, str] = {
    "dimension": "Dimensions",
    "inside": "Room inside, as drawn",
    "finished": "Finished measures of the main pieces",
    "from stock": "Bought in stock sizes",
    "zip, in the bag": "Zips, as they lie in the bag",
    "zip, bought": "Zips, as they are bought",
}
MOST_SIZES = 7
"""Sizes beside each other; of more, the table is told in turns."""
MEASURE, WIDE, VALUE = 35.0, 52.0, 17.0
"""Breadths in mm of the columns of names, beside what they mean or alone, and of each size."""
MOST_BESIDE = 4
"""Sizes beside which there is room for what each measure means."""
ROOM = "Litres are counted from the measures inside, as drawn; they are not tried by filling the bag."


def size_chart(chart: Json, edition: Edition, across: float, mark: str | None = None) -> Iterator[Flowable]:
    """The chart's tables and what held sizes back; the size `mark` is told apart in their heads."""
    made = [size for size in chart["sizes"] if size["made"] is None or is_of(size["made"]["ruler"], edition.system)]
    for first in range(0, len(made), MOST_SIZES):
        yield from _tables({**chart, "sizes": made[first : first + MOST_SIZES]}, edition, across, mark)
    if any(size["made"] is not None and size["made"]["volume"] is not None for size in made):
        yield paragraph(ROOM, "note")
    yield from _notes({**chart, "sizes": made}, edition)
    strange = [words(size["name"]) for size in chart["sizes"] if size not in made]
    if strange:
        yield paragraph(f"In the booklet of the {edition.other} edition: {', '.join(strange)}.", "note")


def _tables(chart: Json, edition: Edition, across: float, mark: str | None) -> Iterator[Flowable]:
    names = [size["name"] for size in chart["sizes"]]
    heads = [f"{words(name)}, this booklet" if name == mark and len(names) > 1 else words(name) for name in names]
    values = [Column(head, breadth=VALUE, right=True) for head in heads]
    for kind, listed in groupby(chart_rows(chart), lambda row: row.part):
        rows = list(listed)
        if kind not in PARTS:
            continue
        told = any(row.title for row in rows) and len(names) <= MOST_BESIDE
        columns = [Column("", breadth=MEASURE if told else WIDE), *([Column("", share=1)] if told else []), *values]
        width = across if told else WIDE + VALUE * len(names)
        yield from part(PARTS[kind])
        yield ruled(columns, [_cells(row, edition, told=told) for row in rows], width)


def _cells(row: ChartRow, edition: Edition, *, told: bool) -> list[Cell]:
    title = [[paragraph(edition.prose(row.title), "small")] if row.title else ""] if told else []
    values = [edition.length(value) if value else "–" for value in row.values]
    return [sentence(words(row.measure)), *title, *values]


def _notes(chart: Json, edition: Edition) -> Iterator[Flowable]:
    notes = [f"{words(name)}: {words(edition.prose(says))}" for name, says in chart_notes(chart)]
    if notes:
        yield from part("What held the sizes back", 18)
        yield from (paragraph(sentence(note), "note") for note in notes)
