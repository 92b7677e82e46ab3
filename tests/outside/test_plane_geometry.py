"""Rounded rectangles and boxed corners, recomputed as patterns and graded.

The perimeter of a rounded rectangle, 2 (W + H) - (8 - 2 pi) r, is plane geometry that any textbook has; the number
for 12 × 8 with r = 2 was worked out from it by hand. The boxed corners are from "Boxing Corners",
bonnysews.com/2019/10/boxing-corners/ (a hobby writer's page): a square cut out of each lower corner of a bag of two
layers, two squares of 2 × 2 giving a base of 4. Flat 19 × 16 to 15 × 14 × 4 follows from W - 2s, H - s, 2s.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from grading.exact import read_length
from grading.pipeline import grade_document, grade_size, read_document
from tests.patterns import sheet

Json = dict[str, Any]
INCH = 25.4


def graded(document: Json) -> Json:
    return grade_document(grade_size(read_document(document), size="base"))


@pytest.mark.parametrize(("width", "height", "radius"), [(12, 8, 2), (12, 8, 0.5), (7, 7, 3), (300, 400, 90)])
def test_the_perimeter_of_a_rounded_rectangle(width: float, height: float, radius: float) -> None:
    outline = {"rounded_rectangle": {"width": "width", "height": "height", "corners": "corner"}}
    document = sheet(outline, {"width": width, "height": height, "corner": radius})
    document |= {"unit": "in", "ruler": "1/8 in", "allowance": "1/4 in"}
    edges = graded(document)["pieces"]["sheet"]["edges"]
    perimeter = sum(float(read_length(edge["length"])) / INCH for edge in edges.values())
    assert perimeter == pytest.approx(2 * (width + height) - (8 - 2 * math.pi) * radius, abs=8 * 0.0001)


def test_twelve_by_eight_with_corners_of_two_is_36_566_round() -> None:
    outline = {"rounded_rectangle": {"width": "width", "height": "height", "corners": "corner"}}
    document = sheet(outline, {"width": 12, "height": 8, "corner": 2})
    document |= {"unit": "in", "ruler": "1/8 in", "allowance": "1/4 in"}
    edges = graded(document)["pieces"]["sheet"]["edges"]
    perimeter = sum(float(read_length(edge["length"])) / INCH for edge in edges.values())
    assert perimeter == pytest.approx(36.566, abs=0.001)  # 40 - (8 - 2 pi) × 2


def flat_bag(flat_width: float, flat_height: float, square: float) -> Json:
    """A bag of two layers that lies flat, with a square cut out of each lower corner, in inches."""
    return {
        "format": 1,
        "name": "Bag with boxed corners",
        "unit": "in",
        "ruler": "1/8 in",
        "allowance": "1/2 in",
        "dimensions": {
            "flat_width": {"base": flat_width, "sizing": "fixed"},
            "flat_height": {"base": flat_height, "sizing": "fixed"},
            "square": {"base": square, "sizing": "fixed"},
            "width": {"base": flat_width, "sizing": "decided"},
            "height": {"base": flat_height, "sizing": "decided"},
            "depth": {"base": 2 * square, "sizing": "decided"},
        },
        "materials": {"main": {}},
        "pieces": {
            "panel": {
                "uses": ["front", "back"],
                "outline": {"start": [0, 0], "edges": [
                    {"name": "top", "to": ["flat_width", 0]},
                    {"name": "right", "to": ["flat_width", "square - flat_height"]},
                    {"name": "right_in", "to": ["flat_width - square", "square - flat_height"]},
                    {"name": "right_up", "to": ["flat_width - square", "-flat_height"]},
                    {"name": "bottom", "to": ["square", "-flat_height"]},
                    {"name": "left_up", "to": ["square", "square - flat_height"]},
                    {"name": "left_in", "to": [0, "square - flat_height"]},
                    {"name": "left", "to": [0, 0]},
                ]},
                "edges": {"top": {"fate": "hemmed once"}},
                "layers": [{"material": "main"}],
            },
            # The base of the bag as a piece of its own, so that its measures are on the cut list.
            "base": {
                "outline": {"rectangle": ["width", "depth"]},
                "edges": {edge: {"allowance": 0, "fate": "raw"} for edge in ("top", "right", "bottom", "left")},
                "layers": [{"material": "main"}],
            },
            "wall": {
                "outline": {"rectangle": ["width", "height"]},
                "edges": {edge: {"allowance": 0, "fate": "raw"} for edge in ("top", "right", "bottom", "left")},
                "layers": [{"material": "main"}],
            },
        },
        "seams": {
            "side": {"join": ["front.right"], "to": ["back.left"]},
            "side_2": {"join": ["front.left"], "to": ["back.right"]},
            "bottom": {"join": ["front.bottom"], "to": ["back.bottom"]},
            "box": {"join": ["front.right_up", "back.left_up"], "to": ["front.right_in", "back.left_in"]},
            "box_2": {"join": ["front.left_in", "back.right_in"], "to": ["front.left_up", "back.right_up"]},
            "as_wide": {"join": ["base.top"], "to": ["front.bottom"], "kind": "topstitched"},
            "as_deep": {"join": ["base.right"], "to": ["front.right_in", "back.left_in"], "kind": "topstitched"},
            "as_high": {"join": ["wall.right"], "to": ["front.right"], "kind": "topstitched"},
        },
        "sizes": {},
    }  # fmt: skip


@pytest.mark.parametrize(
    ("flat", "square", "finished"),
    [((19, 16), 2, ("15 in", "14 in", "4 in")), ((10, 10), 2, ("6 in", "8 in", "4 in"))],
)
def test_squares_cut_from_the_corners_make_the_depth(
    flat: tuple[float, float], square: float, finished: tuple[str, str, str]
) -> None:
    grade = graded(flat_bag(*flat, square))
    width, height, depth = finished
    assert grade["seams"]["box"]["join"] == depth
    assert grade["seams"]["bottom"]["join"] == width
    assert grade["seams"]["side"]["join"] == height
    found = grade["dimensions"]
    assert (found["width"]["value"], found["height"]["value"], found["depth"]["value"]) == finished
