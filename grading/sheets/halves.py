"""The half of a piece that is cut on the fold.

A part of a symmetric outline that crosses the middle line is symmetric itself, so it is divided in its middle.
"""

from __future__ import annotations

from collections.abc import Callable
from math import cos, sin

from grading.drawing.cut_path import Place
from grading.drawing.flatten import sweep
from grading.drawing.scene import ArcTo, CubicTo, LineTo, Part, Path

ON = 0.02
"""Points nearer to the middle line than this lie on it: twice what a printed coordinate may be off."""
Side = Callable[[Place], float]
"""How far a place lies beyond the middle line; below 0 it is kept."""


def half(path: Path, beyond: Side) -> Path:
    """The part of a path that is kept: of a closed one a path that is closed along the middle line.

    An open path that lies wholly beyond has no parts left.
    """
    points = [path.start, *(part.end for part in path.parts)]
    pieces: list[tuple[Place, Part]] = []
    for start, part in zip(points, path.parts, strict=False):
        pieces += _divided(start, part, beyond)
    kept = [
        beyond(start) <= ON and beyond(part.end) <= ON and not _lies_on(start, part, beyond) for start, part in pieces
    ]
    if not any(kept):
        return Path(path.start, (), path.style, path.layer)
    if path.closed:
        first = next(number for number in range(len(kept)) if kept[number] and not kept[number - 1])
        pieces = pieces[first:] + pieces[:first]
        kept = kept[first:] + kept[:first]
    chosen = [piece for piece, keep in zip(pieces, kept, strict=True) if keep]
    parts: list[Part] = []
    at = chosen[0][0]
    for start, part in chosen:
        if parts and _apart(at, start):
            parts.append(LineTo(start))
        parts.append(part)
        at = part.end
    return Path(chosen[0][0], tuple(parts), path.style, path.layer, path.closed)


def half_line(start: Place, end: Place, beyond: Side) -> tuple[Place, Place] | None:
    """What is kept of a straight line; None where nothing is."""
    a, b = beyond(start), beyond(end)
    if a > ON and b > ON:
        return None
    if a <= ON and b <= ON:
        return start, end
    share = a / (a - b)
    middle = (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
    return (start, middle) if a <= ON else (middle, end)


def _divided(start: Place, part: Part, beyond: Side) -> list[tuple[Place, Part]]:
    a, b = beyond(start), beyond(part.end)
    if min(a, b) >= -ON or max(a, b) <= ON:
        return [(start, part)]
    match part:
        case LineTo():
            middle = ((start[0] + part.end[0]) / 2, (start[1] + part.end[1]) / 2)
            return [(start, LineTo(middle)), (middle, part)]
        case ArcTo():
            radius, first, span = sweep(start, part)
            angle = first + span / 2
            middle = (part.centre[0] + radius * cos(angle), part.centre[1] + radius * sin(angle))
            return [(start, ArcTo(middle, part.centre, part.clockwise)), (middle, part)]
        case CubicTo():
            return _halved_cubic(start, part)


def _halved_cubic(start: Place, part: CubicTo) -> list[tuple[Place, Part]]:
    """Both halves of a cubic curve, by de Casteljau's construction."""

    def between(p: Place, q: Place) -> Place:
        return (p[0] + q[0]) / 2, (p[1] + q[1]) / 2

    a, b, c = between(start, part.first), between(part.first, part.second), between(part.second, part.end)
    d, e = between(a, b), between(b, c)
    middle = between(d, e)
    return [(start, CubicTo(middle, a, d)), (middle, CubicTo(part.end, e, c))]


def _lies_on(start: Place, part: Part, beyond: Side) -> bool:
    return isinstance(part, LineTo) and abs(beyond(start)) <= ON and abs(beyond(part.end)) <= ON


def _apart(p: Place, q: Place) -> bool:
    return max(abs(p[0] - q[0]), abs(p[1] - q[1])) > ON
