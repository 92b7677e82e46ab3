"""The arrow along the grain: one head where the piece has an up that it follows, else two."""

from __future__ import annotations

from collections.abc import Iterator

from grading.drawing.box import Box
from grading.drawing.cut_path import Place
from grading.drawing.moving import turned_place
from grading.drawing.room import Room
from grading.drawing.scene import Line, Mark, Polyline, Scene
from grading.sheets.template import DIRECTIONS, Template

LENGTHS = (160.0, 110.0, 75.0, 50.0, 34.0, 24.0, 16.0, 10.0)
"""Lengths of arrows in mm that are tried, the longest first; at most SHARE of the piece."""
SHARE = 0.7
BREADTH = 6.0
HEAD, HALF_HEAD = 3.0, 1.0
ASIDE = 0.3
"""How far from the middle of the piece, of its width, the arrow would lie, so that words have the middle."""


def grain_arrow(template: Template, room: Room, quarters: int = 0) -> Scene:
    """The arrow in the room of a piece, which it then takes; nothing where there is no room, or no grain is given.

    The piece is turned by so many quarters.
    """
    if template.grain is None:
        return Scene()
    way = turned_place(template.up or DIRECTIONS[template.grain], quarters)
    middle = room.box.middle
    if abs(way[0]) > abs(way[1]):
        wish = (middle[0], middle[1] - ASIDE * room.box.height)
    else:
        wish = (middle[0] - ASIDE * room.box.width, middle[1])
    for length in LENGTHS:
        wide = abs(way[0]) * length + BREADTH * abs(way[1])
        high = abs(way[1]) * length + BREADTH * abs(way[0])
        share = max(abs(way[0]) * length / room.box.width, abs(way[1]) * length / room.box.height)
        if length > LENGTHS[-1] and share > SHARE:
            continue
        corner = room.find(wide, high, wish)
        if corner is not None:
            room.take(Box(corner[0], corner[1], corner[0] + wide, corner[1] + high))
            return Scene(tuple(_arrow((corner[0] + wide / 2, corner[1] + high / 2), way, length, template)))
    return Scene()


def _arrow(middle: Place, way: Place, length: float, template: Template) -> Iterator[Mark]:
    half = length / 2
    start = (middle[0] - way[0] * half, middle[1] - way[1] * half)
    end = (middle[0] + way[0] * half, middle[1] + way[1] * half)
    yield Line(start, end, "narrow", "grain")
    yield _head(end, way)
    if template.up is None:
        yield _head(start, (-way[0], -way[1]))


def _head(tip: Place, way: Place) -> Polyline:
    back = (tip[0] - way[0] * HEAD, tip[1] - way[1] * HEAD)
    across = (-way[1] * HALF_HEAD, way[0] * HALF_HEAD)
    points = (tip, (back[0] + across[0], back[1] + across[1]), (back[0] - across[0], back[1] - across[1]))
    return Polyline(points, "narrow", "grain", closed=True, filled=True)
