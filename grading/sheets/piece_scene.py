"""One piece as a scene: all sizes of it that lie on each other, its words and its grain."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from grading.drawing.box import Box
from grading.drawing.cut_path import Place
from grading.drawing.extent import scene_box
from grading.drawing.flatten import path_points
from grading.drawing.moving import moved, moved_mark, turned_place
from grading.drawing.room import Room
from grading.drawing.scene import Line, Mark, Path, Polyline, Scene, Words
from grading.drawing.styles import inner_style, size_style
from grading.sheets.grain import grain_arrow
from grading.sheets.label import SIZES as LABEL_SIZES
from grading.sheets.label import Row, fitted, set_label
from grading.sheets.line_words import Lettered, beside, plainest
from grading.sheets.template import Template

OUTSIDE_LETTERS = 30
ROUGH = 0.2
"""How finely in mm curves are looked at for the room that words have."""
INNER_STYLES: Mapping[str, str] = {
    "placement": "dashed",
    "topstitching": "dots",
    "quilting": "dots",
    "fold": "chain",
    "pleat": "chain",
}
Lines = Sequence[Sequence[Place]]


@dataclass(frozen=True)
class Drawn:
    """A piece that is drawn: its scene, and the cut lines of its sizes as points."""

    letter: str
    piece: str
    scene: Scene
    outlines: tuple[tuple[Place, ...], ...]

    @property
    def box(self) -> Box:
        """The least box around all of it."""
        return scene_box(self.scene)


@dataclass(frozen=True)
class Nest:
    """A piece at one size or at several, nested on the origin of its drawing, and what its label says besides.

    `order` has the names of all sizes on these sheets: each keeps its style of line from piece to piece.
    """

    pattern: str
    sizes: tuple[Template, ...]
    order: tuple[str, ...]
    state: str = ""

    @property
    def single(self) -> bool:
        """Whether there is one size only; then stitching lines are drawn, and inner lines by their kind."""
        return len(self.order) == 1

    @property
    def piece(self) -> str:
        """The piece's name."""
        return self.sizes[0].piece


@dataclass(frozen=True)
class _Line:
    """Sizes of a piece that have the same shape, and their place in the order of sizes."""

    template: Template
    sizes: tuple[str, ...]
    number: int


def draw_piece(nest: Nest, quarters: int = 0, avoid: Lines = ()) -> Drawn:
    """The scene of a piece, turned anticlockwise by so many quarters; its words are not turned.

    `avoid` are lines, of joins between pages, that its words keep clear of where they can.
    """
    lines = list(_lines(nest))
    marks = [moved_mark(mark, (0, 0), quarters) for line in lines for mark in _marks(line, nest.single)]
    outlines = tuple(_turned(path_points(line.template.cut), quarters) for line in lines)
    rough = [_turned(path_points(line.template.cut, ROUGH), quarters) for line in lines]
    room = Room(min(rough, key=_area), [_points(mark) for mark in marks])
    arrow = grain_arrow(lines[0].template, room, quarters)
    room.take_lines(avoid)
    words = tuple(beside(list(_lettered(lines, rough, nest.single, quarters)), room))
    label = _label(_rows(nest, lines), room)
    scene = Scene((*marks, *words, *arrow.marks, *label.marks))
    return Drawn(lines[0].template.letter, nest.piece, scene, outlines)


def _lines(nest: Nest) -> Iterator[_Line]:
    left = list(nest.sizes)
    while left:
        same = [each for each in left if each.shape == left[0].shape]
        yield _Line(left[0], tuple(each.size for each in same), nest.order.index(left[0].size))
        left = [each for each in left if each not in same]


def _marks(line: _Line, single: bool) -> Iterator[Mark]:
    template = line.template
    style = "cut" if single else size_style(line.number)
    yield replace(template.cut, style=style, closed=template.fold is None)
    if template.fold is not None:
        yield Line(*template.fold, "fold", "fold")
    if single:
        yield from template.stitching
    for notch in template.notches:
        yield Line(notch.outer, notch.inner, "wide", "notch")
    for inner in template.inner:
        inside = INNER_STYLES.get(inner.kind, "dashed") if single else inner_style(line.number)
        yield Line(inner.start, inner.end, inside, "inner")


def _turned(points: Sequence[Place], quarters: int) -> tuple[Place, ...]:
    return tuple(turned_place(point, quarters) for point in points)


def _turned_line(line: tuple[Place, Place], quarters: int) -> tuple[Place, Place]:
    return turned_place(line[0], quarters), turned_place(line[1], quarters)


def _lettered(lines: Sequence[_Line], outlines: Lines, single: bool, quarters: int) -> Iterator[Lettered]:
    for line, outline in zip(lines, outlines, strict=True):
        template, sizes = line.template, ", ".join(line.sizes)
        for inner in template.inner:
            says = inner.name.replace("_", " ")
            kind = "" if inner.kind in says else f" ({inner.kind})"
            told = f"{says}{kind}" if single else f"{says}: {sizes}"
            yield Lettered(_turned_line((inner.start, inner.end), quarters), told)
        if template.fold is not None:
            yield Lettered(_turned_line(template.fold, quarters), "place on the fold", inwards=True)
        if not single and len(lines) > 1:
            plain = plainest(outline, [other for other in outlines if other is not outline])
            yield Lettered(plain, sizes, inwards=True)


def _rows(nest: Nest, lines: Sequence[_Line]) -> list[Row]:
    template = lines[0].template
    rows = [Row(f"{template.letter} {template.name}", title=True)]
    if nest.single:
        rows.append(Row(f"{nest.pattern}, {template.size}"))
        rows += [Row(fact) for fact in template.facts]
    else:
        rows.append(Row(f"{nest.pattern}, nested sizes"))
        for line in lines:
            says = "all sizes" if len(line.sizes) == len(nest.order) else ", ".join(line.sizes)
            rows.append(Row(says, sample=size_style(line.number)))
        rows += [Row(fact) for fact in template.shared]
    return [*rows, *([Row(nest.state)] if nest.state else [])]


def _label(rows: Sequence[Row], room: Room) -> Scene:
    """The label in the piece where it has room, else below it."""
    box = room.box
    label = fitted(rows, room, box.middle, upright=box.height > 2.5 * box.width)
    if label is not None:
        return label[0]
    below = set_label(rows, LABEL_SIZES[-2], OUTSIDE_LETTERS)
    return moved(below.scene, (box.left, box.low - below.height - 2))


def _points(mark: Mark) -> tuple[Place, ...]:
    match mark:
        case Line():
            return mark.start, mark.end
        case Path():
            points = path_points(mark, ROUGH)
            return (*points, points[0]) if mark.closed else points
        case Polyline():
            return mark.points
        case Words():
            return ()
    return ()


def _area(points: Sequence[Place]) -> float:
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], points[0]], strict=True))) / 2
