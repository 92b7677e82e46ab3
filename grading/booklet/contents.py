"""The table of contents: every heading with its page, to be jumped to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.platypus import Flowable

from grading.booklet.pages import Heading, shortened
from grading.booklet.runs import known
from grading.booklet.typography import FAINT, INK, PALE, SMALL, TEXT, points
from grading.drawing.fonts import BOLD, PLAIN, breadth

INDENT = 6.0
LEADING = {0: 5.6, 1: 4.5}
"""Height in mm of a line for a chapter and for what is below it."""


@dataclass(frozen=True)
class Entry:
    """A line of the table: what it says, the key of its heading, how deep it lies."""

    title: str
    key: str
    depth: int

    @classmethod
    def of(cls, heading: Heading) -> Entry:
        """The line of a heading."""
        return cls(heading.title, heading.key, heading.depth)


class ContentsLine(Flowable):
    """One line, whose page number is known in the second run; its height does not hang on that."""

    def __init__(self, entry: Entry) -> None:
        super().__init__()
        self.entry = entry

    def wrap(self, across: float, along: float) -> tuple[float, float]:
        """As wide as there is room, in points."""
        self.width, self.height = across, points(LEADING[min(self.entry.depth, 1)])
        return self.width, self.height

    def draw(self) -> None:
        """Draws title, dots and page number."""
        canvas, entry = self.canv, self.entry
        left, size = points(INDENT) * entry.depth, TEXT if entry.depth == 0 else SMALL + 0.6
        font, base = BOLD if entry.depth == 0 else PLAIN, points(1.2)
        room = (self.width - left) / points(1) - 16
        title = shortened(entry.title, room, size, bold=entry.depth == 0)
        canvas.setFillColor(INK)
        canvas.setFont(font, size)
        canvas.drawString(left, base, title)
        page = known(canvas).pages.get(entry.key)
        if page is None:
            return
        canvas.drawRightString(self.width, base, str(page))
        canvas.setStrokeColor(FAINT)
        canvas.setLineWidth(0.5)
        canvas.setDash([0.5, 2.5])
        start = left + points(breadth(title, size / points(1), entry.depth == 0)) + 5
        canvas.line(start, base, self.width - points(breadth(str(page), size / points(1))) - 8, base)
        canvas.setDash()
        canvas.setFillColor(PALE)
        canvas.linkRect("", entry.key, (0, 0, self.width, self.height), relative=1, Border="[0 0 0]")


def contents(flow: Sequence[Flowable]) -> list[Flowable]:
    """The table of all headings in what flows through the pages."""
    return [ContentsLine(Entry.of(each)) for each in flow if isinstance(each, Heading)]
