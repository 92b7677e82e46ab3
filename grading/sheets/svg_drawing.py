"""Templates as SVG: all pieces on one plane, in mm at true scale, a group for each piece; svg.py does the writing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from math import pi
from typing import Any

import svg

from grading.drawing.cut_path import Place
from grading.drawing.flatten import arc_points, sweep
from grading.drawing.papers import Paper
from grading.drawing.scene import Arc, ArcTo, Line, LineTo, Path, Polyline, Scene, Words
from grading.drawing.strokes import safe
from grading.drawing.styles import STYLES
from grading.sheets.piece_scene import Nest, draw_piece
from grading.sheets.tiles import Placed, tiled

PLANE = Paper("plane", 1520.0, 1e6, overlap=0.0, endless=True)
"""How wide pieces are laid beside each other."""
EDGE = 10.0
FONT = "DejaVu Sans, Verdana, sans-serif"
PLACES = 4
"""Decimals of a millimetre that are written."""


def svg_drawing(nests: Sequence[Nest], title: str) -> bytes:
    """The drawing; marks have the class of their layer: cut, stitch, notch, grain, fold, inner, text."""
    grid = tiled([partial(draw_piece, nest) for nest in nests], PLANE)
    width = max((each.box.right for each in grid.pieces), default=0.0) + 2 * EDGE
    height = -min((each.box.low for each in grid.pieces), default=0.0) + 2 * EDGE
    return drawing_of([_group(each, number) for number, each in enumerate(grid.pieces, 1)], (width, height), title)


def drawing_of(elements: Sequence[svg.Element], size: Place, title: str) -> bytes:
    """A whole drawing of this size in mm."""
    wide, high = (round(each, PLACES) for each in size)
    drawing = svg.SVG(
        width=svg.mm(wide),
        height=svg.mm(high),
        viewBox=svg.ViewBoxSpec(0, 0, wide, high),
        lang="en",
        elements=[svg.Title(text=safe(title)), *elements],
    )
    return f"{drawing}\n".encode()


def _group(piece: Placed, number: int) -> svg.Element:
    name = f"{piece.drawn.letter} {piece.drawn.piece.replace('_', ' ')}"
    elements = [svg.Title(text=safe(name)), *svg_marks(piece.scene, (EDGE, EDGE))]
    return svg.G(id=f"piece-{number}", class_=["piece"], elements=elements)


def svg_marks(scene: Scene, origin: Place) -> Iterator[svg.Element]:
    """The marks of a scene, whose point (0, 0) lies at `origin` and whose y runs downwards then."""
    for mark in scene.marks:
        if isinstance(mark, Words):
            yield _text(mark, _at(mark.place, origin))
        else:
            yield svg.Path(d=_data(mark, origin), class_=[mark.layer], **_pen(mark))


def _at(place: Place, origin: Place) -> Place:
    return round(origin[0] + place[0], PLACES), round(origin[1] - place[1], PLACES)


def _data(mark: Line | Polyline | Arc | Path, origin: Place) -> list[svg.PathData]:
    match mark:
        case Line():
            return [svg.M(*_at(mark.start, origin)), svg.L(*_at(mark.end, origin))]
        case Arc():
            first, *rest = (_at(point, origin) for point in arc_points(mark))
            return [svg.M(*first), *(svg.L(*point) for point in rest)]
        case Polyline():
            first, *rest = (_at(point, origin) for point in mark.points)
            drawn: list[svg.PathData] = [svg.M(*first), *(svg.L(*point) for point in rest)]
        case Path():
            drawn = [svg.M(*_at(mark.start, origin)), *_parts(mark, origin)]
    return [*drawn, svg.Z()] if mark.closed else drawn


def _parts(path: Path, origin: Place) -> Iterator[svg.PathData]:
    start = path.start
    for part in path.parts:
        end = _at(part.end, origin)
        match part:
            case LineTo():
                yield svg.L(*end)
            case ArcTo():
                radius, _, span = sweep(start, part)
                radius = round(radius, PLACES)
                yield svg.Arc(radius, radius, 0, abs(span) > pi, part.clockwise, *end)
            case _:
                yield svg.C(*_at(part.first, origin), *_at(part.second, origin), *end)
        start = part.end


def _pen(mark: Line | Polyline | Arc | Path) -> dict[str, Any]:
    style = STYLES[mark.style]
    ink = f"#{round(style.grey * 255):02x}" + f"{round(style.grey * 255):02x}" * 2
    if isinstance(mark, Polyline) and mark.filled:
        return {"fill": ink, "stroke": "none"}
    dashes = list(style.dashes) or None
    return {"fill": "none", "stroke": ink, "stroke_width": style.breadth, "stroke_dasharray": dashes}


def _text(words: Words, place: Place) -> svg.Element:
    turn = round(-words.turned, PLACES)
    return svg.Text(
        x=place[0],
        y=place[1],
        text=safe(words.text),
        class_=[words.layer],
        font_family=FONT,
        font_size=round(words.size, PLACES),
        font_weight="bold" if words.bold else None,
        text_anchor={"middle": "middle", "end": "end"}.get(words.anchor, "start"),  # type: ignore[arg-type]
        transform=[svg.Rotate(turn, *place)] if turn else None,
    )
