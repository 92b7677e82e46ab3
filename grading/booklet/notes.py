"""A page to write on when the bag is sewn: what a tester reports."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import Flowable

from grading.booklet.edition import Edition
from grading.booklet.papers import SizePapers
from grading.booklet.tables import Column, ruled
from grading.booklet.typography import FAINT, HAIR, SMALL, paragraph, points, words
from grading.drawing.fonts import PLAIN

ASKED = ("Date", "Size and edition", "Cloth, lining, foam", "Needle, thread, stitch", "Hours in all", "To remember")
LINE = 8.5
"""Distance in mm of the lines to write on."""
MEASURED = (
    Column("Finished measure", share=1),
    Column("Calculated", breadth=34, right=True),
    Column("Sewn", breadth=34),
    Column("Off by", breadth=34),
)
SAYING = (
    "What you write here is what a designer asks of a tester: which size in which cloth, how it came out, how long "
    "it took, and what was unclear in which step."
)


class Lines(Flowable):
    """Lines to write on, some with a word before them."""

    def __init__(self, titles: tuple[str, ...], across: float) -> None:
        super().__init__()
        self.titles = titles
        self.width, self.height = points(across), points(LINE) * len(titles)

    def wrap(self, across: float, along: float) -> tuple[float, float]:
        """Its size in points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draws the lines from the top."""
        self.canv.setStrokeColor(FAINT)
        self.canv.setLineWidth(HAIR)
        self.canv.setFont(PLAIN, SMALL)
        for number, title in enumerate(self.titles, 1):
            y = self.height - points(LINE) * number
            self.canv.line(0, y, self.width, y)
            self.canv.drawString(0, y + 3, title)


def notes(size: SizePapers, edition: Edition, across: float, lines: int = 12) -> Iterator[Flowable]:
    """Finished measures beside the calculated ones, and lines for the rest."""
    yield paragraph(SAYING)
    rows = [
        [f"{words(name)}, {side}", edition.length(grade[side]), "", ""]
        for name, grade in _largest(size)
        for side in ("width", "height")
    ]
    yield ruled(MEASURED, rows, across)
    yield Lines((*ASKED, *[""] * lines), across)


def _largest(size: SizePapers) -> Iterator[tuple[str, dict[str, str]]]:
    """The first pieces of the cut list, which are the largest of the first cloth."""
    names = list(dict.fromkeys(row["piece"] for row in size.grade["cut_list"] if row["piece"] in size.grade["pieces"]))
    yield from ((name, size.grade["pieces"][name]) for name in names[:3])
