"""Drawn pieces as polygons of shapely, an independent library for plane geometry."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from shapely import Polygon

from grading.cut import DrawnPiece, draw_pieces
from grading.cut.cut_line import CutSegment
from grading.cut.geometry import Curve
from tests.patterns import model_of

ARC_POINTS = 256
"""Points on each quarter arc; the polygon's area is then off by less than 1e-5 of the quarter's."""


def drawn(document: dict[str, Any], ruler: str | None = None) -> dict[str, DrawnPiece]:
    """The pieces of a pattern at its base size."""
    model = model_of(document, ruler)
    return draw_pieces(model, model.draft.base)


def stitched_polygon(piece: DrawnPiece) -> Polygon:
    """The stitching line as a polygon."""
    return Polygon([point for _, curve in piece.curves for point in _points(curve)])


def cut_polygon(piece: DrawnPiece) -> Polygon:
    """The cut line as a polygon."""
    return Polygon([point for segment in piece.cut_line for point in _points(segment)])


def _points(curve: Curve | CutSegment) -> Iterator[tuple[float, float]]:
    """The points of a segment but its end."""
    start, end = _float(curve.start), _float(curve.end)
    yield start
    if isinstance(curve, CutSegment) and curve.through is not None:
        yield from map(_float, curve.through)
        return
    if isinstance(curve, Curve) and curve.is_chain:
        yield from _on_chain(curve)
        return
    if curve.centre is None:
        return
    centre = _float(curve.centre)
    first, last = (math.atan2(y - centre[1], x - centre[0]) for x, y in (start, end))
    radius = math.hypot(start[0] - centre[0], start[1] - centre[1])
    turned = (first - last) % math.tau if curve.turn == "right" else -((last - first) % math.tau)
    for place in range(1, ARC_POINTS):
        angle = first - turned * place / ARC_POINTS
        yield centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)


def _on_chain(curve: Curve) -> Iterator[tuple[float, float]]:
    """Points of an ellipse by its angle, of a cubic by halving the lines between its points (de Casteljau)."""
    start, end = _float(curve.start), _float(curve.end)
    for place in range(1, ARC_POINTS):
        t = place / ARC_POINTS
        if curve.centre is not None:
            x, y = _float(curve.centre)
            cosine, sine = math.cos(t * math.pi / 2), math.sin(t * math.pi / 2)
            yield (
                x + (start[0] - x) * cosine + (end[0] - x) * sine,
                y + (start[1] - y) * cosine + (end[1] - y) * sine,
            )
            continue
        points = [start, *map(_float, curve.inner or ()), end]
        while len(points) > 1:
            points = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for a, b in itertools.pairwise(points)]
        yield points[0]


def _float(place: Sequence[Fraction]) -> tuple[float, float]:
    return float(place[0]), float(place[1])
