"""Claims of shape: each outline closes, runs clockwise, never crosses itself, and is symmetric where it is folded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np

from grading.cut import DrawnPiece
from grading.cut.geometry import Curve, Place, cross, dot, minus, size, turning
from grading.grade import Grade
from grading.model.bounds import OUTSIDE, arc_extremes, cubic_extremes
from grading.proof.claims import Claim

_ARC_POINTS = tuple(Fraction(k, 8) for k in range(1, 8))
_POINTS = (
    *(Fraction(1, 2**k) for k in range(12, 5, -1)),
    *(Fraction(k, 32) for k in range(1, 32)),
    *(1 - Fraction(1, 2**k) for k in range(6, 13)),
)
"""Where a curve is looked at, closer and closer to its ends: neighbours may cross near their corner."""
_HALVINGS = 5
"""Of an arc that is no quarter, to see whether it is crossed."""
_HALVINGS_AT_ENDS = 12
_DECIMALS = 12
"""Kept of the points that stand for a curve: they lie beside it anyway."""


def shape_claims(grade: Grade) -> Iterator[Claim]:
    """The claims of every piece's outline."""
    for name, drawn in grade.pieces.items():
        polygon = _polygon(drawn)
        area = _area(polygon)
        crossed, bulge = _turns_back(drawn) or _crossing(polygon), _bulge(drawn)
        found = f"{round(float(area))} mm²"
        if crossed:
            found = "crosses itself"
        elif bulge is not None:
            found = f"{bulge} bulges beyond its box"
        yield Claim(
            "closed",
            name,
            f"the outline of {name} runs clockwise and never crosses itself",
            found,
            "above 0, without a crossing, no curve beyond the box of its corners",
            area > 0 and not crossed and bulge is None,
            f"pieces.{name}.outline",
            "list the edges clockwise, as seen from the right side, and move the ones that cross; divide a curve where "
            "it is outermost",
        )
        if drawn.piece.written.on_fold:
            yield _symmetric(name, drawn)


def _polygon(drawn: DrawnPiece) -> list[Place]:
    points: list[Place] = []
    for _, curve in drawn.curves:
        points.append(curve.start)
        if curve.is_chain or curve.is_arc:
            points += _between(curve)
    return points


def _between(curve: Curve) -> Iterator[Place]:
    """Points of a curve between its ends, exact but for arcs that are no quarters: those to about 40 digits."""
    if curve.is_chain or _is_quarter(curve):
        whole = curve if curve.is_chain else replace(curve, ellipse=True)
        for t in _POINTS if curve.is_chain else _ARC_POINTS:
            point = whole.point_at(t)
            yield (round(point[0], _DECIMALS), round(point[1], _DECIMALS)) if curve.is_chain else point
    elif curve.centre is not None:
        yield from _on_arc(curve, curve.centre, 0, (True, True))


def _is_quarter(curve: Curve) -> bool:
    return curve.rise is None and dot(*(minus(point, curve.centre or point) for point in (curve.start, curve.end))) == 0


def _on_arc(curve: Curve, centre: Place, halved: int, outer: tuple[bool, bool]) -> Iterator[Place]:
    """Points of an arc between its ends: the middle of each part, out from the centre through that of its chord.

    Parts at an end of the whole (outer) are halved on, since neighbours may cross near their corner.
    """
    if halved >= (_HALVINGS_AT_ENDS if any(outer) else _HALVINGS):
        return
    start, end = minus(curve.start, centre), minus(curve.end, centre)
    way = start[0] + end[0], start[1] + end[1]
    side = 1 if curve.turn == "right" else -1
    chord = minus(end, start)
    outwards = (-chord[1] * side, chord[0] * side)
    # The middle lies outwards of the chord, which alone tells it where the arc turns by about half a circle.
    if dot(way, way) * 4 < dot(chord, chord):
        way = outwards
    elif dot(way, outwards) < 0:
        way = -way[0], -way[1]
    factor = curve.radius / size(way)
    middle = round(centre[0] + factor * way[0], _DECIMALS), round(centre[1] + factor * way[1], _DECIMALS)
    yield from _on_arc(Curve(curve.start, middle, centre, curve.turn), centre, halved + 1, (outer[0], False))
    yield middle
    yield from _on_arc(Curve(middle, curve.end, centre, curve.turn), centre, halved + 1, (False, outer[1]))


