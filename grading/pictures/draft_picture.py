"""The pieces of a draft as a picture to design by: every edge named, one seam or edge lit.

Stitching lines are wide, lines within a piece narrow (ISO 128: 0.7 and 0.35 mm); of a lit seam the side that is joined
is drawn unbroken and the other one dashed, so that it reads without colour. Lines keep their breadth at any scale, and
take the colour of the page that shows them. Floats, to look at.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import atan2, cos, degrees, hypot, sin, sqrt
from typing import Any

import svg

from grading.drawing.cut_path import Place
from grading.drawing.strokes import safe
from grading.pictures.draft_pieces import DrawnDraft, DrawnPiece, draw_draft
from grading.pictures.stitching_path import along_points, chain_length

WIDE, NARROW, LIT = 2.65, 1.3, 4.5
"""Breadths of lines in pixels of a page, at 96 to the inch: 0.7 mm, 0.35 mm, and one that stands out."""
RED = "#c2201a"
FONT = "system-ui, sans-serif"
ASPECT = 1.5
NOWHERE = (0.0, 0.0, 100.0, 60.0)


@dataclass(frozen=True)
class Lit:
    """What is lit: edges of the one side, edges of the other, whole pieces; edges as `piece.edge`."""

    one: frozenset[str] = frozenset()
    other: frozenset[str] = frozenset()
    pieces: frozenset[str] = frozenset()


def draft_picture(document: Mapping[str, Any], lit: str | None = None) -> str:
    """An SVG picture of the pieces that can be drawn at the base size, in rows, all to one scale.

    `lit` is `seam:NAME`, `covering:NAME`, `piece:NAME` or `edge:PIECE.EDGE`; what it names need not be there.
    """
    drawn, shown = draw_draft(document), what_is_lit(document, lit)
    size = _letters(drawn)
    elements: list[svg.Element] = []
    right = bottom = 0.0
    for piece, (x, y) in _placed(drawn, size):
        elements.append(_piece(piece, (x, y), size, shown))
        wide, high = _extent(piece)
        right, bottom = max(right, x + wide), max(bottom, y + high + 2.2 * size)
    if drawn.undrawn:
        bottom += 1.6 * size
        names = ", ".join(name.replace("_", " ") for name in drawn.undrawn)
        elements.append(_words(f"not drawn yet: {names}", (0, bottom), size))
    view = svg.ViewBoxSpec(
        round(-size, 2), round(-size, 2), round(max(right, 8 * size) + 2 * size, 2), round(bottom + 2 * size, 2)
    )
    title = svg.Title(text=safe(f"The pieces of {document.get('name') or 'the draft'} at the base size"))
    return str(svg.SVG(viewBox=view, elements=[title, *elements], class_=["pieces"])) + "\n"


def what_is_lit(document: Mapping[str, Any], lit: str | None) -> Lit:
    """The edges and pieces that a name such as `seam:side` stands for."""
    kind, _, name = (lit or "").partition(":")
    if kind == "piece":
        return Lit(pieces=frozenset({name}))
    if kind == "edge":
        return Lit(one=frozenset({name}))
    uses = _uses(document)
    part = _part(document, {"seam": "seams", "covering": "coverings"}.get(kind, ""), name)
    if kind == "seam":
        return Lit(frozenset(_sides(part.get("join"), uses)), frozenset(_sides(part.get("to"), uses)))
    own, over = (uses.get(str(part.get(key)), str(part.get(key))) for key in ("piece", "over"))
    caught = part.get("caught") if isinstance(part.get("caught"), dict) else {}
    return Lit(
        frozenset(f"{own}.{edge}" for edge in caught or {}),
        frozenset(f"{over}.{edge}" for edge in (caught or {}).values()),
        frozenset({own}) if part else frozenset(),
    )


def _uses(document: Mapping[str, Any]) -> dict[str, str]:
    """The piece of each use."""
    found: dict[str, str] = {}
    pieces = document.get("pieces")
    for name, piece in pieces.items() if isinstance(pieces, dict) else ():
        uses = piece.get("uses") if isinstance(piece, dict) else None
        for use in uses if isinstance(uses, list) and uses else [name]:
            found[str(use.get("name") if isinstance(use, dict) else use)] = name
    return found


def _part(document: Mapping[str, Any], section: str, name: str) -> Mapping[str, Any]:
    parts = document.get(section)
    part = parts.get(name) if isinstance(parts, dict) else None
    return part if isinstance(part, dict) else {}


def _sides(entries: Any, uses: Mapping[str, str]) -> Iterator[str]:
    for entry in entries if isinstance(entries, list) else ():
        named = entry.get("edge", entry.get("line")) if isinstance(entry, dict) else entry
        use, _, edge = str(named).split(" ")[0].partition(".")
        yield f"{uses.get(use, use)}.{edge}"


def _letters(drawn: DrawnDraft) -> float:
    """The size of letters in mm of the pieces, so that they read where the picture is as wide as a page."""
    return max(_row(drawn) / 62, 4.0)


def _row(drawn: DrawnDraft) -> float:
    """How wide a row of pieces may be, in mm."""
    extents = [_extent(piece) for piece in drawn.pieces]
    area = sum(wide * high for wide, high in extents)
    return max([sqrt(area * ASPECT) * 1.35, *(wide for wide, _ in extents)], default=NOWHERE[2])


def _placed(drawn: DrawnDraft, size: float) -> Iterator[tuple[DrawnPiece, Place]]:
    """Each piece with the upper left corner of its box, in the order of the document."""
    width, x, y, row = _row(drawn), 0.0, 0.0, 0.0
    for piece in drawn.pieces:
        wide, high = _extent(piece)
        wide = max(wide, 7 * size)
        if x and x + wide > width:
            x, y, row = 0.0, y + row + 4.2 * size, 0.0
        yield piece, (x, y)
        x, row = x + wide + 2.5 * size, max(row, high)


def _points(piece: DrawnPiece) -> list[Place]:
    return [point for points in piece.edges.values() for point in points]


def _extent(piece: DrawnPiece) -> tuple[float, float]:
    xs, ys = zip(*_points(piece), strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def _piece(piece: DrawnPiece, corner: Place, size: float, lit: Lit) -> svg.G:
    left, top = min(x for x, _ in _points(piece)), max(y for _, y in _points(piece))

    def at(place: Place) -> Place:
        return place[0] - left + corner[0], top - place[1] + corner[1]

    wide, high = _extent(piece)
    elements: list[svg.Element] = []
    if piece.name in lit.pieces:
        outline = [at(point) for point in _points(piece)]
        elements.append(svg.Polygon(points=_flat(outline), fill=RED, fill_opacity=0.1, class_=["lit"]))
    for name, points in piece.lines.items():
        elements.append(_chain(f"{piece.name}.{name}", [at(point) for point in points], lit, wide=False))
    for name, points in piece.edges.items():
        elements.append(_chain(f"{piece.name}.{name}", [at(point) for point in points], lit))
        elements.append(_edge_name(name, [at(point) for point in points], size * 0.72, lit, f"{piece.name}.{name}"))
    elements += [_notch(at(place), size) for place in piece.notches.values()]
    elements += _grain(piece.grain, (corner[0] + wide * 0.3, corner[1] + high / 2), min(wide, high) * 0.3, size)
    label = f"{piece.letter}  {piece.name.replace('_', ' ')}"
    elements.append(_words(label, (corner[0], corner[1] + high + 1.5 * size), size, bold=True))
    return svg.G(elements=elements, class_=["piece"])


def _chain(name: str, points: list[Place], lit: Lit, *, wide: bool = True) -> svg.Element:
    """An edge, or a line within a piece, which is dashed."""
    is_lit = name in lit.one or name in lit.other
    dashes: list[Decimal | float | int] | None
    dashes = [9.0, 5.0] if name in lit.other and name not in lit.one else None if wide else [7.0, 3.0]
    return svg.Polyline(
        points=_flat(points),
        fill="none",
        stroke=RED if is_lit else "currentColor",
        stroke_width=LIT if is_lit else WIDE if wide else NARROW,
        stroke_dasharray=dashes,
        stroke_linecap="round" if is_lit else None,
        vector_effect="non-scaling-stroke",
        class_=["lit"] if is_lit else None,
        data={"name": name},
    )


def _edge_name(name: str, points: list[Place], size: float, lit: Lit, full: str) -> svg.Element:
    """The name of an edge, in its middle, on its inner side; left out where the edge is shorter than the word."""
    words, length = name.replace("_", " "), chain_length(tuple(points))
    if length < len(words) * size * 0.55 and full not in lit.one | lit.other:
        return svg.G()
    middle = along_points(tuple(points), length / 2)
    near = along_points(tuple(points), length / 2 + min(length / 4, size))
    angle = atan2(near[1] - middle[1], near[0] - middle[0])
    # On paper an outline runs clockwise: its inside is on the right of the way.
    inward = (middle[0] - sin(angle) * size, middle[1] + cos(angle) * size)
    turned = degrees(angle)
    turned = turned + 180 if turned > 90 or turned <= -90 else turned
    return _words(
        words, (inward[0], inward[1] + size * 0.3), size, anchor="middle", turned=(turned, inward), quiet=True
    )


def _notch(place: Place, size: float) -> svg.Element:
    x, y = place
    return svg.Circle(cx=round(x, 2), cy=round(y, 2), r=round(size * 0.22, 2), fill="currentColor")


def _grain(grain: str, middle: Place, reach: float, size: float) -> list[svg.Element]:
    """A narrow line with an arrow head at both ends, along the grain."""
    way = {"along": (0.0, 1.0), "across": (1.0, 0.0), "bias": (sqrt(0.5), sqrt(0.5))}[grain]
    reach = min(reach, 6 * size)
    ends = [(middle[0] + sign * way[0] * reach, middle[1] + sign * way[1] * reach) for sign in (-1, 1)]
    marks = [_narrow(ends)]
    for end, sign in zip(ends, (1, -1), strict=True):
        for side in (0.3, -0.3):
            back = (way[0] - side * way[1], way[1] + side * way[0])
            scale = sign * 0.6 * size / hypot(*back)
            marks.append(_narrow([end, (end[0] + back[0] * scale, end[1] + back[1] * scale)]))
    return marks


def _narrow(points: list[Place]) -> svg.Element:
    return svg.Polyline(
        points=_flat(points),
        fill="none",
        stroke="currentColor",
        stroke_width=NARROW,
        vector_effect="non-scaling-stroke",
    )


def _words(
    words: str,
    place: Place,
    size: float,
    *,
    anchor: str = "start",
    bold: bool = False,
    quiet: bool = False,
    turned: tuple[float, Place] | None = None,
) -> svg.Element:
    return svg.Text(
        x=round(place[0], 2),
        y=round(place[1], 2),
        text=safe(words),
        font_family=FONT,
        font_size=round(size, 2),
        font_weight="bold" if bold else None,
        text_anchor="middle" if anchor == "middle" else None,
        fill="currentColor",
        fill_opacity=0.8 if quiet else None,
        transform=None
        if turned is None
        else [svg.Rotate(round(turned[0], 1), round(turned[1][0], 2), round(turned[1][1], 2))],
    )


def _flat(points: list[Place]) -> list[svg.Point]:
    return [svg.Point(round(x, 1), round(y, 1)) for x, y in points]
