"""Outlines, cut lines and intersections, checked against textbook formulas and against shapely's buffers."""

from __future__ import annotations

from fractions import Fraction
from math import pi, sqrt
from typing import Any

import pytest
from shapely.geometry import LineString, Polygon

from grading.verify.cutting.cut_box import measured_cut_box
from grading.verify.cutting.cut_lines import cut_line, true_box
from grading.verify.document.materials import Material
from grading.verify.document.pieces import PieceReader
from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import constant, total
from grading.verify.exact.points import Point, point_of
from grading.verify.geometry.intersections import Arc, Stroke, meet
from grading.verify.geometry.outlines import Outline, OutlineReader
from grading.verify.geometry.shapes import Shape, shape_of
from grading.verify.unreadable import UnreadableInput

BASE = {"w": Fraction(12), "h": Fraction(8), "r": Fraction(2), "s": Fraction(2)}


def drawn(outline: dict[str, Any], **sizes: int) -> tuple[Outline, Point]:
    expressions = Expressions(Fraction(1), Fraction(1, 8), frozenset(BASE), {})
    read = OutlineReader(expressions, point_of(BASE)).outline(outline, "outline")
    return read, point_of({**BASE, **{name: Fraction(value) for name, value in sizes.items()}})


def shape(outline: dict[str, Any], **sizes: int) -> Shape:
    return shape_of(*drawn(outline, **sizes))


def perimeter(outline: Outline, point: Point) -> float:
    return float(point.near(total([edge.length for edge in outline.edges.values()])))


ROUNDED = {"rounded_rectangle": {"width": "w", "height": "h", "corners": "r"}}
DISC = {"disc": {"radius": "r"}}
TRAPEZOID = {"trapezoid": {"top": "w", "bottom": "h", "height": 6, "lean": 1}}
HALF_MOON = {
    "start": [0, 0],
    "edges": [{"name": "round", "to": ["w", 0], "half": "right"}, {"name": "flat", "to": [0, 0]}],
}
# A corner boxed at s: the square is cut out of both lower corners.
BOXED = {
    "start": [0, 0],
    "edges": [
        {"name": "top", "to": ["w", 0]},
        {"name": "right", "to": ["w", "s-h"]},
        {"name": "right_in", "to": ["w-s", "s-h"]},
        {"name": "right_down", "to": ["w-s", "-h"]},
        {"name": "bottom", "to": ["s", "-h"]},
        {"name": "left_up", "to": ["s", "s-h"]},
        {"name": "left_out", "to": [0, "s-h"]},
        {"name": "left", "to": [0, 0]},
    ],
}
SCOOPED = {
    "start": [0, 0],
    "edges": [
        {"name": "top", "to": ["w-r", 0]},
        {"name": "scoop", "to": ["w", "-r"], "quarter": "left"},
        {"name": "right", "to": ["w", "-h"]},
        {"name": "bottom", "to": [0, "-h"]},
        {"name": "left", "to": [0, 0]},
    ],
}


def test_a_rounded_rectangle_has_the_perimeter_of_the_formula() -> None:
    # 2(W + H) - (8 - 2 pi) r; 12 x 8, r 2: 36.566, recomputed.
    outline, point = drawn(ROUNDED)
    assert perimeter(outline, point) == pytest.approx(2 * (12 + 8) - (8 - 2 * pi) * 2)
    assert round(perimeter(outline, point), 3) == 36.566


def test_areas_are_those_of_the_textbook() -> None:
    for outline, area in (
        (ROUNDED, 12 * 8 - (4 - pi) * 4),
        (DISC, pi * 4),
        (TRAPEZOID, (12 + 8) / 2 * 6),
        (HALF_MOON, pi * 36 / 2),
        (BOXED, 12 * 8 - 2 * 4),
        (SCOOPED, 12 * 8 - pi * 4 / 4),
    ):
        low, high = shape(outline).area
        assert low <= high
        assert float(low) == pytest.approx(area)


def test_a_boxed_corner_gives_a_bag_twice_as_deep_as_the_square_cut_out() -> None:
    # Two 2 x 2 squares from a 19 x 16 bag as sewn: 15 wide, 14 high, 4 deep (w - 2s, h - s, 2s).
    # bonnysews.com/2019/10/boxing-corners: two 2 x 2 cut-outs give a base of 4 in; the rest recomputed.
    outline, point = drawn(BOXED, w=19, h=16)
    length = {name: point.near(edge.length) for name, edge in outline.edges.items()}
    assert (length["bottom"], length["right"], length["right_in"] + length["right_down"]) == (15, 14, 4)


