"""Drawings in the flow of a booklet, and the lines by which a print is measured."""

from __future__ import annotations

from reportlab.platypus import Flowable

from grading.booklet.runs import known
from grading.booklet.typography import points
from grading.drawing.pdf import draw_scene
from grading.drawing.scene import Scene
from grading.sheets.check_lines import check_lines

CHECK_ROOM = (125.0, 9.0)
"""What the check lines take in mm."""


class Figure(Flowable):
    """A scene in millimetres of paper, at its true size, with (0, 0) in the lower left corner."""

    def __init__(self, drawn: Scene, across: float, along: float) -> None:
        super().__init__()
        self.drawn, self.width, self.height = drawn, points(across), points(along)

    def wrap(self, across: float, along: float) -> tuple[float, float]:
        """Its size in points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draws it; the run that only counts pages leaves it out."""
        if known(self.canv).count:
            draw_scene(self.canv, self.drawn)


def check_figure() -> Figure:
    """A line of 100 mm and one of 4 in, to be measured on the print."""
    return Figure(Scene(tuple(check_lines((0.0, 2.0)))), *CHECK_ROOM)
