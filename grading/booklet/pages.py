"""Pages: their frames, running titles and numbers, and the two runs in which a booklet is set.

The first run finds on which page each heading lies and how many pages there are; the second prints them. Both set the
same lines, since the space for page numbers does not hang on them.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from io import BytesIO
from typing import Any

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate, Paragraph
from reportlab.platypus.doctemplate import NextPageTemplate
from reportlab.platypus.flowables import CondPageBreak, PageBreak

from grading.booklet.papers import PAPERS, Paper
from grading.booklet.runs import Found, begin, note_page
from grading.booklet.typography import FAINT, HAIR, PALE, SMALL, STYLES, points, safe
from grading.drawing.fonts import BOLD, PLAIN, breadth, writable

AUTHOR = "Sizewright"
LEFT, RIGHT, TOP, FOOT = 20.0, 18.0, 24.0, 20.0
"""Margins in mm; the left one is wider, for the holes of a folder."""
NOTES = 44.0
"""Breadth in mm of the margin for notes beside the steps."""
LONGEST_LINE = 400
"""Characters of a text of which one line of small type is taken; no line has as many."""
COVER, PLAIN_PAGES = "cover", "plain"


@dataclass(frozen=True)
class Running:
    """What stands at the head of each page: the pattern's name at the left, size and edition at the right."""

    left: str
    right: str
    state: str


class Heading(Paragraph):
    """A heading that a reader can jump to: in the outline at a depth from 0, and in the table of contents."""

    def __init__(self, text: str, style: str, key: str, depth: int) -> None:
        super().__init__(safe(text), STYLES[style])
        self.title, self.key, self.depth = writable(text), key, depth

    def draw(self) -> None:
        """Draws it, and marks the place."""
        self.canv.bookmarkHorizontal(self.key, 0, self.height + points(4))
        self.canv.addOutlineEntry(self.title, self.key, self.depth, closed=self.depth > 0)
        note_page(self.canv, self.key)
        super().draw()


class Booklet(BaseDocTemplate):
    """The pages of one run; `known` is what the run before has found."""

    def __init__(self, content: BytesIO, paper: Paper, titles: Mapping[str, str], known: Found) -> None:
        across, along = PAPERS[paper]
        super().__init__(
            content,
            pagesize=(points(across), points(along)),
            title=writable(titles["title"]),
            subject=writable(titles["subject"]),
            author=AUTHOR,
            creator=AUTHOR,
            lang="en",
            invariant=1,
            displayDocTitle=True,
            printScaling="None",
            initialFontName=PLAIN,  # else a font of the viewer's is named, which is not embedded
        )
        self.across, self.along = across, along
        self.known, self.found = known, Found()

    def beforeDocument(self) -> None:  # noqa: N802  (the library's name)
        """Hands what is known and what will be found to what is drawn."""
        begin(self.canv, self.known, self.found)
        self.canv.showOutline()

    def afterPage(self) -> None:  # noqa: N802  (the library's name)
        """Counts the page."""
        self.found.count = self.page

    def add_pages(self, name: str, running: Running, *, notes: bool = False) -> None:
        """Makes a kind of page known by its name; with `notes` it has a margin for them."""
        right = RIGHT + (NOTES if notes else 0)
        frame = Frame(
            points(LEFT), points(FOOT), points(self.across - LEFT - right), points(self.along - TOP - FOOT), 0, 0, 0, 0
        )
        drawn = partial(_furnish, running=running, notes=notes)
        self.addPageTemplates(PageTemplate(name, [frame], onPage=drawn))

    def add_cover(self, draw: Callable[[Canvas, Booklet], None]) -> None:
        """The first page, which has no running title; `draw` draws what stands at fixed places."""
        frame = Frame(
            points(LEFT), points(FOOT), points(self.across - LEFT - RIGHT), points(self.along - 50), 0, 0, 0, 0
        )
        self.addPageTemplates(PageTemplate(COVER, [frame], onPage=draw))


def set_pages(make: Callable[[BytesIO, Found], tuple[Booklet, Sequence[Flowable]]]) -> bytes:
    """Sets a booklet in two runs; `make` gives its pages and what flows through them, anew for each run."""
    known, content = Found(), BytesIO()
    for _ in range(2):
        content = BytesIO()
        document, flow = make(content, known)
        document.build(list(flow))
        known = document.found
    return content.getvalue()


def chapter(title: str, key: str, pages: str, depth: int = 0) -> list[Flowable]:
    """A new page of this kind with a heading on it."""
    return [NextPageTemplate(pages), PageBreak(), Heading(title, "chapter", key, depth)]


def section(title: str, key: str, depth: int = 1, room: float = 35.0) -> list[Flowable]:
    """A heading within a chapter, with at least so much room (mm) below it on its page."""
    return [CondPageBreak(points(room)), Heading(title, "section", key, depth)]


def part(title: str, room: float = 30.0) -> list[Flowable]:
    """The title of a table, with room (mm) for its head and a row or two below it on the page."""
    return [CondPageBreak(points(room)), Paragraph(safe(title), STYLES["part"])]


def _furnish(canvas: Any, document: Booklet, running: Running, notes: bool) -> None:
    left, right, top = LEFT, document.across - RIGHT, document.along - 13
    canvas.saveState()
    canvas.setStrokeColor(FAINT)
    canvas.setLineWidth(HAIR)
    for height in (top - 2, 14.5):
        canvas.line(points(left), points(height), points(right), points(height))
    canvas.setFillColor(PALE)
    room = right - left - breadth(running.right, SMALL / points(1)) - 6
    canvas.setFont(BOLD, SMALL)
    canvas.drawString(points(left), points(top), shortened(running.left, room, bold=True))
    canvas.setFont(PLAIN, SMALL)
    canvas.drawRightString(points(right), points(top), running.right)
    canvas.drawString(points(left), points(11), running.state)
    canvas.drawRightString(points(right), points(11), f"{document.page} of {document.known.count}")
    if notes:
        edge = right - NOTES + 6
        canvas.line(points(edge), points(16), points(edge), points(top - 5))
        canvas.drawString(points(edge + 2), points(top - 7.5), "Your notes")
    canvas.restoreState()


def shortened(text: str, room: float, size: float = SMALL, *, bold: bool = False) -> str:
    """A text in type of a size (points) in one line of so many mm."""
    size /= points(1)
    text = writable(text[:LONGEST_LINE])
    if breadth(text, size, bold) <= room:
        return text
    fits = bisect_right(range(len(text)), room, key=lambda count: breadth(f"{text[:count]}…", size, bold)) - 1
    return f"{text[: max(fits, 0)].rstrip()}…"
