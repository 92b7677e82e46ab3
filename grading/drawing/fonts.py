"""The fonts that are embedded: DejaVu Sans, with the accents of Europe, Greek, Cyrillic, fractions, boxes to tick.

Their licence lies beside them.
"""

from __future__ import annotations

from functools import cache, lru_cache
from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from grading.drawing.measure import POINTS

PLAIN, BOLD = "DejaVuSans", "DejaVuSans-Bold"
FOLDER = Path(__file__).parent / "fonts"
MOST_KEPT = 4096
REPLACEMENT = "□"
"""Stands for a character that the fonts have not."""


@cache
def _registered(name: str) -> TTFont:
    font = TTFont(name, str(FOLDER / f"{name}.ttf"))
    pdfmetrics.registerFont(font)
    return font


def register() -> None:
    """Makes both fonts known to reportlab as PLAIN and BOLD, bold and plain of one family; may be called again."""
    _registered(PLAIN)
    _registered(BOLD)
    pdfmetrics.registerFontFamily(PLAIN, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)


def font(bold: bool = False) -> str:
    """The name of a font that is ready to be used."""
    name = BOLD if bold else PLAIN
    _registered(name)
    return name


@lru_cache(MOST_KEPT)
def writable(text: str) -> str:
    """A text in one line, with what the fonts have; what cannot be seen becomes a space, what is missing a box."""
    glyphs = _registered(PLAIN).face.charToGlyph
    return "".join((each if ord(each) in glyphs else REPLACEMENT) if each.isprintable() else " " for each in text)


def breadth(text: str, size: float, bold: bool = False) -> float:
    """How wide a text is in mm, in a font of this size in mm."""
    return float(pdfmetrics.stringWidth(writable(text), font(bold), size * POINTS)) / POINTS
