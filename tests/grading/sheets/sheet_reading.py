"""Reading sheets back with general libraries, and what a grade's document says of the same lines."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from math import atan2, hypot, pi
from pathlib import Path
from typing import Any

import pdfplumber

import grading

Json = dict[str, Any]
Place = tuple[float, float]
DEMO = Path(__file__).resolve().parents[3] / "demo_requests" / "patterns"
CURVED = Path(__file__).resolve().parents[1] / "curved_bag.json"
POINTS = 72 / 25.4
"""A point is 1/72 in (ISO 32000-1, section 8.3.2.3), an inch 25.4 mm."""
STEPS = 64


@lru_cache
def demo(name: str) -> Json:
    document: Json = json.loads((CURVED if name == "curved" else DEMO / f"{name}.json").read_text(encoding="utf-8"))
    return document


@lru_cache
def graded(name: str, size: str = "base") -> Json:
    return dict(grading.grade_document(grading.grade_size(grading.read_document(demo(name)), size=size)))


def number(text: str) -> float:
    """A printed length in millimetres, read by nothing but float and split."""
    value, unit = text.rsplit(" ", 1)
    whole = sum(
        float(part) if "/" not in part else float(part.split("/")[0]) / float(part.split("/")[1])
        for part in value.split(" ")
    )
    return whole * (25.4 if unit == "in" else 1)


def place(texts: list[str]) -> Place:
    return number(texts[0]), number(texts[1])


def cut_length(piece: Json) -> float:
    """The length of the cut line, from what the grade prints of its lines and arcs."""
    return sum(_entry_length(entry) for entry in piece["cut"])


def _entry_length(entry: Json) -> float:
    start, end = place(entry["start"]), place(entry["end"])
    if "through" in entry:
        points = [start, *(place(point) for point in entry["through"]), end]
        return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))
    if "centre" not in entry:
        return hypot(end[0] - start[0], end[1] - start[1])
    x, y = place(entry["centre"])
    turn = atan2(start[1] - y, start[0] - x) - atan2(end[1] - y, end[0] - x)
    span = (turn if entry["turns"] == "right" else -turn) % (2 * pi)
    return span * hypot(start[0] - x, start[1] - y)


def pages(content: bytes) -> list[Any]:
    return list(pdfplumber.open(io.BytesIO(content)).pages)


def page_lines(page: Any) -> Iterator[tuple[float, bool, list[Place]]]:
    """Every stroked path of a page: breadth in mm, whether it is dashed, and its points in mm, y upwards."""
    for item in (*page.lines, *page.rects, *page.curves):
        if not item["stroke"]:
            continue
        dashes = item["dash"][0] if item.get("dash") else []
        yield item["linewidth"] / POINTS, bool(dashes), _points(item["path"], float(page.height))


def _points(path: list[Any], height: float) -> list[Place]:
    found: list[Place] = []
    for operator, *points in path:
        ends = [(x / POINTS, (height - y) / POINTS) for x, y in points]
        if operator == "c":
            found += [_cubic(found[-1], *ends, t=step / STEPS) for step in range(1, STEPS + 1)]
        elif operator == "h":
            found.append(found[0])
        else:
            found += ends
    return found


def _cubic(a: Place, b: Place, c: Place, d: Place, t: float) -> Place:
    s = 1 - t
    weights = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
    x, y = (sum(w * point[axis] for w, point in zip(weights, (a, b, c, d), strict=True)) for axis in (0, 1))
    return x, y


def length(points: list[Place]) -> float:
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))


def breadth_and_height(points: list[Place]) -> Place:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(xs) - min(xs), max(ys) - min(ys)


def cut_paths(content: bytes) -> list[tuple[int, list[Place]]]:
    """The wide lines that are not dashed and have more than two points, with the page on which each is."""
    return [
        (number, points)
        for number, page in enumerate(pages(content), 1)
        for breadth, dashed, points in page_lines(page)
        if abs(breadth - 0.5) < 0.001 and not dashed and len(points) > 2
    ]
