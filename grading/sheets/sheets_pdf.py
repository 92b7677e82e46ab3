"""Templates as PDF: first pages, then pages of pieces at true scale."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas

from grading.drawing.measure import points
from grading.drawing.papers import MARGIN
from grading.drawing.pdf import draw_scene, new_canvas
from grading.drawing.scene import Scene
from grading.sheets.cover import Heading, front_scenes, front_size, with_foot
from grading.sheets.flow import Paragraph
from grading.sheets.sheet_list import template_list
from grading.sheets.template import Template
from grading.sheets.tile_scene import Foot, page_size, tile_scene
from grading.sheets.tiles import Grid, Tile


def sheets_pdf(heading: Heading, grid: Grid, chosen: Sequence[Template], measures: Sequence[Paragraph]) -> bytes:
    """The whole document; the same for the same input, byte by byte."""
    title = f"{heading.pattern}, {', '.join(heading.sizes)}"
    foot, front = _counted(heading, grid, chosen, measures, title)
    canvas, content = new_canvas(f"{title}: templates", front_size(grid.paper))
    for number, scene in enumerate(front, 1):
        draw_scene(canvas, with_foot(scene, number, grid.paper, foot))
        canvas.showPage()
    for tile in grid.tiles:
        size = page_size(tile, grid.paper)
        canvas.setPageSize((points(size[0]), points(size[1])))
        draw_scene(canvas, tile_scene(tile, grid.paper, foot))
        _draw_pieces(canvas, tile, size)
        canvas.showPage()
    canvas.save()
    return content.getvalue()


def _counted(
    heading: Heading, grid: Grid, chosen: Sequence[Template], measures: Sequence[Paragraph], title: str
) -> tuple[Foot, list[Scene]]:
    """The first pages, which name pages that come after them: set again until their number stays."""
    before = 1
    while True:
        foot = Foot(title, before + len(grid.tiles), before)
        listed = [*(template_list(grid, chosen, foot) if grid.tiles else ()), *measures]
        scenes = front_scenes(heading, grid, listed, foot)
        if len(scenes) <= before:
            return foot, scenes + [Scene()] * (before - len(scenes))
        before = len(scenes)


def _draw_pieces(canvas: Canvas, tile: Tile, size: tuple[float, float]) -> None:
    frame = tile.frame
    place = (MARGIN - frame.left, size[1] - MARGIN - frame.top)
    for each in tile.pieces:
        draw_scene(canvas, each.scene, place, 1.0, frame)
