"""Slanted pieces lie head to tail in pairs where that is shorter; shapely judges that their cut lines keep apart."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import combinations
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box
from shapely.ops import unary_union

from grading.cloth import lay_out, layouts_table, write_layouts
from grading.exact import read_length
from grading.pictures import layout_picture
from grading.pipeline import grade_size, read_document
from grading.verify import judge_layouts
from tests.grading.cloth.laid import Json, bag, box_of, length_of, pairs_of, rectangle
from tests.grading.cloth.slanted import OnCloth, drawn, gore, length_on, named, on_cloth

SVG = "{http://www.w3.org/2000/svg}"
NEAR = 1e-6
"""Millimetres that shapely's floats may be off."""
TWO_WAY: Json = {"direction": "two-way", "usable_width": "1020 mm"}


def gores(count: int = 4, mirrored: int = 0, **piece: Any) -> dict[str, Json]:
    """Two head to tail take 300 + (300 + 120) / 2 = 510 mm across."""
    return {"gore": gore(300, 120, 400, uses=named(count, mirrored), **piece)}


def holds(laid: OnCloth, gap: float = 0) -> bool:
    """Whether the cut lines keep a gap from each other and lie on the cloth, and boxes of no pair keep it too."""
    length, width = float(length_of(laid.layout)), float(read_length(laid.layout["width"]))
    boxes = [(piece.get("nested", -number), box_of(piece)) for number, piece in enumerate(laid.layout["pieces"], 1)]
    return (
        all(one.distance(other) >= gap - NEAR for one, other in combinations(laid.shapes, 2))
        and all(one.intersection(other).area < NEAR for one, other in combinations(laid.shapes, 2))
        and all(box(-NEAR, -NEAR, width + NEAR, length + NEAR).covers(shape) for shape in laid.shapes)
        and all(one.apart(other, Fraction(gap)) for (a, one), (b, other) in combinations(boxes, 2) if a != b)
    )


def test_four_gores_head_to_tail_take_half_the_length() -> None:
    laid = on_cloth(bag(gores(), TWO_WAY))
    layout = laid.layout
    assert (layout["length"], layout["above"]) == ("400 mm", "as short as can be with these pairs")
    assert (layout["least"]["length"], layout["shortest"]) == ("400 mm", True)
    assert [(piece["nested"], piece["turned"]) for piece in laid.nested] == [(1, 0), (1, 180), (2, 0), (2, 180)]
    assert layout["buy"]["waste"] == "0.0 %"
    assert holds(laid)
    alone = on_cloth(bag(gores(), TWO_WAY | {"direction": "one-way"}))
    assert (alone.layout["length"], alone.nested) == ("800 mm", [])


def test_the_blade_has_its_gap_between_the_slanted_cut_lines() -> None:
    """Along a side with a slope of 90 in 400 a gap of 4 mm is 4 × sqrt(90² + 400²) / 400 = 4.1 mm across: 5 steps."""
    laid = on_cloth(bag(gores(), TWO_WAY | {"usable_width": "1034 mm"}), {"gap": "4 mm"})
    assert holds(laid, 4)
    first, second = (box_of(piece) for piece in laid.nested[:2])
    assert second.left - first.left == 210 + 5
    assert 4 <= laid.shapes[0].distance(laid.shapes[1]) < 5


def test_two_right_triangles_lie_in_one_box() -> None:
    triangle = drawn([(0, 0), (500, 0), (0, -300)], uses=named(4))
    laid = on_cloth(bag({"corner": triangle}, {"direction": "two-way"}))
    assert (laid.layout["length"], laid.layout["buy"]["waste"]) == ("300 mm", "0.0 %")
    boxes = [box_of(piece) for piece in laid.nested]
    assert (boxes[0], boxes[2]) == (boxes[1], boxes[3])
    assert holds(laid)


@pytest.mark.parametrize("lean", [0, 1])
def test_pieces_slanted_at_one_side_lie_with_these_sides_together(lean: float) -> None:
    piece = gore(300, 100, 400, lean, uses=named(4))
    laid = on_cloth(bag({"side": piece}, {"direction": "two-way", "usable_width": "800 mm"}))
    assert laid.layout["length"] == "400 mm"
    assert holds(laid)


def test_plain_ones_nest_with_plain_and_mirrored_with_mirrored_ones() -> None:
    piece = gore(300, 100, 400, 0.2, uses=named(3, 3))
    laid = on_cloth(bag({"side": piece}, {"direction": "two-way", "usable_width": "1600 mm"}), {"gap": "2 mm"})
    sorts = [(entry["copy"], entry["mirrored"], entry.get("nested")) for entry in laid.layout["pieces"]]
    assert sorts == [(1, False, 1), (2, False, 1), (3, False, None), (4, True, 2), (5, True, 2), (6, True, None)]
    assert holds(laid, 2)


