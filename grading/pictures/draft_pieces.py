"""The pieces of a draft as points at its base size, each that can be drawn; floats, for pictures only.

A draft in work is seldom sound. So each piece is read alone where the whole cannot be read, with the dimensions that
have a base; a piece that cannot be drawn even so is named.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, ceil, cos, hypot, pi, sin
from typing import Any

from grading.document import read_pattern
from grading.document.variants import own_ruler
from grading.drawing.cut_path import Place
from grading.errors import SizewrightError
from grading.exact import NotALength, read_length
from grading.model.draft import Draft
from grading.model.flat import Flat
from grading.model.pieces import Piece, letter_of, read_pieces
from grading.model.segment import Edge, Point, Segment
from grading.pictures.stitching_path import along_points

STEP = pi / 48
"""The greatest turn, in radians, for which one straight line stands."""
CUBIC_STEPS = 24
CLOTH = "cloth"
MOST_PIECES = 300
UNITS = ("mm", "cm", "m", "in", "ft", "yd")
NAME = re.compile(r"(?!thickness_)[a-z][a-z0-9_]{0,59}")


@dataclass(frozen=True)
class DrawnPiece:
    """A piece at the base size in mm, x to the right and y upwards: the points of each edge, of each line, its notches.

    `grain` is `along`, `across` or `bias`.
    """

    name: str
    letter: str
    edges: Mapping[str, tuple[Place, ...]]
    lines: Mapping[str, tuple[Place, ...]]
    notches: Mapping[str, Place]
    grain: str


@dataclass(frozen=True)
class DrawnDraft:
    """What can be drawn of a draft, and the names of pieces that cannot yet."""

    pieces: tuple[DrawnPiece, ...]
    undrawn: tuple[str, ...]


def draw_draft(document: Mapping[str, Any]) -> DrawnDraft:
    """The pieces of a draft at its base size. Never raises for a document, however wrong."""
    written = {str(name): piece for name, piece in list(_object(document, "pieces").items())[:MOST_PIECES]}
    drawn: dict[str, DrawnPiece] = _read(document, written)
    for number, (name, piece) in enumerate(written.items()):
        if name not in drawn:
            outline = {key: part for key, part in piece.items() if key == "outline"} if isinstance(piece, dict) else {}
            alone = _read(document, {name: piece}, number) or _read(document, {name: outline}, number)
            drawn.update(alone)
    ordered = tuple(drawn[name] for name in written if name in drawn)
    return DrawnDraft(ordered, tuple(name for name in written if name not in drawn))


def _read(document: Mapping[str, Any], pieces: Mapping[str, Any], first: int = 0) -> dict[str, DrawnPiece]:
    """What of these pieces can be drawn when they are read together; nothing where one of them is in the way."""
    try:
        draft = Draft(pattern := read_pattern(_reduced(document, pieces)), own_ruler(pattern))
        read = read_pieces(draft)
        faulty = {fault.path.split(".")[1] for fault in draft.faults if fault.path.startswith("pieces.")}
        return {
            name: _drawn(draft, piece, letter_of(first + list(pieces).index(name)))
            for name, piece in read.items()
            if name not in faulty
        }
    except (SizewrightError, ArithmeticError):
        return {}


def _reduced(document: Mapping[str, Any], pieces: Mapping[str, Any]) -> dict[str, Any]:
    """The least document that draws these pieces: no seams, one cloth, dimensions with nothing but their bases."""
    unit = document["unit"] if document.get("unit") in UNITS else "mm"
    thicknesses = {
        role: {"says": CLOTH, "thickness": material["thickness"]}
        for role, material in _object(document, "materials").items()
        if isinstance(material, dict) and _is_length(material.get("thickness"), unit)
    }
    return {
        "format": 1,
        "name": CLOTH,
        "unit": unit,
        **{key: document[key] for key in ("ruler",) if _is_length(document.get(key), unit)},
        "dimensions": dict(_bases(document, unit)),
        "materials": {CLOTH: {"says": CLOTH}, **thicknesses},
        "pieces": {name: _bare(piece) for name, piece in pieces.items()},
    }


def _bases(document: Mapping[str, Any], unit: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    for name, dimension in _object(document, "dimensions").items():
        if NAME.fullmatch(name) and isinstance(dimension, dict):
            base, kind = dimension.get("base"), dimension.get("kind", "length")
            if (kind == "count" and isinstance(base, int)) or (kind == "length" and _is_length(base, unit)):
                yield name, {"base": base, "kind": kind, **({"sizing": "fixed"} if kind == "count" else {})}


def _bare(piece: Any) -> Any:
    if not isinstance(piece, dict):
        return piece
    kept = {key: piece[key] for key in ("outline", "grain") if key in piece}
    for key in ("notches", "lines"):
        marks = piece.get(key)
        if isinstance(marks, dict):
            kept[key] = {
                name: {part: value for part, value in mark.items() if part != "when"}
                if isinstance(mark, dict)
                else mark
                for name, mark in marks.items()
            }
    return {**kept, "layers": [{"material": CLOTH}]}


def _drawn(draft: Draft, piece: Piece, letter: str) -> DrawnPiece:
    flat = piece.outline.flat
    edges = (
        {edge.name: tuple(_edge_points(draft, edge)) for edge in piece.outline.edges}
        if flat is None
        else _flat_points(draft, flat, [edge.name for edge in piece.outline.edges])
    )
    lines = {name: tuple(_edge_points(draft, line.edge)) for name, line in piece.lines.items()}
    notches = {
        name: along_points(edges[notch.edge.name], float(draft.at_base(notch.distance)))
        for name, notch in piece.notches.items()
    }
    return DrawnPiece(piece.name, letter, edges, lines, notches, piece.written.grain)


def _edge_points(draft: Draft, edge: Edge) -> Iterator[Place]:
    yield _place(draft, edge.first.start)
    for segment in edge.segments:
        yield from _segment_points(draft, segment)


def _segment_points(draft: Draft, segment: Segment) -> Iterator[Place]:
    """The points of a segment after its start."""
    start, end = _place(draft, segment.start), _place(draft, segment.end)
    if segment.inner is not None:
        inner = [_place(draft, point) for point in segment.inner]
        yield from _cubic((start, inner[0], inner[1], end))
    elif segment.rise is not None:
        right = segment.turn == "right"
        yield from _arc(start, end, _centre(start, end, float(draft.at_base(segment.rise)), right), right=right)
    elif segment.turn is not None:
        yield from _arc(start, end, _place(draft, segment.centre), right=segment.turn == "right")
    yield end


def _centre(start: Place, end: Place, rise: float, right: bool) -> Place:
    """The centre of the circle through both ends whose arc rises so far beside the chord, left of the way for right."""
    across, up = end[0] - start[0], end[1] - start[1]
    chord = hypot(across, up)
    radius = (chord * chord / 4 + rise * rise) / (2 * rise)
    side = (radius - rise) / chord * (-1 if right else 1)
    return (start[0] + end[0]) / 2 - side * up, (start[1] + end[1]) / 2 + side * across


def _arc(start: Place, end: Place, centre: Place, *, right: bool) -> Iterator[Place]:
    """Points between the ends of an arc about a centre; of an ellipse whose half axes are its extents."""
    ends = [(place[0] - centre[0], place[1] - centre[1]) for place in (start, end)]
    wide, high = max(abs(x) for x, _ in ends), max(abs(y) for _, y in ends)
    is_circle = abs(hypot(*ends[0]) - hypot(*ends[1])) < 1e-6 * (wide + high)
    wide, high = (hypot(*ends[0]),) * 2 if is_circle else (wide, high)
    first, last = (atan2(y / high, x / wide) for x, y in ends)
    turn = (first - last if right else last - first) % (2 * pi)
    count = max(ceil(turn / STEP), 1)
    for number in range(1, count):
        angle = first + (-turn if right else turn) * number / count
        yield centre[0] + wide * cos(angle), centre[1] + high * sin(angle)


def _cubic(points: tuple[Place, Place, Place, Place]) -> Iterator[Place]:
    for number in range(1, CUBIC_STEPS):
        t = number / CUBIC_STEPS
        weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        x, y = (sum(weight * point[way] for weight, point in zip(weights, points, strict=True)) for way in (0, 1))
        yield x, y


def _flat_points(draft: Draft, flat: Flat, names: list[str]) -> dict[str, tuple[Place, ...]]:
    """The edges of a part of a ring, upright about the y axis."""
    outer, inner, turn = (float(value) for value in flat.rolled(draft.base))
    count = max(ceil(turn / STEP), 1)
    angles = [pi / 2 + turn * (0.5 - number / count) for number in range(count + 1)]
    rim = tuple((outer * cos(angle), outer * sin(angle)) for angle in angles)
    hole = tuple((inner * cos(angle), inner * sin(angle)) for angle in reversed(angles))
    found = {"outer": rim, "right": (rim[-1], hole[0]), "inner": hole, "left": (hole[-1], rim[0])}
    return {name: found[name] for name in names}


def _place(draft: Draft, point: Point) -> Place:
    return float(draft.at_base(point.x)), float(draft.at_base(point.y))


def _is_length(value: Any, unit: Any) -> bool:
    try:
        return not isinstance(value, bool) and Fraction(0) < read_length(value, unit) <= 20_000
    except (NotALength, TypeError, KeyError, ValueError):
        return False


def _object(document: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    found = document.get(key)
    return found if isinstance(found, dict) else {}
