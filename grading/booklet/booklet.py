"""From the documents of a pattern to the bytes of its booklet."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from io import BytesIO

from reportlab.platypus import Flowable, Spacer
from reportlab.platypus.doctemplate import NextPageTemplate
from reportlab.platypus.flowables import PageBreak

from grading.booklet.before import before_you_begin
from grading.booklet.contents import contents
from grading.booklet.cover import draw_cover, name_of, sizes_text
from grading.booklet.cut_list import cut_list
from grading.booklet.edition import Edition, edition_of
from grading.booklet.layouts import layouts
from grading.booklet.notes import notes
from grading.booklet.pages import (
    COVER,
    LEFT,
    PLAIN_PAGES,
    RIGHT,
    Booklet,
    Running,
    chapter,
    set_pages,
)
from grading.booklet.papers import PAPERS, Paper, Papers, SizePapers
from grading.booklet.pieces import pieces
from grading.booklet.runs import Found
from grading.booklet.size_chart import size_chart
from grading.booklet.steps import steps
from grading.booklet.supplies import supplies
from grading.booklet.typography import paragraph, sentence, words


def booklet(papers: Papers, paper: Paper = "A4") -> bytes:
    """The booklet of one size or of several as PDF: the same documents give the same bytes.

    All measures are those of the documents. Raises RequestFaults where a size is on a ruler of the other system,
    DocumentFaults where the pattern cannot be read.
    """
    edition = edition_of(papers)
    return set_pages(partial(_set, papers, paper, edition))


def _set(
    papers: Papers, paper: Paper, edition: Edition, content: BytesIO, known: Found
) -> tuple[Booklet, list[Flowable]]:
    name = papers.pattern["name"]
    title = f"{name}, {sizes_text(papers)[:1].lower()}{sizes_text(papers)[1:]}: {edition.title.lower()}"
    document = Booklet(content, paper, {"title": title, "subject": "Sewing pattern booklet"}, known)
    document.add_cover(partial(draw_cover, papers=papers, edition=edition))
    state = sentence(papers.sizes[0].grade["state"])
    document.add_pages(PLAIN_PAGES, Running(name, edition.title, state))
    for number, size in enumerate(papers.sizes):
        running = Running(name, f"{sentence(name_of(size))}  ·  {edition.title}", state)
        document.add_pages(_pages(number), running)
        document.add_pages(_pages(number, notes=True), running, notes=True)
    across = PAPERS[paper][0] - LEFT - RIGHT
    flow = [*_common(papers, edition, across)]
    for number, size in enumerate(papers.sizes):
        flow += _size(papers, size, number, edition, across)
    return document, [NextPageTemplate(COVER), Spacer(1, 1), *_contents(flow), *flow]


def _pages(number: int, *, notes: bool = False) -> str:
    return f"size {number}{' with notes' if notes else ''}"


def _contents(flow: list[Flowable]) -> Iterator[Flowable]:
    yield NextPageTemplate(PLAIN_PAGES)
    yield PageBreak()
    yield paragraph("Contents", "chapter")
    yield from contents(flow)


def _common(papers: Papers, edition: Edition, across: float) -> Iterator[Flowable]:
    """What all sizes have in common."""
    yield from chapter("Before you begin", "before", PLAIN_PAGES)
    yield from before_you_begin(papers, edition, across)
    yield from chapter("Size chart", "chart", PLAIN_PAGES)
    mark = papers.sizes[0].name if len(papers.sizes) == 1 else None
    yield from size_chart(papers.chart, edition, across, mark)


def _size(papers: Papers, size: SizePapers, number: int, edition: Edition, across: float) -> Iterator[Flowable]:
    """The chapter of one size, which has all that is needed to make it."""
    key, pages = f"size {number}", _pages(number)
    name = sentence(name_of(size))
    yield from chapter(f"{name}: supplies and pieces", key, pages)
    yield from _given(size, edition)
    yield from supplies(size, edition, key, across)
    yield from cut_list(papers, size, edition, key, across)
    yield from pieces(papers, size, edition, key, across)
    yield from layouts(size, edition, key, across)
    yield from chapter(f"{name}: steps", f"{key} steps", _pages(number, notes=True))
    yield from steps(papers, size, edition)
    yield from chapter(f"{name}: when it is sewn", f"{key} notes", pages)
    yield from notes(size, edition, across)


def _given(size: SizePapers, edition: Edition) -> Iterator[Flowable]:
    """What is given in place of what was asked for, and why."""
    if "volume" in size.grade:
        yield paragraph(f"Room inside, as drawn: {size.grade['volume']}.")
    dimensions = {} if size.answer is None else size.answer["dimensions"]
    for each in dimensions.values():
        if each["because"] and each["sizing"] != "decided":  # what is only put on the ruler stands in the size chart
            yield paragraph(f"{sentence(words(edition.prose(each['says'])))}.", "note")
    if size.name is None:
        listed = ", ".join(
            f"{words(name)} {edition.length(each['value'])}" for name, each in size.grade["dimensions"].items()
        )
        yield paragraph(f"Dimensions of this size: {listed}.")
    if size.grade.get("options"):
        chosen = ", ".join(f"{words(name)}: {words(choice)}" for name, choice in size.grade["options"].items())
        yield paragraph(f"Options: {chosen}.")