def test_pairs_are_turned_by_a_quarter_where_pieces_are() -> None:
    """A cloth of 400 mm takes them only lying: 510 mm along for two, one pair after another."""
    laid = on_cloth(bag(gores(), {"direction": "any", "usable_width": "400 mm"}))
    assert [piece["turned"] for piece in laid.nested] == [90, 270, 90, 270]
    assert laid.layout["length"] == "1020 mm"
    assert holds(laid)


def test_a_pair_slanted_at_one_side_keeps_these_sides_together_when_turned() -> None:
    piece = gore(320, 100, 380, 0, uses=named(2))
    laid = on_cloth(bag({"side": piece}, {"direction": "any", "usable_width": "400 mm"}))
    assert [entry["turned"] for entry in laid.nested] == [90, 270]
    assert laid.layout["length"] == "420 mm"
    assert holds(laid)


SHAPES = st.fixed_dictionaries(
    {
        "wide": st.integers(120, 400),
        "narrow": st.integers(10, 110),
        "high": st.integers(60, 400),
        "lean": st.sampled_from([0, 0.3, 0.5, 1]),
        "grain": st.sampled_from(["along", "across"]),
        "uses": st.sampled_from([named(2), named(4), named(1, 2), named(2, 3)]),
    }
)
BAGS = st.lists(SHAPES, min_size=1, max_size=3)


def slanted_bag(shapes: list[Any], **cloth: Any) -> Json:
    pieces = {}
    for number, shape in enumerate(shapes):
        uses = [
            f"{use}_{number}" if isinstance(use, str) else {**use, "name": f"{use['name']}_{number}"}
            for use in shape["uses"]
        ]
        pieces[f"gore_{number}"] = gore(**{**shape, "uses": uses})
    return bag({**pieces, "band": rectangle(400, 60)}, cloth)


@given(
    shapes=BAGS,
    direction=st.sampled_from(["any", "two-way"]),
    gap=st.sampled_from([0, 3]),
    width=st.integers(420, 900),
)
@settings(max_examples=20)
def test_cut_lines_of_any_slanted_pieces_keep_apart(shapes: list[Any], direction: str, gap: int, width: int) -> None:
    document = slanted_bag(shapes, direction=direction, usable_width=f"{width} mm")
    laid = on_cloth(document, {"gap": f"{gap} mm"})
    assert holds(laid, gap)
    assert [claim.about for claim in judge_layouts(document, laid.grade, laid.layouts).claims if not claim.holds] == []
    pairs = Counter(piece["nested"] for piece in laid.nested)
    assert set(pairs.values()) <= {2} and set(pairs) == set(range(1, len(pairs) + 1))


@given(shapes=BAGS, width=st.integers(420, 900), seed=st.integers(0, 3))
@settings(max_examples=10)
def test_slanted_pieces_never_take_more_where_they_may_be_turned_more(shapes: list[Any], width: int, seed: int) -> None:
    document = slanted_bag(shapes, usable_width=f"{width} mm")
    lengths = [length_on(document, direction, {"seed": seed}) for direction in ("any", "two-way", "one-way")]
    assert lengths == sorted(lengths)


@given(shapes=BAGS, width=st.integers(420, 700))
@settings(max_examples=10)
def test_slanted_pieces_never_take_more_on_wider_cloth(shapes: list[Any], width: int) -> None:
    widths = [width, width + 100, width + 300]
    document = slanted_bag(shapes, usable_width=f"{widths[1]} mm", direction="two-way")
    layout = on_cloth(document, {"widths": [f"{each} mm" for each in widths]}).layout
    lengths = [read_length(other["length"]) for other in layout["widths"]]
    assert lengths == sorted(lengths, reverse=True)
    assert lengths[1] == length_of(layout)


@pytest.mark.parametrize("style", ["folded", "rotary"])
def test_folded_and_rotary_cloth_has_no_nested_pairs(style: str) -> None:
    assert on_cloth(bag(gores(4, 4), TWO_WAY), {"style": style}).nested == []


L_SHAPE = drawn([(0, 0), (300, 0), (300, -100), (100, -100), (100, -400), (0, -400)], uses=named(4))
MOTIF: Json = {"motif": {"point": [10, -15], "on": ["0 mm", "0 mm"]}}


@pytest.mark.parametrize(
    ("pieces", "cloth"),
    [
        ({"panel": rectangle(300, 400, uses=named(4))}, {}),
        ({"corner": L_SHAPE}, {}),
        (gores(grain="bias"), {}),
        (gores(**MOTIF), {"repeat": {"across": "60 mm", "along": "60 mm"}}),
        (gores(layers=[{"material": "main", "oversize": "20 mm"}]), {}),
        (gores(layers=[{"material": "main", "inset": "3 mm"}]), {}),
        (gores(1, 1), {}),
    ],
)
def test_what_is_square_or_held_or_cut_otherwise_does_not_nest(pieces: dict[str, Json], cloth: Json) -> None:
    laid = on_cloth(bag(pieces, TWO_WAY | {"usable_width": "1200 mm"} | cloth))
    assert laid.layout["pieces"] and laid.nested == []


