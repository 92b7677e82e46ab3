"""Pages of pieces: which page shows what, and how pages are joined."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from grading.drawing.box import Box
from grading.drawing.cut_path import Place
from grading.drawing.extent import mark_box
from grading.drawing.moving import moved
from grading.drawing.papers import Paper
from grading.drawing.room import Room
from grading.drawing.scene import Scene, Words
from grading.errors import Fault, RequestFaults
from grading.sheets.arranging import Page, Spot, arrange
from grading.sheets.piece_scene import Drawn

Draw = Callable[[int, Sequence[Sequence[Place]]], Drawn]
"""Draws a piece turned by so many quarters, its words clear of some lines where they can."""
SAME = 1e-3
MOST_PAGES = 500


@dataclass(frozen=True)
class Placed:
    """A piece in its place on the grid of pages: x to the right, y upwards from the upper left corner of the first."""

    drawn: Drawn
    scene: Scene
    box: Box
    outlines: tuple[tuple[Place, ...], ...]
    pages: frozenset[Page]


@dataclass(frozen=True)
class Tile:
    """A page of the grid: its number from 1, and the frame that it shows."""

    place: Page
    number: int
    frame: Box
    pieces: tuple[Placed, ...]
    joins: Mapping[str, int]
    """The numbers of pages that are joined to it, by the side: left, right, top, bottom."""


@dataclass(frozen=True)
class Grid:
    """All pages that have a piece."""

    paper: Paper
    pieces: tuple[Placed, ...]
    tiles: tuple[Tile, ...]


SIDES: dict[str, Page] = {"left": (0, -1), "right": (0, 1), "top": (-1, 0), "bottom": (1, 0)}


def tiled(draws: Sequence[Draw], paper: Paper) -> Grid:
    """Pieces laid on few pages; pages that no piece reaches are left out, the others numbered row by row.

    Words keep clear of the lines at which pages are joined, where they can. Raises RequestFaults for more pages than
    MOST_PAGES.
    """
    drawn = [(draw(0, ()), draw(1, ())) for draw in draws]
    spots = arrange([(_size(upright), _size(turned)) for upright, turned in drawn], paper)
    count = len({page for spot in spots for page in spot.pages})
    if count > MOST_PAGES:
        raise RequestFaults([_too_many(count, paper)])
    placed = [
        _placed(_clear(draw, ways[spot.turned], spot, paper), spot, paper)
        for draw, ways, spot in zip(draws, drawn, spots, strict=True)
    ]
    numbers = {page: number for number, page in enumerate(sorted({page for each in placed for page in each.pages}), 1)}
    tiles = []
    for page, number in numbers.items():
        pieces = tuple(each for each in placed if page in each.pages)
        tiles.append(Tile(page, number, frame_of(page, paper), pieces, _joins(page, pieces, numbers)))
    return Grid(paper, tuple(placed), tuple(tiles))


def _too_many(count: int, paper: Paper) -> Fault:
    problem = f"these pieces take {count} pages of {paper.name}, and at most {MOST_PAGES} are made"
    return Fault("paper", problem, "take larger paper or a roll, ask for fewer pieces, or give rectangles as measures")


def frame_of(page: Page, paper: Paper) -> Box:
    """What a page shows of the grid."""
    (across, down), (width, height) = paper.pitch, paper.frame
    left, top = page[1] * across, -page[0] * down
    return Box(left, top - height, left + width, top)


def _clear(draw: Draw, drawn: Drawn, spot: Spot, paper: Paper) -> Drawn:
    """The same piece, its words clear of the joins of its pages, unless it would need more room for that."""
    if len(spot.pages) == 1:
        return drawn
    by = _move(drawn, spot)
    lines = [[(x - by[0], y - by[1]) for x, y in line] for line in _joints(spot.pages, paper)]
    again = draw(int(spot.turned), lines)
    apart = (abs(a - b) for a, b in zip(_size(again), _size(drawn), strict=True))
    return again if max(apart) < SAME else drawn


def _joints(pages: frozenset[Page], paper: Paper) -> Iterator[list[Place]]:
    """Across every strip that two pages of a piece have in common, lines so close that no words go between."""
    (across, down), frames = paper.pitch, [frame_of(page, paper) for page in pages]
    left, right = min(each.left for each in frames), max(each.right for each in frames)
    low, top = min(each.low for each in frames), max(each.top for each in frames)
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        for column in {page[1] for page in pages} - {min(page[1] for page in pages)}:
            x = column * across + share * paper.overlap
            yield [(x, low), (x, top)]
        for row in {page[0] for page in pages} - {min(page[0] for page in pages)}:
            y = -row * down - share * paper.overlap
            yield [(left, y), (right, y)]


def _move(drawn: Drawn, spot: Spot) -> Place:
    """How a piece is moved to its spot."""
    return spot.left - drawn.box.left, -spot.top - drawn.box.top


def _size(drawn: Drawn) -> tuple[float, float]:
    return drawn.box.width, drawn.box.height


def _placed(drawn: Drawn, spot: Spot, paper: Paper) -> Placed:
    by = _move(drawn, spot)
    scene = moved(drawn.scene, by)
    outlines = tuple(tuple((x + by[0], y + by[1]) for x, y in outline) for outline in drawn.outlines)
    box = Box(spot.left, -spot.top - spot.box.height, spot.left + spot.box.width, -spot.top)
    touched = frozenset(page for page in spot.pages if _touches(page, scene, outlines, paper))
    return Placed(drawn, scene, box, outlines, touched)


def _touches(page: Page, scene: Scene, outlines: Sequence[tuple[Place, ...]], paper: Paper) -> bool:
    """Whether a page shows anything of a piece, its inside or its words; what the next page shows too counts there."""
    frame = frame_of(page, paper)
    if any(mark_box(mark).meets(frame) for mark in scene.marks if isinstance(mark, Words)):
        return True
    return any(Room(outline, ()).touched(frame) for outline in outlines)


def _joins(page: Page, pieces: Sequence[Placed], numbers: Mapping[Page, int]) -> dict[str, int]:
    """The neighbours that a piece of this page goes on to."""
    found = {}
    for side, (down, across) in SIDES.items():
        other = (page[0] + down, page[1] + across)
        if any(other in each.pages for each in pieces):
            found[side] = numbers[other]
    return found
