"""Boxes to tick, and paragraphs that have one."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import Flowable, Paragraph

from grading.booklet.typography import INK, RULE, STYLES, points, safe
from grading.drawing.fonts import BOLD

BOX = 3.2
"""Side of a box in mm: small beside the text, and large enough for a pencil."""


class TickBox(Flowable):
    """One empty box."""

    def __init__(self) -> None:
        super().__init__()
        self.width = self.height = points(BOX)

    def wrap(self, across: float, along: float) -> tuple[float, float]:
        """Its size in points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draws it from its lower left corner."""
        draw_box(self.canv, 0, 0)


class TickedStep(Flowable):
    """A step: a box to tick, its number, and its text, which may run on to the next page."""

    INDENT = points(15)
    NUMBER = points(5.2)

    def __init__(self, number: int | None, text: Paragraph) -> None:
        super().__init__()
        self.number, self.text = number, text

    @classmethod
    def of(cls, number: int, text: str) -> TickedStep:
        """The step with this number; the text is plain."""
        return cls(number, Paragraph(safe(text), STYLES["step"]))

    def wrap(self, across: float, along: float) -> tuple[float, float]:
        """As wide as there is room, and as high as its text, in points."""
        _, height = self.text.wrap(across - self.INDENT, along)
        self.width, self.height = across, max(height, points(BOX) + 2)
        return self.width, self.height

    def split(self, across: float, along: float) -> list[Flowable]:
        """The part that has room on this page, with the box and the number, and the rest."""
        parts: list[Any] = self.text.split(across - self.INDENT, along)
        if len(parts) < 2:
            return []
        return [TickedStep(self.number, parts[0]), *(TickedStep(None, part) for part in parts[1:])]

    def draw(self) -> None:
        """Draws box, number and text from the lower left corner."""
        if self.number is not None:
            line = self.height - STYLES["step"].fontSize
            draw_box(self.canv, 0, line - 1.2)
            self.canv.setFont(BOLD, STYLES["step"].fontSize)
            self.canv.drawString(self.NUMBER, line, str(self.number))
        self.text.drawOn(self.canv, self.INDENT, 0)


def draw_box(canvas: Any, x: float, y: float) -> None:
    """A box to tick with its lower left corner at a place in points."""
    canvas.saveState()
    canvas.setLineWidth(RULE)
    canvas.setStrokeColor(INK)
    canvas.rect(x, y, points(BOX), points(BOX), stroke=1, fill=0)
    canvas.restoreState()
