"""Stitching and cut lines of a piece as paths, from the document of a grade: the lines and curves that it prints."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby
from math import atan2, ceil, cos, pi, sin, tan
from typing import Any

from grading.drawing.cut_path import Place, millimetres, place
from grading.drawing.scene import ArcTo, CubicTo, LineTo, Part, Path

ELLIPSE_PIECE = 0.4
"""The greatest angle that one cubic of an ellipse spans: off by less than 1e-7 of its half axes."""
Edge = tuple[Place, tuple[Part, ...]]
"""Where an edge starts, and its parts."""


def cut_line(piece: Mapping[str, Any]) -> Path:
    """The cut line, closed."""
    parts = [part for entry in piece["cut"] for part in _cut_parts(entry)]
    return Path(place(piece["cut"][0]["start"]), tuple(parts), "cut", "cut", closed=True)


def edges(piece: Mapping[str, Any]) -> dict[str, Edge]:
    """Every edge of the stitching line, in the order of the outline."""
    found: dict[str, Edge] = {}
    at = place(piece["start"])
    for name, edge in piece["edges"].items():
        parts: list[Part] = []
        start = at
        for segment in edge["segments"]:
            parts += _parts(at, segment)
            at = parts[-1].end
        found[name] = (start, tuple(parts))
    return found


def whole_outline(piece: Mapping[str, Any]) -> Path:
    """The stitching line all round, closed."""
    every = edges(piece)
    parts = tuple(part for _, each in every.values() for part in each)
    return Path(place(piece["start"]), parts, "stitch", "stitch", closed=True)


def stitching_lines(piece: Mapping[str, Any]) -> tuple[Path, ...]:
    """The stitching line where it does not lie on the cut line: whole, or the runs of edges that have an allowance."""
    allowances = {name: millimetres(edge["allowance"]) for name, edge in piece["edges"].items()}
    if all(allowances.values()):
        return (whole_outline(piece),)
    every = list(edges(piece).items())
    bare = next(number for number, (name, _) in enumerate(every) if not allowances[name])
    turned = every[bare:] + every[:bare]
    runs = (list(run) for has, run in groupby(turned, key=lambda each: allowances[each[0]] > 0) if has)
    return tuple(
        Path(run[0][1][0], tuple(part for _, (_, parts) in run for part in parts), "stitch", "stitch") for run in runs
    )


def _cut_parts(entry: Mapping[str, Any]) -> Iterator[Part]:
    end = place(entry["end"])
    if "through" in entry:
        yield from (LineTo(place(point)) for point in entry["through"])
    if "centre" in entry:
        yield ArcTo(end, place(entry["centre"]), entry["turns"] == "right")
    else:
        yield LineTo(end)


def _parts(start: Place, segment: Mapping[str, Any]) -> Iterator[Part]:
    end = place(segment["to"])
    if "by" in segment:
        yield CubicTo(end, place(segment["by"][0]), place(segment["by"][1]))
    elif "axes" in segment:
        yield from _ellipse((start, end), place(segment["centre"]), place(segment["axes"]), segment["turns"] == "right")
    elif "centre" in segment:
        yield ArcTo(end, place(segment["centre"]), segment["turns"] == "right")
    else:
        yield LineTo(end)


def _ellipse(ends: tuple[Place, Place], centre: Place, axes: Place, right: bool) -> Iterator[Part]:
    """A part of an ellipse as cubic curves: a circle of radius 1, stretched to the half axes."""
    (x, y), (a, b) = centre, axes
    angles = [atan2((end[1] - y) / b, (end[0] - x) / a) for end in ends]
    span = (angles[0] - angles[1] if right else angles[1] - angles[0]) % (2 * pi)
    count = ceil(span / ELLIPSE_PIECE)
    step = (-span if right else span) / count
    handle = 4 / 3 * tan(step / 4)
    for number in range(count):
        s = angles[0] + step * number
        t = s + step
        first = (x + a * (cos(s) - handle * sin(s)), y + b * (sin(s) + handle * cos(s)))
        second = (x + a * (cos(t) + handle * sin(t)), y + b * (sin(t) - handle * cos(t)))
        end = ends[1] if number == count - 1 else (x + a * cos(t), y + b * sin(t))
        yield CubicTo(end, first, second)