def _bulge(drawn: DrawnPiece) -> str | None:
    """The first edge that runs out of the box of the outline's vertices by more than OUTSIDE."""
    if drawn.piece.outline.flat is not None:
        return None
    vertices = list(drawn.vertices)
    for edge, curve in drawn.curves:
        for place in _extremes(curve):
            for axis in (0, 1):
                values = [vertex[axis] for vertex in vertices]
                if not min(values) - OUTSIDE <= place[axis] <= max(values) + OUTSIDE:
                    return edge
    return None


def _extremes(curve: Curve) -> Iterator[Place]:
    if curve.inner is not None:
        yield from cubic_extremes((curve.start, *curve.inner, curve.end))
    elif curve.rise is not None and curve.centre is not None and curve.turn is not None:
        yield from arc_extremes(curve.start, curve.end, curve.centre, curve.turn)


def _area(polygon: Sequence[Place]) -> Fraction:
    """The area of a polygon, above 0 if it runs clockwise."""
    return -sum((cross(polygon[place - 1], polygon[place]) for place in range(len(polygon))), Fraction(0)) / 2


def _turns_back(drawn: DrawnPiece) -> bool:
    """Whether one curve leaves a corner the very way that the one before came."""
    curves = [curve for _, curve in drawn.curves]
    ways = ((curves[place - 1].way_in, curve.way_out) for place, curve in enumerate(curves))
    return any(turning(before, after) == 0 and dot(before, after) < 0 for before, after in ways)


def _crossing(polygon: Sequence[Place]) -> bool:
    """Whether two sides of a polygon that are not neighbours meet, exactly; floats only tell which may."""
    count = len(polygon)
    sides = [(polygon[place], polygon[(place + 1) % count]) for place in range(count)]
    points = np.array([[float(x), float(y)] for x, y in polygon])
    ends = np.roll(points, -1, axis=0)
    room = 1e-9 * (1 + np.abs(points).max())
    low, high = np.minimum(points, ends) - room, np.maximum(points, ends) + room
    for first in range(count - 1):
        rest = slice(first + 2, count - (first == 0))
        near = np.all((low[rest] <= high[first]) & (high[rest] >= low[first]), axis=1)
        if any(_meet(sides[first], sides[first + 2 + int(place)]) for place in np.flatnonzero(near)):
            return True
    return False


def _meet(first: tuple[Place, Place], second: tuple[Place, Place]) -> bool:
    def side(line: tuple[Place, Place], point: Place) -> int:
        turn = cross(minus(line[1], line[0]), minus(point, line[0]))
        return (turn > 0) - (turn < 0)

    apart = side(first, second[0]) * side(first, second[1]) > 0 or side(second, first[0]) * side(second, first[1]) > 0
    return not apart


def _symmetric(name: str, drawn: DrawnPiece) -> Claim:
    upright = drawn.piece.written.grain != "across"
    coordinates = [curve.start[0 if upright else 1] for _, curve in drawn.curves]
    twice = min(coordinates) + max(coordinates)

    def mirrored(point: Place) -> Place:
        return (twice - point[0], point[1]) if upright else (point[0], twice - point[1])

    def run_back(curve: Curve) -> Curve:
        inner = None if curve.inner is None else (mirrored(curve.inner[1]), mirrored(curve.inner[0]))
        return replace(curve, start=mirrored(curve.end), end=mirrored(curve.start), centre=None, inner=inner)

    if drawn.piece.outline.flat is not None:
        same = upright  # it lies upright about the y axis
    else:
        there = {replace(curve, centre=None) for _, curve in drawn.curves}
        same = {run_back(curve) for _, curve in drawn.curves} == there
    return Claim(
        "closed",
        f"{name}: folded",
        f"{name} is the same on both sides of its fold",
        "the same" if same else "not the same",
        "the same",
        same,
        f"pieces.{name}.on_fold",
        "draw it symmetric, or do not cut it on the fold",
    )