def test_edges_run_clockwise_from_the_left_end_of_the_top() -> None:
    outline, point = drawn(ROUNDED)
    assert list(outline.edges) == [
        "top",
        "top_right",
        "right",
        "bottom_right",
        "bottom",
        "bottom_left",
        "left",
        "top_left",
    ]
    assert [point.near(form) for form in outline.start] == [2, 0]
    assert [point.near(form) for form in (outline.box.width, outline.box.height)] == [12, 8]


def test_a_half_turns_outward_to_the_right_and_inward_to_the_left() -> None:
    assert [float(part.end[1]) for part in shape(HALF_MOON).parts] == [6, 0, 0]
    inward = {
        "start": [0, 0],
        "edges": [
            {"name": "bite", "to": ["h", 0], "half": "left"},
            {"name": "right", "to": ["h", "-w"]},
            {"name": "bottom", "to": [0, "-w"]},
            {"name": "left", "to": [0, 0]},
        ],
    }
    bitten = shape(inward)
    assert bitten.parts[0].end == (4, -4)
    assert float(bitten.area[0]) == pytest.approx(8 * 12 - pi * 16 / 2)
    assert bitten.crossing() is None


@pytest.mark.parametrize("outline", [ROUNDED, DISC, TRAPEZOID, HALF_MOON, BOXED, SCOOPED])
def test_sound_outlines_are_simple(outline: dict[str, Any]) -> None:
    assert shape(outline).crossing() is None


@pytest.mark.parametrize(
    ("outline", "sizes"),
    [
        (ROUNDED, {"r": 5}),
        (BOXED, {"s": 7}),
        (SCOOPED, {"r": 9}),
        (SCOOPED, {"r": 13}),
        ({"rectangle": ["w", "h"]}, {"h": 0}),
    ],
)
def test_outlines_that_touch_themselves_at_another_size_are_found(
    outline: dict[str, Any], sizes: dict[str, int]
) -> None:
    assert shape(outline, **sizes).crossing() is not None


@pytest.mark.parametrize(
    "edges",
    [
        [{"name": "a", "to": [5, 0]}, {"name": "b", "to": [0, 1]}],
        [{"name": "a", "to": [5, 4], "quarter": "right"}, {"name": "b", "to": [0, 0]}],
        [{"name": "a", "to": [5, 4], "half": "right"}, {"name": "b", "to": [0, 0]}],
        [{"name": "a", "to": [5, 0]}, {"name": "a", "to": [0, 0]}],
        [{"name": "a", "to": [0, 0]}, {"name": "b", "to": [0, 0]}],
        [{"name": "a", "to": ["pi*w", 0]}, {"name": "b", "to": [0, 0]}],
    ],
)
def test_outlines_that_cannot_be_drawn_are_refused(edges: list[dict[str, Any]]) -> None:
    with pytest.raises(UnreadableInput):
        drawn({"start": [0, 0], "edges": edges})


def test_lines_and_arcs_meet_exactly() -> None:
    arc = Stroke((0, 5), (5, 0), Arc((0, 0), 5))
    assert meet(Stroke((0, 0), (9, 12), None), arc, [])
    assert meet(Stroke((5, -3), (5, 3), None), arc, [])  # touches at (5, 0)
    assert not meet(Stroke((5, -3), (5, 0), None), arc, [(5, 0)])  # touches only where both end
    assert not meet(Stroke((0, 0), (3, 3), None), arc, [])
    assert not meet(Stroke((0, -9), (-5, 0), None), arc, [])  # meets the circle, not this quarter
    assert meet(Stroke((5, 0), (0, 5), None), arc, [(5, 0)])  # meets again at (0, 5)
    assert meet(Stroke((2, 7), (7, 2), Arc((7, 7), 5)), Stroke((0, 5), (5, 0), Arc((0, 0), 5)), [])
    assert not meet(Stroke((6, 11), (11, 6), Arc((11, 11), 5)), arc, [])
    assert not meet(Stroke((5, 0), (0, -5), Arc((0, 0), 5)), arc, [(5, 0)])
    assert meet(Stroke((0, 5), (5, 0), Arc((0, 0), 5)), arc, [(0, 5), (5, 0)])


def test_lines_meet_as_shapely_says() -> None:
    dots = [(x, y) for x in range(3) for y in range(3)]
    lines = [(a, b) for a in dots for b in dots if a < b]
    for first in lines:
        for second in lines:
            expected = LineString(first).intersects(LineString(second))
            assert meet(Stroke(*first, None), Stroke(*second, None), []) == expected, (first, second)


