"""How the booklet is set: sizes of type, space and rules, in points as printers count them; paper is in mm."""

from __future__ import annotations

from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import Color, black
from reportlab.lib.enums import TA_LEFT, TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph

from grading.drawing.fonts import BOLD, PLAIN, register, writable
from grading.drawing.measure import POINTS

INK, PALE, FAINT = black, Color(0.36, 0.36, 0.36), Color(0.62, 0.62, 0.62)
HAIR, RULE, HEAVY = 0.3, 0.5, 1.0
"""Breadths of ruled lines in points."""
SMALL, TABLE, TEXT = 6.6, 7.4, 8.4

register()


def _style(name: str, size: float, leading: float, **more: Any) -> ParagraphStyle:
    given: dict[str, Any] = {"fontName": PLAIN, "textColor": INK, "alignment": TA_LEFT, "splitLongWords": 1, **more}
    return ParagraphStyle(name, fontSize=size, leading=leading, **given)


STYLES: dict[str, ParagraphStyle] = {
    "title": _style("title", 26, 31, fontName=BOLD, spaceAfter=6),
    "subtitle": _style("subtitle", 11, 16),
    "chapter": _style("chapter", 17, 21, fontName=BOLD, spaceAfter=8, keepWithNext=1),
    "section": _style("section", 11, 14, fontName=BOLD, spaceBefore=13, spaceAfter=4, keepWithNext=1),
    "part": _style("part", TEXT, 11.5, fontName=BOLD, spaceBefore=9, spaceAfter=3),
    "text": _style("text", TEXT, 12.2, spaceAfter=5),
    "small": _style("small", SMALL, 9.2, textColor=PALE),
    "note": _style("note", SMALL, 9.2, textColor=PALE, spaceBefore=3, spaceAfter=4),
    "cell": _style("cell", TABLE, 9.4),
    "cell bold": _style("cell bold", TABLE, 9.4, fontName=BOLD),
    "head": _style("head", SMALL, 8.4, textColor=PALE),
    "head right": _style("head right", SMALL, 8.4, textColor=PALE, alignment=TA_RIGHT),
    "cell right": _style("cell right", TABLE, 9.4, alignment=TA_RIGHT),
    "step": _style("step", TEXT, 12.2),
}
"""Every kind of paragraph by its name."""


def paragraph(text: str, style: str = "text") -> Paragraph:
    """A paragraph of plain text: nothing in it is read as markup, and line ends are kept."""
    return Paragraph(safe(text), STYLES[style])


def safe(text: str) -> str:
    """A plain text as it may stand in the markup of a paragraph."""
    return "<br/>".join(escape(writable(line)) for line in text.split("\n"))


def strong(text: str) -> str:
    """A plain text in bold, as markup."""
    return f"<b>{safe(text)}</b>"


def points(millimetres: float) -> float:
    """A length of paper in points."""
    return millimetres * POINTS


def words(name: str) -> str:
    """A name of the document as people read it."""
    return name.replace("_", " ")


def sentence(text: str) -> str:
    """A text with a capital at its beginning."""
    return text[:1].upper() + text[1:]
