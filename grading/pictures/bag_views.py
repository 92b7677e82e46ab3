"""What is seen of a bag from its front and its side, and the measures of both; floats, for pictures only."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grading.exact import read_length
from grading.pictures.bag_document import SizedBag, shown_length
from grading.pictures.bag_side import Side, bag_side, moved
from grading.pictures.bag_walls import Area, Part, find_wall, piece_size, wall_parts


class NoBox(ValueError):
    """Nothing tells how large the bag is: no front, no `outside` and no `inside`."""


@dataclass(frozen=True)
class Views:
    """Front and side; width and height in mm and as told, the depth as told; `boxed` where the front is cut off."""

    front: tuple[Part, ...]
    width: tuple[float, str]
    height: tuple[float, str]
    side: Side | None
    depth: str
    boxed: bool


def bag_views(bag: SizedBag, unit: str | None) -> Views:
    """What is seen of a bag, with its measures in a unit (by default the ruler's). Raises NoBox."""
    ruler = bag.grade["ruler"]
    front, outside = find_wall(bag, "front"), bag.box("outside")
    box = outside or (None if front else bag.box("inside"))
    if box is not None:
        width, height = box[0], box[1]
    elif front is not None:
        piece = bag.grade["pieces"][front.piece]
        width, height = (read_length(piece[way]) for way in ("width", "height"))
    else:
        raise NoBox
    parts: Iterator[Part] = iter(())
    if front is not None:
        whole, drawn = piece_size(bag, front)
        wall = wall_parts(bag, front, Area(-whole / 2, 0.0, whole / 2, drawn))
        half = float(width) / 2
        parts = moved(wall, Area(-half, 0.0, half, float(height)), half) if box is not None else _shifted(wall, half)
    side = bag_side(bag, front, float(height))
    depth = "" if side is None else _depth(bag, side, unit)
    return Views(
        tuple(parts),
        (float(width), shown_length(width, unit, ruler)),
        (float(height), shown_length(height, unit, ruler)),
        side,
        depth,
        boxed=box is not None,
    )


def _depth(bag: SizedBag, side: Side, unit: str | None) -> str:
    if side.wall is not None:
        text = bag.grade["pieces"][side.wall.piece]["width"]
        return shown_length(read_length(text), unit, bag.grade["ruler"])
    box = bag.box("outside") or bag.box("inside")
    return "" if box is None else shown_length(box[2], unit, bag.grade["ruler"])


def _shifted(parts: Iterator[Part], across: float) -> Iterator[Part]:
    for part in parts:
        yield Part(part.kind, part.name, tuple((x + across, y) for x, y in part.points), part.material)