def polygon_of_cut(outline: dict[str, Any], allowances: dict[str, int], **sizes: int) -> Polygon:
    drawn_shape = shape(outline, **sizes)
    given = {part.edge: Fraction(allowances.get(part.edge, allowances.get("", 0))) for part in drawn_shape.parts}
    cuts, _ = cut_line(drawn_shape, given)
    assert all(a.end == b.start for a, b in zip(cuts, cuts[1:] + cuts[:1], strict=True))
    return Polygon([(float(cut.start[0]), float(cut.start[1])) for cut in cuts])


@pytest.mark.parametrize("outline", [TRAPEZOID, BOXED, {"rectangle": ["w", "h"]}])
def test_cut_lines_of_straight_pieces_are_mitred_buffers(outline: dict[str, Any]) -> None:
    stitched = Polygon([(float(part.start[0]), float(part.start[1])) for part in shape(outline).parts])
    buffered = stitched.buffer(1, join_style="mitre", mitre_limit=4)
    assert polygon_of_cut(outline, {"": 1}).symmetric_difference(buffered).area == pytest.approx(0, abs=1e-9)


def test_cut_lines_of_round_pieces_are_round() -> None:
    drawn_shape = shape(ROUNDED)
    cuts, moved = cut_line(drawn_shape, dict.fromkeys((part.edge for part in drawn_shape.parts), Fraction(1)))
    assert len(cuts) == 8
    corner = cuts[1]
    assert (corner.start, corner.end, corner.centre, corner.turns) == ((10, 1), (13, -2), (10, -2), "right")
    assert true_box(cuts, moved) == (14, 10)


def test_where_a_tangent_allowance_changes_a_straight_step_joins() -> None:
    drawn_shape = shape(ROUNDED)
    allowances = {part.edge: Fraction(3 if part.edge == "top" else 1) for part in drawn_shape.parts}
    cuts, _ = cut_line(drawn_shape, allowances)
    assert [cut.edges for cut in cuts if len(cut.edges) == 2] == [("top", "top_right"), ("top_left", "top")]
    assert (cuts[1].start, cuts[1].end) == ((10, 3), (10, 1))


def test_a_sharp_corner_is_cut_off_when_it_runs_out_more_than_four_allowances() -> None:
    spike = {
        "start": [0, 0],
        "edges": [{"name": "up", "to": [40, 2]}, {"name": "down", "to": [0, -2]}, {"name": "left", "to": [0, 0]}],
    }
    drawn_shape = shape(spike)
    cuts, _ = cut_line(drawn_shape, dict.fromkeys(("up", "down", "left"), Fraction(1)))
    (off,) = (cut for cut in cuts if len(cut.edges) == 2)
    assert off.edges == ("up", "down")
    for spot in (off.start, off.end):
        assert sqrt(float((spot[0] - 40) ** 2 + (spot[1] - 2) ** 2)) == pytest.approx(1)


def test_a_moved_line_and_a_moved_arc_meet_at_the_corner() -> None:
    # The flat of a half moon, allowance 1, meets the circle of 6 + 1 about its centre: x = 6 + sqrt(49 - 1).
    drawn_shape = shape(HALF_MOON)
    cuts, moved = cut_line(drawn_shape, {"round": Fraction(1), "flat": Fraction(1)})
    assert float(cuts[2].start[0]) == pytest.approx(6 + sqrt(48))
    assert cuts[2].start[1] == -1
    # The widest place is on the arc, where it passes the ends of the flat.
    assert true_box(cuts, moved) == (14, 8)


@pytest.mark.parametrize("outline", [ROUNDED, DISC, HALF_MOON, BOXED, SCOOPED])
def test_the_cut_box_of_a_measures_piece_is_the_true_box_of_its_cut_line(outline: dict[str, Any]) -> None:
    expressions = Expressions(Fraction(1), Fraction(1, 8), frozenset(BASE), {})
    reader = PieceReader(expressions, OutlineReader(expressions, point_of(BASE)), constant(Fraction(1)))
    document = {"outline": outline, "layers": [{"material": "main"}]}
    edges = {"top": {"allowance": 3}, "left": {"allowance": "1/2 in"}} if "top" in str(outline) else {}
    piece = reader.piece("it", {**document, "edges": edges}, "pieces.it", {"main": Material()})
    point = point_of(BASE)
    box = measured_cut_box(piece)
    allowances = {edge: point.near(item.allowance) for edge, item in piece.treatments.items()}
    assert (point.near(box.width), point.near(box.height)) == true_box(
        *cut_line(shape_of(piece.outline, point), allowances)
    )
