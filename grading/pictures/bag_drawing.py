"""How a bag and what stands beside it are drawn: lines in the breadths of ISO 128-2, cloths in pale colours."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import svg

from grading.drawing.cut_path import Place
from grading.drawing.strokes import INK, PALE, PAPER, line
from grading.pictures.bag_measures import Look, across_measure, upright_measure, written
from grading.pictures.bag_side import Side
from grading.pictures.bag_views import Views
from grading.pictures.bag_walls import Part

LOOK = Look()
SMALLER = 0.9


@dataclass(frozen=True)
class Drawn:
    """Where the bag stands in the picture: its scale, its ground, and the colours of its cloths."""

    scale: float
    ground: float
    colours: Mapping[str, str]

    def at(self, point: Place, left: float, height: float) -> Place:
        """Where a point of a view of this height lies, in the picture."""
        return left + point[0] * self.scale, self.ground - (height - point[1]) * self.scale

    def fill(self, material: str | None) -> str:
        """What a cloth is filled with: its colour, pale, or the paper's."""
        return PAPER if material is None or material not in self.colours else pale(self.colours[material])


def pale(colour: str) -> str:
    """A colour half way to white, so that lines and words on it can be read.

    >>> pale("#204060")
    '#8f9faf'
    """
    parts = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
    return "#" + "".join(f"{(part + 255) // 2:02x}" for part in parts)


def front_view(views: Views, paper: Drawn, left: float) -> Iterator[svg.Element]:
    """The front from `left` on, with its width and its height."""
    height, width = views.height[0], views.width[0]
    yield from _drawn(views.front, paper, left, height)
    right, top = left + width * paper.scale, paper.ground - height * paper.scale
    if views.boxed or not views.front:
        yield _box((left, top), (right, paper.ground))
    else:
        yield _outline(views.front[0], paper, left, height)
    yield from upright_measure(top, paper.ground, left, left - 22, views.height[1], LOOK)
    yield from across_measure(left, right, paper.ground, paper.ground + 32, views.width[1], LOOK)
    yield written("front" if views.side else "laid flat", ((left + right) / 2, paper.ground + 58), LOOK.size, "middle")


def side_view(views: Views, side: Side, paper: Drawn, left: float) -> Iterator[svg.Element]:
    """The side from `left` on, with its depth."""
    yield from _drawn(side.parts, paper, left, side.height)
    right, top = left + side.depth * paper.scale, paper.ground - side.height * paper.scale
    yield _box((left, top), (right, paper.ground))
    yield from across_measure(left, right, paper.ground, paper.ground + 32, views.depth, LOOK)
    yield written("side", ((left + right) / 2, paper.ground + 58), LOOK.size, "middle")


def known_thing(
    words: tuple[str, str], size: tuple[float, float, float], paper: Drawn, left: float
) -> Iterator[svg.Element]:
    """The thing that everybody knows, by its name and its measures."""
    across, upwards, corner = (each * paper.scale for each in size)
    yield svg.Rect(
        x=round(left, 2),
        y=round(paper.ground - upwards, 2),
        width=round(across, 2),
        height=round(upwards, 2),
        rx=round(corner, 2) or None,
        fill=PALE,
        stroke=INK,
        stroke_width=LOOK.narrow,
    )
    middle = left + across / 2
    yield written(words[0], (middle, paper.ground + 26), LOOK.size, "middle")
    yield written(words[1], (middle, paper.ground + 50), LOOK.size * SMALLER, "middle")


def _outline(part: Part, paper: Drawn, left: float, height: float) -> svg.Element:
    points = [svg.Point(*(round(each, 2) for each in paper.at(point, left, height))) for point in part.points]
    return svg.Polygon(points=points, fill="none", stroke=INK, stroke_width=LOOK.wide, stroke_linejoin="round")


def _box(corner: Place, other: Place) -> svg.Element:
    return svg.Rect(
        x=round(corner[0], 2),
        y=round(corner[1], 2),
        width=round(other[0] - corner[0], 2),
        height=round(other[1] - corner[1], 2),
        fill="none",
        stroke=INK,
        stroke_width=LOOK.wide,
    )


def _drawn(parts: Sequence[Part], paper: Drawn, left: float, height: float) -> Iterator[svg.Element]:
    for part in parts:
        points = [paper.at(point, left, height) for point in part.points]
        if part.kind == "line":
            for start, end in pairwise(points):
                yield line(start, end, LOOK.narrow, "7 4")
            continue
        drawn = [svg.Point(round(x, 2), round(y, 2)) for x, y in points]
        fill = PAPER if part.kind == "zip" else paper.fill(part.material)
        yield svg.Polygon(points=drawn, fill=fill, stroke=INK, stroke_width=LOOK.narrow, stroke_linejoin="round")
        if part.kind == "zip":
            yield from _teeth(points)


def _teeth(points: Sequence[Place]) -> Iterator[svg.Element]:
    """The middle of a zip: a wide line of short dashes along its longer way."""
    (left, top), (right, bottom) = points[0], points[2]
    across, down = (left + right) / 2, (top + bottom) / 2
    level = abs(right - left) > abs(bottom - top)
    ends = ((left, down), (right, down)) if level else ((across, top), (across, bottom))
    yield line(ends[0], ends[1], LOOK.wide, "2 2")
