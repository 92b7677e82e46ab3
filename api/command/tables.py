"""Tables and lines of plain text for a terminal."""

from __future__ import annotations

import shutil
import sys
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Sequence

Alignment = Literal["left", "right"]
GAP = "  "
NARROWEST = 8
CUT_OFF = "…"


def table(
    headings: Sequence[str],
    alignments: Sequence[Alignment],
    rows: Sequence[Sequence[str]],
    width: int | None = None,
) -> str:
    """Headings, a rule and a line for each row; numbers stand right-aligned by `alignments`.

    Where `width` (in characters) is too narrow, the widest text columns are cut off with an ellipsis; numbers
    never are, so that a table of many numbers may still be wider.
    """
    cells = [[printable(cell) for cell in row] for row in [headings, *rows]]
    widths = _fitted([max(len(row[at]) for row in cells) for at in range(len(headings))], alignments, width)
    lines = [_line(row, alignments, widths) for row in cells]
    return "\n".join([lines[0], "-" * (sum(widths) + len(GAP) * (len(widths) - 1)), *lines[1:]])


def terminal_width() -> int | None:
    """The width of the terminal in characters; None where the output goes elsewhere and may be of any width."""
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else None


def printable(text: str) -> str:
    """The text with every character that could steer a terminal replaced by a question mark."""
    return "".join(character if character.isprintable() else "?" for character in text)


def printable_lines(text: str) -> str:
    """The same for a text of several lines: only its line ends are kept."""
    return "\n".join(printable(line) for line in text.split("\n"))


def _fitted(widths: list[int], alignments: Sequence[Alignment], width: int | None) -> list[int]:
    excess = 0 if width is None else sum(widths) + len(GAP) * (len(widths) - 1) - width
    while excess > 0:
        texts = [at for at, side in enumerate(alignments) if side == "left" and widths[at] > NARROWEST]
        if not texts:
            break
        widest = max(texts, key=lambda at: widths[at])
        widths[widest] -= 1
        excess -= 1
    return widths


def _line(cells: Sequence[str], alignments: Sequence[Alignment], widths: Sequence[int]) -> str:
    placed = []
    for cell, side, width in zip(cells, alignments, widths, strict=True):
        shown = cell if len(cell) <= width else cell[: width - 1] + CUT_OFF
        placed.append(shown.rjust(width) if side == "right" else shown.ljust(width))
    return GAP.join(placed).rstrip()
