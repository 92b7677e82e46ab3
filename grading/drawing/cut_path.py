"""The cut line of a piece as points, from the document of a grade; floats, for pictures only."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import atan2, ceil, cos, hypot, pi, sin
from typing import Any

from grading.exact import read_length

Place = tuple[float, float]
STEP = pi / 16
"""The angle that one straight line of a drawn arc spans."""


def millimetres(text: str) -> float:
    """A printed length in mm. Raises NotALength."""
    return float(read_length(text))


def cut_points(piece: Mapping[str, Any]) -> tuple[Place, ...]:
    """The points of a piece's cut line in mm, x to the right and y upwards, in the order of its outline."""
    return tuple(point for segment in piece["cut"] for point in _points(segment))


def _points(segment: Mapping[str, Any]) -> Iterator[Place]:
    start, end = place(segment["start"]), place(segment["end"])
    yield start
    if "through" in segment:
        yield from (place(point) for point in segment["through"])
    elif "centre" in segment:
        yield from _arc(start, end, place(segment["centre"]), segment["turns"] == "right")


def place(texts: Sequence[str]) -> Place:
    """A printed point in mm."""
    return millimetres(texts[0]), millimetres(texts[1])


def _arc(start: Place, end: Place, centre: Place, right: bool) -> Iterator[Place]:
    radius = hypot(start[0] - centre[0], start[1] - centre[1])
    first = atan2(start[1] - centre[1], start[0] - centre[0])
    last = atan2(end[1] - centre[1], end[0] - centre[0])
    span = (first - last if right else last - first) % (2 * pi)
    count = ceil(span / STEP)
    for number in range(1, count):
        angle = first + (-1 if right else 1) * span * number / count
        yield centre[0] + radius * cos(angle), centre[1] + radius * sin(angle)
