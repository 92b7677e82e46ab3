"""The picture of nested sizes: its paths, read again from the SVG, enclose the areas of the pieces."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path
from typing import Any

import pytest
from shapely import Polygon

from demo_requests.picture import draw_sizes
from grading.pipeline import grade_document, grade_size, read_document
from tests.drawing import drawn, stitched_polygon
from tests.patterns import sheet

Json = dict[str, Any]
Place = tuple[float, float]
POINTS = 200


def picture_of(*documents: Json, sizes: tuple[str, ...] = ("base",)) -> str:
    pattern = read_document(documents[0])
    return draw_sizes("Bag", {size: grade_document(grade_size(pattern, size)) for size in sizes})


def polygon(path: str) -> Polygon:
    """The area of an SVG path of lines, arcs and cubics, by the formulas of SVG 1.1, appendix F.6."""
    points: list[Place] = []
    for command, numbers in re.findall(r"([MLACZ])([^MLACZ]*)", path):
        values = [float(number) for number in numbers.split()]
        if command in "ML":
            points.append((values[0], values[1]))
        elif command == "A":
            points += arc(points[-1], values)
        elif command == "C":
            points += cubic([points[-1], *zip(values[::2], values[1::2], strict=True)])
    return Polygon(points)


def cubic(points: list[Place]) -> list[Place]:
    found = []
    for number in range(1, POINTS + 1):
        t = number / POINTS
        factors = [math.comb(3, k) * (1 - t) ** (3 - k) * t**k for k in range(4)]
        found.append(tuple(sum(f * p[a] for f, p in zip(factors, points, strict=True)) for a in (0, 1)))
    return found  # type: ignore[return-value]


def arc(start: Place, values: list[float]) -> list[Place]:
    rx, ry, _, large, sweep, *end = values
    x, y = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    under = (rx * ry) ** 2 / ((rx * y) ** 2 + (ry * x) ** 2) - 1
    factor = (1 if large != sweep else -1) * math.sqrt(max(under, 0))
    mx, my = factor * rx * y / ry, -factor * ry * x / rx
    centre = mx + (start[0] + end[0]) / 2, my + (start[1] + end[1]) / 2
    first, last = (math.atan2((py - my) / ry, (px - mx) / rx) for px, py in ((x, y), (-x, -y)))
    turn = (last - first) % math.tau if sweep else -((first - last) % math.tau)
    angles = (first + turn * number / POINTS for number in range(1, POINTS + 1))
    return [(centre[0] + rx * math.cos(angle), centre[1] + ry * math.sin(angle)) for angle in angles]


SHAPES: dict[str, Json] = {
    "rounded": {"rounded_rectangle": {"width": 160, "height": 90, "corners": 20}},
    "disc": {"disc": {"radius": 60}},
    "lens": {"start": [0, 0], "edges": [
        {"name": "over", "to": [160, 0], "arc": "right", "rise": 40},
        {"name": "under", "to": [0, 0], "arc": "left", "rise": 20}]},
    "egg": {"start": [0, 0], "edges": [
        {"name": "a", "to": [60, 90], "ellipse": "right"}, {"name": "b", "to": [120, 0], "ellipse": "right"},
        {"name": "c", "to": [60, -50], "ellipse": "right"}, {"name": "d", "to": [0, 0], "ellipse": "right"}]},
    "flap": {"start": [0, 0], "edges": [
        {"name": "top", "to": [160, 0]},
        {"name": "right", "to": [80, -110], "cubic": [[160, -60], [130, -110]]},
        {"name": "left", "to": [0, 0], "cubic": [[30, -110], [0, -60]]}]},
    "wide": {"sector": {"outer": 150, "inner": 60, "turn": "3/4"}},
    "half": {"sector": {"outer": 150, "inner": 60, "turn": "1/2"}},
    "pointed": {"cone": {"bottom": 100, "top": 0, "height": 120}},
}  # fmt: skip


@pytest.mark.parametrize("name", SHAPES)
def test_a_path_has_the_area_and_the_box_of_its_piece(name: str) -> None:
    document = sheet(SHAPES[name])
    (path,) = re.findall(r'<path d="([^"]+)"', picture_of(document))
    found, wanted = polygon(path), stitched_polygon(drawn(document)["sheet"])
    assert found.area == pytest.approx(wanted.area, rel=1e-3)
    left, top, right, bottom = found.bounds
    assert (left, top) == pytest.approx((0, 0), abs=0.05)
    low, under, high, over = wanted.bounds
    assert (right, bottom) == pytest.approx((high - low, over - under), abs=0.05)


def test_every_piece_of_the_curved_bag_is_drawn_in_every_size() -> None:
    file = Path(__file__).parents[1] / "grading" / "curved_bag.json"
    svg = picture_of(json.loads(file.read_text(encoding="utf-8")), sizes=("small", "base", "wide"))
    paths = re.findall(r'<path d="([^"]+)"', svg)
    assert len(paths) == 8 * 3
    assert all(polygon(path).is_valid for path in paths)
