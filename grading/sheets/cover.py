"""The first pages: what this is, how to print and join it, whether it came out at true scale, the map, the pieces."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from grading.drawing.box import Box
from grading.drawing.papers import FOOT, MARGIN, Paper
from grading.drawing.scene import Mark, Scene
from grading.sheets.check_lines import CARD, SQUARE, check_card, check_lines, check_square
from grading.sheets.flow import Paragraph, column, shortened
from grading.sheets.page_map import page_map
from grading.sheets.tile_scene import Foot, foot_words
from grading.sheets.tiles import Grid

MOST_HEIGHT = 420.0
"""How high a first page on a roll is."""
MOST_TEXT = 270.0
"""How wide lines of text are on wide paper."""
GUTTER = 12.0
TITLE, MOST_TITLE = 6.5, 400.0
"""The size of the pattern's name, and how long it may run in all, in mm."""
LEAST_MAP = 60.0
PRINTING = (
    "Print at true scale (100 %), never fitted to the page. Measure the lines and the square before you cut: "
    "each page has the two lines at its foot."
)
JOINING = (
    "Pages that go together say so in their margins: cut the one off at its line, lay it on the line of the other so "
    "that the halves of the diamonds meet, and tape. Pages that say nothing stand alone; pages without a piece are "
    "left out."
)
LINES = (
    ("cut", "cut"),
    ("stitch", "stitching line"),
    ("dashed", "placement"),
    ("chain", "fold or pleat"),
    ("dots", "topstitching, quilting"),
    ("fold", "place on the fold of the cloth"),
)
ARROW = "The arrow runs along the grain; with one head it points to what is up as worn."
ENDING = "Numbers checked; your cloth, quilting and sewing are not."


@dataclass(frozen=True)
class Heading:
    """What the sheets are of."""

    pattern: str
    sizes: tuple[str, ...]
    styles: tuple[tuple[str, str], ...]
    """The line of each size, where several are nested."""
    ruler: str
    system: str
    state: str
    remarks: tuple[str, ...] = ()


def front_size(paper: Paper) -> tuple[float, float]:
    """The size of the first pages in mm."""
    return paper.width, min(paper.height, MOST_HEIGHT) if paper.endless else paper.height


def front_scenes(heading: Heading, grid: Grid, listed: Sequence[Paragraph], foot: Foot) -> list[Scene]:
    """The first page with the map, and the pages of the list; each in mm from its lower left corner.

    On wide paper text stands in columns, and the list begins beside the map.
    """
    width, height = front_size(grid.paper)
    frame = Box(MARGIN, FOOT, width - MARGIN, height - MARGIN)
    first, *others = _columns(frame)
    scenes = _first_pages(heading, grid, (frame, first), foot)
    left = tuple(listed)
    marks: list[Mark] = list(scenes[0].marks)
    for text in others:
        scene, _, left = column(left, text)
        marks += scene.marks
    scenes[0] = Scene(tuple(marks))
    while left:
        marks = []
        for text in (first, *others):
            scene, _, left = column(left, text)
            marks += scene.marks
        scenes.append(Scene(tuple(marks)))
    return scenes


def _columns(frame: Box) -> list[Box]:
    """The columns of text of a page."""
    number = max(1, int((frame.width + GUTTER) // (MOST_TEXT + GUTTER)))
    wide = min(MOST_TEXT, frame.width)
    starts = [frame.left + (wide + GUTTER) * place for place in range(number)]
    return [Box(start, frame.low, start + wide, frame.top) for start in starts]


def _first_pages(heading: Heading, grid: Grid, boxes: tuple[Box, Box], foot: Foot) -> list[Scene]:
    """The introduction, what checks the scale, and the map, on a page of its own where it has too little room."""
    frame, text = boxes
    introduction, low, _ = column(list(_introduction(heading)), text)
    marks: list[Mark] = list(introduction.marks)
    low -= 4 + CARD[1]
    marks += check_square((frame.left, low + CARD[1] - SQUARE))
    marks += check_card((frame.left + SQUARE + 8, low))
    low -= 6
    if not grid.tiles:
        return [Scene(tuple(marks))]
    if low - frame.low < LEAST_MAP:
        return [Scene(tuple(marks)), page_map(grid, frame, foot)]
    room = Box(frame.left, frame.low + 2, text.right, low)
    return [Scene((*marks, *page_map(grid, room, foot).marks))]


def with_foot(scene: Scene, number: int, paper: Paper, foot: Foot) -> Scene:
    """A front page with its check lines and its number."""
    right = front_size(paper)[0] - MARGIN
    words = foot_words(foot.title, f"page {number} of {foot.pages}", right)
    return Scene((*scene.marks, *check_lines((MARGIN, 5.0)), *words))


def _introduction(heading: Heading) -> Iterator[Paragraph]:
    yield Paragraph(shortened(heading.pattern, TITLE, MOST_TITLE), TITLE, bold=True)
    several = len(heading.sizes) > 1
    sizes = f"nested sizes {', '.join(heading.sizes)}" if several else f"size: {heading.sizes[0]}"
    yield Paragraph(f"Templates at true scale, {sizes}", 4.2, above=1)
    edition = f"{heading.system.capitalize()} edition, on a ruler of {heading.ruler}: do not mix it with the other one."
    yield Paragraph(f"{edition} {heading.state[:1].upper()}{heading.state[1:]}. {ENDING}", above=2)
    yield from (Paragraph(remark, above=1) for remark in heading.remarks)
    yield Paragraph(PRINTING, above=2, bold=True)
    yield Paragraph(JOINING, above=1.5)
    if several:
        yield Paragraph(
            "Cut on the line of your size; where it has none of its own, the line names the sizes.", above=2
        )
    yield from (
        Paragraph(says, 2.8, indent=34, above=1.2 if number == 0 else 0, sample=style)
        for number, (style, says) in enumerate(heading.styles if several else LINES)
    )
    yield Paragraph(ARROW, above=1)
