"""Cut lines, judged by shapely: areas, offsets with mitred corners, and boxes."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest

from grading.cut import DrawnPiece
from grading.document import read_pattern
from grading.document.index import edge_names
from tests.conftest import DEMO_NAMES
from tests.drawing import cut_polygon, drawn, stitched_polygon
from tests.patterns import sheet

Json = dict[str, Any]
CORNERED: dict[str, Json] = {
    "rectangle": {"rectangle": ["width", "height"]},
    "trapezoid": {"trapezoid": {"top": "width", "bottom": "width - 40", "height": "height"}},
    "leaning": {"trapezoid": {"top": "width", "bottom": "width - 70", "height": "height", "lean": 40}},
    "boxed": {"start": [0, 0], "edges": [
        {"name": "top", "to": ["width", 0]}, {"name": "right", "to": ["width", "-height"]},
        {"name": "right_in", "to": ["width - 20", "-height"]},
        {"name": "right_up", "to": ["width - 20", "-height - 20"]},
        {"name": "bottom", "to": [20, "-height - 20"]}, {"name": "left_up", "to": [20, "-height"]},
        {"name": "left_in", "to": [0, "-height"]}, {"name": "left", "to": [0, 0]}]},
    "notched": {"start": [0, 0], "edges": [
        {"name": "top", "to": [40, 0]}, {"name": "down", "to": [60, "-height/2"]}, {"name": "up", "to": [80, 0]},
        {"name": "rest", "to": ["width", 0]}, {"name": "right", "to": ["width", "-height"]},
        {"name": "bottom", "to": [0, "-height"]}, {"name": "left", "to": [0, 0]}]},
    "kite": {"start": [0, 0], "edges": [
        {"name": "a", "to": ["width", "-height/3"]}, {"name": "b", "to": ["width/2", "-height"]},
        {"name": "c", "to": ["-width/4", "-height/2"]}, {"name": "d", "to": [0, 0]}]},
}  # fmt: skip
ROUNDED: dict[str, Json] = {
    "rounded": {"rounded_rectangle": {"width": "width", "height": "height", "corners": 25}},
    "two corners": {"rounded_rectangle": {"width": "width", "height": "height",
                                          "corners": {"bottom_left": 30, "bottom_right": 20}}},
    "disc": {"disc": {"radius": "width/2"}},
    "hollow": {"start": [0, 0], "edges": [
        {"name": "top", "to": ["width", 0]}, {"name": "round", "to": ["width", "-height"], "half": "right"},
        {"name": "bottom", "to": [0, "-height"]}, {"name": "low", "to": [0, -70]},
        {"name": "hollow", "to": [0, -20], "half": "left"}, {"name": "left", "to": [0, 0]}]},
    "scoop": {"start": [0, 0], "edges": [
        {"name": "top", "to": ["width - 30", 0]}, {"name": "scoop", "to": ["width", -30], "quarter": "left"},
        {"name": "right", "to": ["width", "-height"]}, {"name": "bottom", "to": [0, "-height"]},
        {"name": "left", "to": [0, 0]}]},
    "leaf": {"start": [0, 0], "edges": [
        {"name": "over", "to": [90, 90], "quarter": "right"}, {"name": "under", "to": [0, 0], "quarter": "right"}]},
    "fan": {"start": [0, -90], "edges": [
        {"name": "left", "to": [0, 0]}, {"name": "round", "to": [90, -90], "quarter": "right"},
        {"name": "bottom", "to": [0, -90]}]},
    "slanted": {"start": [0, 0], "edges": [
        {"name": "top", "to": ["width", 0]}, {"name": "round", "to": ["width + 30", -30], "quarter": "right"},
        {"name": "slant", "to": ["width/2", "-height"]}, {"name": "left", "to": [0, 0]}]},
}  # fmt: skip
SHAPES = {**CORNERED, **ROUNDED}


def one(outline: Json, **piece: Any) -> DrawnPiece:
    """The drawn piece; of the settings of edges, those count whose edges it has."""
    names = edge_names(read_pattern(sheet(outline)).pieces["sheet"].outline)
    edges = {name: settings for name, settings in piece.pop("edges", {}).items() if name in names}
    return drawn(sheet(outline, edges=edges, **piece))["sheet"]


@pytest.mark.parametrize(
    ("name", "area"),
    [
        ("rectangle", 120 * 90),
        ("trapezoid", 100 * 90),
        ("leaning", 85 * 90),
        ("boxed", 120 * 90 + 80 * 20),
        ("notched", 120 * 90 - 40 * 45 / 2),
        ("rounded", 120 * 90 - (4 - math.pi) * 25**2),
        ("two corners", 120 * 90 - (1 - math.pi / 4) * (30**2 + 20**2)),
        ("disc", math.pi * 60**2),
        ("hollow", 120 * 90 + math.pi / 2 * (45**2 - 25**2)),
        ("scoop", 120 * 90 - math.pi / 4 * 30**2),
        ("leaf", (math.pi / 2 - 1) * 90**2),
        ("fan", math.pi / 4 * 90**2),
    ],
)
def test_the_stitched_outline_has_the_area_of_its_shape(name: str, area: float) -> None:
    polygon = stitched_polygon(one(SHAPES[name]))
    assert polygon.is_valid
    assert not polygon.exterior.is_ccw
    assert polygon.area == pytest.approx(area, rel=2e-5)


@pytest.mark.parametrize("allowance", ["10 mm", "1 mm", "25 mm"])
@pytest.mark.parametrize("name", CORNERED)
def test_a_cornered_cut_line_is_the_mitred_offset_of_shapely(name: str, allowance: str) -> None:
    document = {**sheet(CORNERED[name]), "allowance": allowance}
    piece = drawn(document)["sheet"]
    distance = float(allowance.split(maxsplit=1)[0])
    wanted = stitched_polygon(piece).buffer(distance, join_style="mitre", mitre_limit=4)
    assert cut_polygon(piece).symmetric_difference(wanted).area < 1e-6


@pytest.mark.parametrize("allowance", [10, 4])
@pytest.mark.parametrize("name", ["rounded", "two corners", "disc", "hollow", "scoop", "fan"])
def test_a_rounded_cut_line_is_the_offset_of_shapely(name: str, allowance: int) -> None:
    piece = drawn({**sheet(ROUNDED[name]), "allowance": allowance})["sheet"]
    wanted = stitched_polygon(piece).buffer(allowance, join_style="mitre", mitre_limit=4)
    found = cut_polygon(piece)
    # Shapely has chords for arcs, and a straight mitre where an arc meets a line in a corner.
    assert found.symmetric_difference(wanted).area < 2e-3 * wanted.area
    if name in {"rounded", "two corners", "disc"}:
        assert found.symmetric_difference(wanted).area < 1e-4 * wanted.area


@pytest.mark.parametrize("name", SHAPES)
def test_the_cut_line_keeps_its_distance_from_the_stitching_line(name: str) -> None:
    piece = one(SHAPES[name])
    stitched, cut = stitched_polygon(piece), cut_polygon(piece)
    assert cut.is_valid
    assert cut.contains(stitched)
    assert stitched.exterior.distance(cut.exterior) == pytest.approx(10, abs=1e-3)


UNEQUAL = {"top": {"allowance": 40}, "right": {"allowance": 5}, "bottom": {"allowance": 10}, "left": {"allowance": 0}}


@pytest.mark.parametrize("name", ["rectangle", "trapezoid", "leaning", "boxed", "notched"])
def test_each_edge_moves_out_by_its_own_allowance(name: str) -> None:
    """By half-planes: inside a convex outline, each edge's line is moved by its own allowance."""
    piece = one(SHAPES[name], edges=UNEQUAL)
    for edge, curve in piece.curves:
        segment = next(item for item in piece.cut_line if item.edge == edge)
        (ax, ay), (bx, by) = curve.start, curve.end
        long = math.hypot(float(bx - ax), float(by - ay))
        for x, y in (segment.start, segment.end):
            away = float((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / long
            assert away == pytest.approx(UNEQUAL.get(edge, {"allowance": 10})["allowance"], abs=1e-9)


def test_unequal_allowances_of_a_rectangle_worked_out_by_hand() -> None:
    piece = one(CORNERED["rectangle"], edges=UNEQUAL)
    corners = [(0, 40), (125, 40), (125, -100), (0, -100)]
    assert [segment.start for segment in piece.cut_line] == corners
    assert (piece.cut.width, piece.cut.height) == (125, 140)


def test_where_a_round_corner_has_another_allowance_a_step_of_its_own_joins_the_lines() -> None:
    edges = {"top_right": {"allowance": 15}}
    piece = one(ROUNDED["rounded"], edges=edges)
    steps = [item for item in piece.cut_line if item.start != item.end and item.centre is None]
    by_edge: dict[str, int] = {}
    for item in steps:
        by_edge[item.edge] = by_edge.get(item.edge, 0) + 1
    assert by_edge == {"top": 2, "top_right": 1, "right": 1, "bottom": 1, "left": 1}
    step = [item for item in piece.cut_line if item.edge == "top"][1]
    assert (step.start, step.end) == ((95, 10), (95, 15))
    assert (piece.cut.width, piece.cut.height) == (145, 115)


@pytest.mark.parametrize("name", SHAPES)
def test_the_cut_line_is_closed_and_every_edge_is_in_it(name: str) -> None:
    piece = one(SHAPES[name], edges={"top": {"allowance": 33}, "left": {"allowance": 2}, "round": {"allowance": 21}})
    line = piece.cut_line
    for before, after in zip(line, (*line[1:], line[0]), strict=True):
        assert before.end == after.start
    assert {item.edge for item in line} == {edge for edge, _ in piece.curves}


def test_a_sharp_corner_is_cut_off_straight() -> None:
    # A corner of 20 degrees would run out 10 / sin(10°) = 57.6 mm, more than 4 × 10 mm.
    outline = {"start": [0, 0], "edges": [
        {"name": "a", "to": [200, -35]}, {"name": "b", "to": [0, -70]}, {"name": "c", "to": [0, 0]}]}  # fmt: skip
    piece = one(outline)
    polygon = cut_polygon(piece)
    assert len(piece.cut_line) == 4
    # The joint of the two moved ends, straight across the tip: 10 / cos of half the angle beside it.
    assert polygon.bounds[2] == pytest.approx(200 + 10 * 35 / math.hypot(200, 35), abs=1e-6)
    assert stitched_polygon(piece).exterior.distance(polygon.exterior) > 1


@pytest.mark.parametrize("edges", [{}, {"round": {"allowance": 25}}, {"left": {"fate": "folded"}}])
@pytest.mark.parametrize("grain", ["along", "bias"])
@pytest.mark.parametrize("name", SHAPES)
def test_the_cut_box_is_that_of_the_cut_line(name: str, grain: str, edges: Json) -> None:
    piece = one(SHAPES[name], grain=grain, edges=edges)
    left, bottom, right, top = cut_polygon(piece).bounds
    for found, true in ((piece.cut.width, right - left), (piece.cut.height, top - bottom)):
        if piece.piece.is_template:
            assert found == math.ceil(true - 1e-3)
        else:
            assert float(found) == pytest.approx(true, abs=2e-3)


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_cut_lines_of_the_demo_patterns_are_sound(name: str, demo_documents: dict[str, Json]) -> None:
    for piece in drawn(demo_documents[name]).values():
        stitched, cut = stitched_polygon(piece), cut_polygon(piece)
        assert stitched.is_valid and cut.is_valid
        assert cut.buffer(1e-6).contains(stitched)
        allowances = set(piece.piece.allowances.values())
        if len(allowances) == 1:
            wanted = stitched.buffer(float(min(allowances)), join_style="mitre", mitre_limit=4)
            assert cut.symmetric_difference(wanted).area < 2e-3 * wanted.area, piece.piece.name


def test_points_with_roots_are_close_to_the_truth() -> None:
    piece = one(CORNERED["trapezoid"])
    slanted = next(item for item in piece.cut_line if item.edge == "right")
    # The line from (120, 0) to (100, -90) is moved by 10 along its normal (90, -20)/L and meets the level y = 10.
    long = math.hypot(20, 90)
    along = -(10 * long + 200) / 90
    assert float(slanted.start[0]) == pytest.approx(120 + 900 / long - 20 * along / long, abs=1e-9)
    assert slanted.start[1] == Fraction(10)
