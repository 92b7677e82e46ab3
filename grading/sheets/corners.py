"""Templates of corners alone, for large rectangles that are drawn by their measures: only what is round needs paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from grading.drawing.box import Box, around
from grading.drawing.cut_path import Place
from grading.drawing.flatten import path_points
from grading.drawing.scene import ArcTo, LineTo, Path
from grading.sheets.template import Template

USE = "draw the rectangle by its measures; turn this template so that its two long sides lie on the edges"
ARM = 40.0
"""How far a corner's template goes on along both straight sides."""
NEAR = 0.02
"""Printed coordinates may be off by 0.01 mm each."""
NAMES = {
    (False, True): "upper left",
    (True, True): "upper right",
    (True, False): "lower right",
    (False, False): "lower left",
}
"""Corners by whether they are at the right and at the top."""


def is_rectangle(template: Template) -> bool:
    """Whether the cut line is a rectangle with square corners."""
    return len(template.cut.parts) == 4 and _boxed(template) and not any(_arcs(template.cut))


def is_rounded(template: Template) -> bool:
    """Whether the cut line is a rectangle of which some corners are rounded, and the piece is not on the fold."""
    return template.fold is None and _boxed(template) and any(True for _ in _arcs(template.cut))


def shared_corners(pieces: Sequence[Sequence[Template]]) -> tuple[tuple[Template, ...], ...]:
    """Templates for the corners of rounded rectangles, each piece at all its sizes; like corners of several pieces
    share one.

    Coordinates begin at the corner of the box; each is drawn as an upper left corner.
    """
    shared: dict[tuple[tuple[str, float], ...], list[tuple[Template, str]]] = {}
    for each_size in pieces:
        sizes = [_corners(each) for each in each_size]
        for number, which in enumerate(sizes[0].values()):
            radii = tuple(
                (each.size, list(found)[min(number, len(found) - 1)])
                for each, found in zip(each_size, sizes, strict=True)
            )
            shared.setdefault(radii, []).append((each_size[0], which))
    return tuple(
        tuple(_corner(users, size, radius, number) for size, radius in radii)
        for number, (radii, users) in enumerate(shared.items(), 1)
    )


def _corners(template: Template) -> dict[float, str]:
    """The radii at the corners of a piece, and at which corners each is."""
    box = around(path_points(template.cut))
    named: dict[float, list[str]] = {}
    for start, arc in _arcs(template.cut):
        name = NAMES[arc.centre[0] > box.middle[0], arc.centre[1] > box.middle[1]]
        named.setdefault(_radius(start, arc), []).append(name)
    return {radius: "all corners" if len(names) == 4 else " and ".join(names) for radius, names in named.items()}


def _corner(users: Sequence[tuple[Template, str]], size: str, radius: float, number: int) -> Template:
    """A corner as an upper left one, cut clockwise from its lower arm, with the corner of the box at (0, 0)."""
    side = radius + ARM
    parts = (
        LineTo((0.0, -radius)),
        ArcTo((radius, 0.0), (radius, -radius), True),
        LineTo((side, 0.0)),
        LineTo((side, -side)),
        LineTo((0.0, -side)),
    )
    facts = tuple(f"{each.letter} {each.name}: {which}" for each, which in users)
    return replace(
        users[0][0],
        letter=f"c{number}",
        piece=f"corner_{number}",
        size=size,
        cut=Path((0.0, -side), parts, "cut", "cut", closed=True),
        stitching=(),
        notches=(),
        inner=(),
        grain=None,
        up=None,
        facts=(*facts, f"radius of the cut line {radius:g} mm", USE),
        shared=(*facts, USE),
    )


def _radius(start: Place, arc: ArcTo) -> float:
    return round(max(abs(arc.end[0] - start[0]), abs(arc.end[1] - start[1])), 2)


def _arcs(path: Path) -> Iterator[tuple[Place, ArcTo]]:
    start = path.start
    for part in path.parts:
        if isinstance(part, ArcTo):
            yield start, part
        start = part.end


def _boxed(template: Template) -> bool:
    """Whether every straight part lies on a side of the box, and every curve is a quarter that turns outwards."""
    box = around(path_points(template.cut))
    start = template.cut.start
    for part in template.cut.parts:
        dx, dy = abs(part.end[0] - start[0]), abs(part.end[1] - start[1])
        if isinstance(part, ArcTo):
            if abs(dx - dy) > NEAR or not part.clockwise or not _on_side(start, box) or not _on_side(part.end, box):
                return False
        elif not isinstance(part, LineTo) or not _along_side(start, part.end, box):
            return False
        start = part.end
    return True


def _on_side(place: Place, box: Box) -> bool:
    x, y = place
    return min(abs(x - box.left), abs(x - box.right), abs(y - box.low), abs(y - box.top)) <= NEAR


def _along_side(start: Place, end: Place, box: Box) -> bool:
    upright = any(abs(start[0] - side) + abs(end[0] - side) <= NEAR for side in (box.left, box.right))
    level = any(abs(start[1] - side) + abs(end[1] - side) <= NEAR for side in (box.low, box.top))
    return upright or level
