"""A small map of the pages: how they lie beside each other, which have a piece, and where each piece lies on them."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from grading.drawing.box import Box, around
from grading.drawing.cut_path import Place
from grading.drawing.scene import Mark, Polyline, Scene, Words
from grading.sheets.tile_scene import Foot
from grading.sheets.tiles import Grid, frame_of

_At = Callable[[Place], Place]
MOST_SCALE = 0.25
LEAST_LETTER, MOST_LETTER = 1.6, 4.0


def page_map(grid: Grid, room: Box, foot: Foot) -> Scene:
    """The map in the upper left of a box of the page, as large as it goes."""
    frames = [tile.frame for tile in grid.tiles]
    whole = around(corner for frame in (*frames, *(each.box for each in grid.pieces)) for corner in frame.corners)
    if grid.paper.endless:
        whole = around(corner for each in grid.pieces for corner in each.box.corners)
        whole = Box(0.0, whole.low, max(whole.right, grid.paper.frame[0]), 0.0)
    scale = min(room.width / whole.width, room.height / whole.height, MOST_SCALE)

    def at(place: Place) -> Place:
        return room.left + (place[0] - whole.left) * scale, room.top + (place[1] - whole.top) * scale

    return Scene((*_frames(grid, at, whole, foot), *_pieces(grid, at, scale)))


def _frames(grid: Grid, at: _At, whole: Box, foot: Foot) -> Iterator[Mark]:
    """A rectangle a page up to where the next begins, its number in the upper left corner."""
    across, down = grid.paper.pitch
    for tile in grid.tiles:
        frame = frame_of(tile.place, grid.paper)
        right = frame.left + across if "right" in tile.joins else frame.right
        low = max(frame.top - down if "bottom" in tile.joins else frame.low, whole.low)
        corners = ((frame.left, low), (right, low), (right, frame.top), (frame.left, frame.top))
        yield Polyline(tuple(at(corner) for corner in corners), "thin", "map", closed=True)
        x, y = at((frame.left, frame.top))
        yield Words(foot.shown(tile.number), (x + 0.8, y - 2.8), 2.4)


def _pieces(grid: Grid, at: _At, scale: float) -> Iterator[Mark]:
    for each in grid.pieces:
        for outline in each.outlines:
            yield Polyline(tuple(at(point) for point in _thinned(outline)), "narrow", "map", closed=True)
        box = around(each.outlines[0])
        size = min(max(min(box.width, box.height) * scale * 0.5, LEAST_LETTER), MOST_LETTER)
        x, y = at(box.middle)
        yield Words(each.drawn.letter, (x, y - size * 0.36), size, "middle", bold=True)


def _thinned(outline: tuple[Place, ...]) -> tuple[Place, ...]:
    """Fewer points of a curve, which a map does not show: none that lies within a millimetre of the one before."""
    kept = [outline[0]]
    for point in outline[1:]:
        if abs(point[0] - kept[-1][0]) + abs(point[1] - kept[-1][1]) > 1:
            kept.append(point)
    return tuple(kept)