def test_a_piece_with_a_curved_edge_does_not_nest() -> None:
    piece = gore(300, 120, 400, uses=named(4))
    piece["outline"]["edges"][0] |= {"arc": "left", "rise": 20}
    laid = on_cloth(bag({"gore": piece}, TWO_WAY))
    assert laid.layout["pieces"] and laid.nested == []


def test_pieces_on_the_fold_nest_where_they_are_opened_out() -> None:
    laid = on_cloth(bag(gores(on_fold=True), TWO_WAY))
    assert (laid.layout["length"], len(laid.nested)) == ("400 mm", 4)
    assert holds(laid)


def test_without_time_no_pairs_are_looked_for() -> None:
    grade = grade_size(read_document(bag(gores(), TWO_WAY)), size="base")
    (layout,) = write_layouts(lay_out(grade, {"effort": "thorough"}, hurry=lambda share: True))["cloths"].values()
    assert layout["length"] == "800 mm"
    efforts = write_layouts(lay_out(grade, {"effort": "usual"}, hurry=lambda share: False))["cloths"].values()
    assert [each["length"] for each in efforts] == ["400 mm"]


def test_the_picture_shows_the_cut_lines_of_a_pair_and_no_boxes() -> None:
    laid = on_cloth(bag(gores(2, 2, grain="across"), TWO_WAY | {"usable_width": "400 mm"}))
    assert len(laid.nested) == 4
    root = ElementTree.fromstring(layout_picture(laid.layouts, laid.grade))
    shapes = [Polygon(points_of(each)) for each in root.iter(f"{SVG}polygon") if each.get("stroke-width") == "1.6"]
    scaled = [shape.area / shapes[0].area for shape in shapes]
    assert scaled == pytest.approx([1] * 4)
    assert all(one.intersection(other).area < 0.1 for one, other in combinations(shapes, 2))
    together = unary_union([shape.buffer(0.1) for shape in shapes])
    assert together.geom_type == "Polygon"
    assert [each for each in root.iter(f"{SVG}rect") if each.get("stroke-dasharray")] == []


def points_of(polygon: ElementTree.Element) -> list[list[float]]:
    return [[float(part) for part in point.split(",")] for point in polygon.attrib["points"].split()]


def test_a_layout_that_is_as_short_without_pairs_has_none() -> None:
    laid = on_cloth(bag(gores(), TWO_WAY | {"usable_width": "1200 mm"}))
    assert (laid.layout["length"], laid.layout["above"], laid.nested) == ("400 mm", "as short as can be", [])


def test_pairs_take_fewer_sheets() -> None:
    cloth = {"sheet": ["520 mm", "400 mm"], "usable_width": None, "direction": "two-way"}
    laid = on_cloth(bag(gores(), cloth))
    assert laid.layout["sheets"] == 2
    assert [(piece["nested"], piece["sheet"]) for piece in laid.nested] == [(1, 0), (1, 0), (2, 1), (2, 1)]
    one_way = {"cloths": {"main": {"direction": "one-way"}}}
    assert on_cloth(bag(gores(), cloth), one_way).layout["sheets"] == 4


def test_offcuts_are_free_of_nested_pieces() -> None:
    laid = on_cloth(bag(gores() | {"band": rectangle(700, 90)}, TWO_WAY), {"gap": "0 mm"})
    offcuts = [box_of(offcut) for offcut in laid.layout["offcuts"]]
    free = [box(float(one.left), float(one.low), float(one.right), float(one.high)) for one in offcuts]
    assert free and all(one.intersection(shape).area < NEAR for one in free for shape in laid.shapes)
    assert all(one.apart(other) for one, other in pairs_of(offcuts))


def test_the_table_of_places_says_which_are_nested() -> None:
    rows = layouts_table(on_cloth(bag(gores(), TWO_WAY)).layouts).splitlines()
    column = rows[0].split(",").index("nested")
    assert [row.split(",")[column] for row in rows[1:]] == ["1", "1", "2", "2"]


def test_the_strap_tabs_of_the_small_day_pack_nest(demo_documents: dict[str, Json]) -> None:
    document = demo_documents["ferry_day_pack"]
    laid = on_cloth(document, {"effort": "usual"}, "second", "mini")
    assert Counter(piece["piece"] for piece in laid.nested) == {"strap_tab": 4}
    assert [claim.about for claim in judge_layouts(document, laid.grade, laid.layouts).claims if not claim.holds] == []
