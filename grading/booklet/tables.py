"""Ruled tables: a heavy line above and below, a fine one between rows, the head repeated on every page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.platypus import Flowable, Table, TableStyle

from grading.booklet.boxes import TickBox
from grading.booklet.typography import FAINT, HAIR, HEAVY, INK, PALE, RULE, SMALL, TABLE, paragraph, points
from grading.drawing.fonts import PLAIN, breadth, writable

PADDING = 2.6
"""Space in points above and below what stands in a row."""
SIDE, AFTER_NUMBERS = 2.4, 8.0
"""Space in points at both sides of a column, and between a column of numbers and the words after it."""


@dataclass(frozen=True)
class Column:
    """A column: its head, its breadth as a share of what is left over or in mm, and the side its words keep to."""

    head: str
    share: float = 0.0
    breadth: float = 0.0
    right: bool = False


@dataclass(frozen=True)
class Tick:
    """Stands in a cell for a box to tick."""


Cell = str | Tick | Sequence[Flowable]


def ruled(columns: Sequence[Column], rows: Sequence[Sequence[Cell]], across: float) -> Table:
    """A table as wide as `across`, in mm. Rows may be split where a text is longer than a page."""
    widths = breadths(columns, across)
    head = [
        paragraph(column.head, "head right" if column.right else "head") if column.head else "" for column in columns
    ]
    body = [
        [_cell(cell, column, width) for cell, column, width in zip(row, columns, widths, strict=True)] for row in rows
    ]
    table = Table(
        [head, *body], colWidths=[points(width) for width in widths], repeatRows=1, splitInRow=1, hAlign="LEFT"
    )
    table.setStyle(TableStyle([*_RULES, *_sides(columns)]))
    return table


def breadths(columns: Sequence[Column], across: float) -> list[float]:
    """The breadth of each column in mm."""
    left = across - sum(column.breadth for column in columns)
    shares = sum(column.share for column in columns) or 1
    return [column.breadth or left * column.share / shares for column in columns]


def _cell(cell: Cell, column: Column, width: float) -> Any:
    if isinstance(cell, Tick):
        return TickBox()
    if not isinstance(cell, str):
        return list(cell)
    # Plain strings are set many times faster than paragraphs, and most cells are a short measure.
    if "\n" not in cell and breadth(cell, TABLE / points(1)) + (SIDE + AFTER_NUMBERS) / points(1) <= width:
        return writable(cell)
    return paragraph(cell, "cell right" if column.right else "cell")


def _sides(columns: Sequence[Column]) -> list[tuple[Any, ...]]:
    """Numbers keep to the right, with some space before the words that follow them."""
    rules: list[tuple[Any, ...]] = []
    for place, column in enumerate(columns):
        if column.right:
            rules.append(("ALIGN", (place, 1), (place, -1), "RIGHT"))
        elif place and columns[place - 1].right:
            rules.append(("LEFTPADDING", (place, 0), (place, -1), AFTER_NUMBERS))
    return rules


_RULES: list[tuple[Any, ...]] = [
    ("FONT", (0, 0), (-1, 0), PLAIN, SMALL),
    ("TEXTCOLOR", (0, 0), (-1, 0), PALE),
    ("FONT", (0, 1), (-1, -1), PLAIN, TABLE),
    ("LEADING", (0, 1), (-1, -1), 9.4),
    ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
    ("VALIGN", (0, 1), (-1, -1), "TOP"),
    ("TOPPADDING", (0, 0), (-1, -1), PADDING),
    ("BOTTOMPADDING", (0, 0), (-1, -1), PADDING),
    ("LEFTPADDING", (0, 0), (-1, -1), SIDE),
    ("RIGHTPADDING", (0, 0), (-1, -1), SIDE),
    ("LINEABOVE", (0, 0), (-1, 0), HEAVY, INK),
    ("LINEBELOW", (0, 0), (-1, 0), RULE, INK),
    ("LINEBELOW", (0, 1), (-1, -1), HAIR, FAINT),
    ("LINEBELOW", (0, "splitlast"), (-1, "splitlast"), RULE, INK),
    ("LINEBELOW", (0, -1), (-1, -1), HEAVY, INK),
]
