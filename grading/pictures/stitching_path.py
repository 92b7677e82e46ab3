"""The stitching line of a piece as points, from the document of a grade; floats, for pictures only."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin
from typing import Any

from grading.drawing.cut_path import Place, place

STEPS = 16
"""Straight lines for which a drawn curve stands."""


def stitching_points(piece: Mapping[str, Any]) -> tuple[Place, ...]:
    """The points of a piece's stitching line in mm, x to the right and y upwards, in the order of its outline."""
    return tuple(point for points in edge_points(piece).values() for point in points[:-1])


def edge_points(piece: Mapping[str, Any]) -> dict[str, tuple[Place, ...]]:
    """The points of each edge of a piece, both of its ends among them."""
    at = place(piece["start"])
    edges: dict[str, tuple[Place, ...]] = {}
    for name, edge in piece["edges"].items():
        points = [at]
        for segment in edge["segments"]:
            points += _points(points[-1], segment)
        edges[name] = tuple(points)
        at = points[-1]
    return edges


def along_points(points: tuple[Place, ...], distance: float) -> Place:
    """The place at a distance along a chain of points, from its start; the nearer end where it lies beyond one."""
    for start, end in pairwise(points):
        step = hypot(end[0] - start[0], end[1] - start[1])
        if distance <= step and step:
            part = max(distance, 0.0) / step
            return start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1])
        distance -= step
    return points[-1]


def chain_length(points: tuple[Place, ...]) -> float:
    """The length of a chain of points."""
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))


def _points(start: Place, segment: Mapping[str, Any]) -> Iterator[Place]:
    end = place(segment["to"])
    if "by" in segment:
        yield from _cubic((start, place(segment["by"][0]), place(segment["by"][1]), end))
    elif "centre" in segment:
        axes = place(segment["axes"]) if "axes" in segment else (1.0, 1.0)
        yield from _arc((start, end), place(segment["centre"]), axes, segment["turns"] == "right")
    yield end


def _cubic(points: tuple[Place, Place, Place, Place]) -> Iterator[Place]:
    for number in range(1, STEPS):
        t = number / STEPS
        weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3)
        yield (
            sum(weight * point[0] for weight, point in zip(weights, points, strict=True)),
            sum(weight * point[1] for weight, point in zip(weights, points, strict=True)),
        )


def _arc(ends: tuple[Place, Place], centre: Place, axes: Place, right: bool) -> Iterator[Place]:
    """An arc of a circle, or of an ellipse seen as a circle of the radius 1."""
    (start, end), (across, along) = ends, axes
    first = atan2((start[1] - centre[1]) / along, (start[0] - centre[0]) / across)
    last = atan2((end[1] - centre[1]) / along, (end[0] - centre[0]) / across)
    span = (first - last if right else last - first) % (2 * pi)
    radius = hypot((start[0] - centre[0]) / across, (start[1] - centre[1]) / along)
    for number in range(1, STEPS):
        angle = first + (-1 if right else 1) * span * number / STEPS
        yield centre[0] + across * radius * cos(angle), centre[1] + along * radius * sin(angle)
