"""Booklets of demo and test patterns, and what a reader of the PDF finds in them."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pdfplumber
import pypdf

from grading.booklet import Paper, Papers, SizePapers, booklet
from grading.pipeline import chart_document, grade_size, other_edition, read_document, size_chart
from grading.press import QUICKLY, size_papers
from grading.workroom import layouts_document, layouts_of

Json = dict[str, Any]
DEMO = Path(__file__).parents[3] / "demo_requests" / "patterns"
LARGEST = "ferry_day_pack"
MILLIMETRE = 72 / 25.4


def demo(name: str) -> Json:
    """The document of a demo pattern."""
    document: Json = json.loads((DEMO / f"{name}.json").read_text(encoding="utf-8"))
    return document


def imperial(name: str) -> Json:
    """The imperial edition of a demo pattern."""
    return other_edition(demo(name), "imperial")


def size_of(document: Json, size: str = "base", *, laid: bool = False, **settings: Any) -> SizePapers:
    """The documents of one size, with layouts where asked."""
    grade = grade_size(read_document(document), size=size)
    return size_papers(grade, layouts_document(layouts_of(grade, {**QUICKLY, **settings})) if laid else None)


def papers_of(document: Json, *sizes: SizePapers) -> Papers:
    """What a booklet of these sizes is made from; of the base size where none is given."""
    return Papers(document, chart_document(size_chart(read_document(document))), sizes or (size_of(document),))


@cache
def laid_demo(name: str, *sizes: str, system: str = "metric") -> Papers:
    """A demo pattern in these sizes, all laid out."""
    document = demo(name) if system == "metric" else imperial(name)
    return papers_of(document, *(size_of(document, size, laid=True) for size in sizes or ("base",)))


@cache
def printed(name: str, *sizes: str, system: str = "metric", paper: Paper = "A4") -> bytes:
    """The booklet of a demo pattern."""
    return booklet(laid_demo(name, *sizes, system=system), paper)


def reader(content: bytes) -> pypdf.PdfReader:
    """The PDF, read back."""
    return pypdf.PdfReader(io.BytesIO(content))


@cache
def page_texts(content: bytes) -> list[str]:
    """The text of each page, with single spaces."""
    return [joined(page.extract_text()) for page in reader(content).pages]


def whole_text(content: bytes) -> str:
    """The text of the whole booklet, with single spaces."""
    return " ".join(page_texts(content))


def joined(text: str) -> str:
    """A text with single spaces for all line ends and blanks."""
    return re.sub(r"\s+", " ", text).strip()


def boxes_to_tick(content: bytes) -> int:
    """How many empty squares with sides of 3.2 mm there are."""
    side = 3.2 * MILLIMETRE
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        found = [rect for page in pdf.pages for rect in page.rects]
    return sum(abs(rect["width"] - side) < 0.05 and abs(rect["height"] - side) < 0.05 for rect in found)


def bought_rows(supplies: Json) -> Iterator[Json]:
    """The rows of a list of supplies that name an amount to buy."""
    yield from (row for row in supplies["rows"] if {"length", "count"} & row["buy"].keys())
