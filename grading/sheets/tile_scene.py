"""One page of pieces: its frame, the marks by which it is joined, the lines to check its scale, and its number."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grading.drawing.box import Box
from grading.drawing.papers import FOOT, MARGIN, Paper
from grading.drawing.scene import Line, Mark, Polyline, Scene, Words
from grading.sheets.check_lines import REACH, check_lines
from grading.sheets.flow import shortened
from grading.sheets.tiles import Tile

DIAMOND = 3.0
"""Half of the diagonal of the diamonds that two joined pages make together."""
SMALL = 2.4
OFF = 2.0


@dataclass(frozen=True)
class Foot:
    """What stands at the foot of every page: pattern and size, and the number of all pages."""

    title: str
    pages: int
    before: int
    """How many pages come before those with pieces."""

    def shown(self, number: int) -> str:
        """The number of a page with pieces, as it is printed."""
        return str(number + self.before)


def page_size(tile: Tile, paper: Paper) -> tuple[float, float]:
    """The size of a page in mm; on a roll as long as its pieces need."""
    if not paper.endless:
        return paper.width, paper.height
    lowest = min(max(each.box.low, tile.frame.low) for each in tile.pieces)
    used = min(max(tile.frame.top - lowest, 50.0), tile.frame.height)
    return paper.width, used + MARGIN + FOOT


def tile_scene(tile: Tile, paper: Paper, foot: Foot) -> Scene:
    """All of a page but its pieces, in mm from its lower left corner."""
    width, height = page_size(tile, paper)
    frame = Box(MARGIN, FOOT, width - MARGIN, height - MARGIN)
    marks: list[Mark] = []
    for side, number in tile.joins.items():
        marks += _join(side, foot.shown(number), frame, paper.overlap)
    marks += _corners(frame)
    marks += check_lines((MARGIN, 5.0))
    right = width - MARGIN
    row, column = tile.place
    letters = ", ".join(each.drawn.letter for each in tile.pieces)
    where = f"page {foot.shown(tile.number)} of {foot.pages}; row {row + 1}, column {column + 1}; {letters}"
    return Scene((*marks, *foot_words(foot.title, where, right)))


def foot_words(title: str, where: str, right: float) -> tuple[Words, Words]:
    """The two lines at the right of a foot, beside the check lines."""
    room = right - MARGIN - REACH
    return (
        Words(shortened(title, SMALL, room), (right, 8.4), SMALL, "end"),
        Words(shortened(where, SMALL, room), (right, 4.6), SMALL, "end"),
    )


def _join(side: str, page: str, frame: Box, overlap: float) -> Iterator[Mark]:
    """The line at which a page is cut off (left, top), or on which the next one is laid (right, bottom)."""
    laid = side in ("right", "bottom")
    at = {
        "left": frame.left,
        "right": frame.right - overlap,
        "top": frame.top,
        "bottom": frame.low + overlap,
    }[side]
    style = "thin" if laid else "narrow"
    says = f"lay page {page} here" if laid else f"cut off here and lay it on page {page}"
    if side in ("left", "right"):
        yield Line((at, frame.low), (at, frame.top), style, "join")
        inwards = -1 if laid else 1
        for share in (0.25, 0.75):
            y = frame.top - (frame.top - frame.low - overlap) * share
            yield _half_diamond((at, y), (inwards, 0))
        x = frame.left - OFF if side == "left" else frame.right + OFF + SMALL * 0.7
        yield Words(says, (x, (frame.low + frame.top - overlap) / 2), SMALL, "middle", turned=90)
    else:
        yield Line((frame.left, at), (frame.right, at), style, "join")
        inwards = 1 if laid else -1
        for share in (0.25, 0.75):
            x = frame.left + (frame.right - frame.left - overlap) * share
            yield _half_diamond((x, at), (0, inwards))
        y = frame.top + OFF if side == "top" else frame.low - OFF - SMALL * 0.7
        yield Words(says, ((frame.left + frame.right) / 2, y), SMALL, "middle")


def _half_diamond(at: tuple[float, float], inwards: tuple[int, int]) -> Mark:
    x, y = at
    across = (inwards[1], inwards[0])
    points = (
        (x + across[0] * DIAMOND, y + across[1] * DIAMOND),
        (x + inwards[0] * DIAMOND, y + inwards[1] * DIAMOND),
        (x - across[0] * DIAMOND, y - across[1] * DIAMOND),
    )
    return Polyline(points, "thin", "join", closed=True)


def _corners(frame: Box) -> Iterator[Mark]:
    """Short crosses at the corners of the frame."""
    for x, y in frame.corners:
        yield Line((x - 2, y), (x + 2, y), "thin", "join")
        yield Line((x, y - 2), (x, y + 2), "thin", "join")
