"""Pictures of a finished bag: to scale, beside a known thing, with the measures of its grade.

Sizes of known things: ISO 216 (A4, 210 × 297 mm), ISO/IEC 7810 (ID-1, 85.60 × 53.98 mm). All else is arithmetic on the
numbers of the document that is drawn.
"""

from __future__ import annotations

import copy
import json
from fractions import Fraction
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

import grading
from grading.pictures.bag_document import SizedBag, shown_length
from grading.pictures.bag_picture import bag_picture
from grading.pictures.bag_side import bag_side, clipped
from grading.pictures.bag_views import NoBox
from grading.pictures.bag_walls import Area, find_wall, wall_parts

Json = dict[str, Any]
SVG = "{http://www.w3.org/2000/svg}"
PATTERNS = Path(__file__).parents[3] / "demo_requests" / "patterns"


def document(name: str) -> Json:
    return dict(json.loads((PATTERNS / f"{name}.json").read_text()))


def graded(pattern: Json, request: Json | None = None) -> Json:
    asked: Json = {"size": "base"} if request is None else {"request": request}
    result = grading.grade_size(grading.read_document(pattern), **asked)
    return dict(grading.grade_document(result))


@pytest.fixture(scope="module")
def tote() -> tuple[Json, Json]:
    pattern = document("market_tote")
    return pattern, graded(pattern)


@pytest.fixture(scope="module")
def pack() -> tuple[Json, Json]:
    pattern = document("ferry_day_pack")
    return pattern, graded(pattern)


@pytest.fixture(scope="module")
def roll() -> tuple[Json, Json]:
    pattern = document("allotment_tool_roll")
    return pattern, graded(pattern)


def drawn(*documents: Json, **further: Any) -> ElementTree.Element:
    return ElementTree.fromstring(bag_picture(*documents, **further))


def words(picture: ElementTree.Element) -> list[str]:
    return [text.text or "" for text in picture.iter(f"{SVG}text")]


def rectangles(picture: ElementTree.Element) -> list[tuple[float, float]]:
    """Across and upwards of all rectangles but the paper, in the picture's units."""
    found = [(float(each.get("width", 0)), float(each.get("height", 0))) for each in picture.iter(f"{SVG}rect")]
    return found[1:]


def test_front_side_and_sheet_are_drawn_to_one_scale(tote: tuple[Json, Json]) -> None:
    front, side, sheet = rectangles(drawn(*tote))
    scale = sheet[0] / 210
    assert sheet[1] / scale == pytest.approx(297, abs=0.1)
    assert (front[0] / scale, front[1] / scale) == pytest.approx((360, 380), abs=0.1)
    assert (side[0] / scale, side[1] / scale) == pytest.approx((120, 380), abs=0.1)


def test_a_bank_card_has_its_standard_size(tote: tuple[Json, Json]) -> None:
    front, _, card = rectangles(drawn(*tote, beside="card"))
    scale = front[0] / 360
    assert (card[0] / scale, card[1] / scale) == pytest.approx((85.6, 53.98), abs=0.1)


def test_measures_stand_as_on_the_ruler_or_in_the_unit_that_is_asked_for(tote: tuple[Json, Json]) -> None:
    assert {"360 mm", "380 mm", "120 mm", "210 × 297 mm"} <= set(words(drawn(*tote)))
    assert {"36 cm", "38 cm", "12 cm", "21 × 29.7 cm"} <= set(words(drawn(*tote, unit="cm")))


@pytest.mark.parametrize(
    ("length", "unit", "ruler", "text"),
    [
        (Fraction(360), None, "1 mm", "360 mm"),
        (Fraction(3175, 10), None, "1/8 in", "12 1/2 in"),
        (Fraction(3175, 10), "cm", "1/8 in", "31.75 cm"),
        (Fraction(360), "in", "1 mm", "about 14.17 in"),  # 360 / 25.4 = 14.1732…
        (Fraction(1000, 3), "mm", "1 mm", "about 333.33 mm"),
    ],
)
def test_a_length_that_a_unit_cannot_write_is_told_as_about(
    length: Fraction, unit: str | None, ruler: str, text: str
) -> None:
    assert shown_length(length, unit, ruler) == text


def test_a_front_pocket_lies_where_the_grade_has_it(tote: tuple[Json, Json]) -> None:
    bag = SizedBag(*tote)
    front = find_wall(bag, "front")
    assert front is not None
    parts = {part.name: part for part in wall_parts(bag, front, Area(-240, 0, 240, 440))}
    # 110 mm below the mouth, 190 mm high, from side seam to side seam (480 mm), as the document says.
    assert parts["pocket"].points == ((-240, 110), (240, 110), (240, 300), (-240, 300))


def test_a_front_that_reaches_round_the_sides_meets_the_back_in_the_middle_of_them(tote: tuple[Json, Json]) -> None:
    bag = SizedBag(*tote)
    side = bag_side(bag, find_wall(bag, "front"), 380.0)
    assert side is not None
    ends = {part.name: (min(x for x, _ in part.points), max(x for x, _ in part.points)) for part in side.parts}
    assert ends == {"front": (0, 60), "pocket": (0, 60), "back": (60, 120), "rail_sleeve": (60, 120)}


def test_an_option_left_out_is_not_drawn(tote: tuple[Json, Json]) -> None:
    pattern = tote[0]
    bag = SizedBag(pattern, graded(pattern, request={"scale": 1, "options": {"sleeve": "without"}}))
    side = bag_side(bag, find_wall(bag, "front"), 380.0)
    assert side is not None
    assert "rail_sleeve" not in {part.name for part in side.parts}


def test_what_lies_on_the_inside_is_not_seen(pack: tuple[Json, Json]) -> None:
    bag = SizedBag(*pack)
    front = find_wall(bag, "front")
    assert front is not None
    shown = [part.name for part in wall_parts(bag, front, Area(0, 0, 300, 400)) if part.kind == "piece"]
    assert shown == ["front_panel", "pen_pocket", "front_pocket", "name_patch", "flap"]


def test_a_flap_hangs_from_the_line_that_it_is_sewn_to(pack: tuple[Json, Json]) -> None:
    bag = SizedBag(*pack)
    front = find_wall(bag, "front")
    assert front is not None
    flap = next(part for part in wall_parts(bag, front, Area(0, 0, 300, 400)) if part.name == "flap")
    line = pack[1]["pieces"]["front_panel"]["lines"]["flap_line"]
    assert line["from"] == ["30 mm", "-135 mm"]
    assert (min(x for x, _ in flap.points), min(y for _, y in flap.points)) == pytest.approx((30, 135))
    assert (max(x for x, _ in flap.points), max(y for _, y in flap.points)) == pytest.approx((270, 135 + 90))


def test_the_side_panel_stands_between_the_base_and_the_zip(pack: tuple[Json, Json]) -> None:
    bag = SizedBag(*pack)
    side = bag_side(bag, find_wall(bag, "front"), 400.0)
    assert side is not None and side.wall is not None
    assert (side.wall.name, side.depth) == ("side_right", 140.0)
    places = {part.name: (min(y for _, y in part.points), max(y for _, y in part.points)) for part in side.parts}
    # The front's straight side runs from 55 to 345 mm below its top; its notches stand 59 and 257 mm along it.
    assert places["side_right"] == pytest.approx((55 + 59, 55 + 257), abs=1.0)
    assert places["base"] == pytest.approx((55 + 257, 400), abs=1.0)
    assert places["main_zip"] == pytest.approx((0, 55 + 59), abs=1.0)


def test_the_zip_runs_over_the_middle_of_the_side(pack: tuple[Json, Json]) -> None:
    bag = SizedBag(*pack)
    side = bag_side(bag, find_wall(bag, "front"), 400.0)
    assert side is not None
    zip_ = next(part for part in side.parts if part.kind == "zip")
    # Two strips of 64 mm and 12 mm of zip fill the band of 140 mm.
    assert (min(x for x, _ in zip_.points), max(x for x, _ in zip_.points)) == pytest.approx((64, 76))


def test_a_roll_without_depth_is_drawn_lying_flat(roll: tuple[Json, Json]) -> None:
    picture = drawn(*roll)
    assert "laid flat" in words(picture)
    assert "side" not in words(picture)
    assert {"600 mm", "380 mm"} <= set(words(picture))


def test_a_bag_whose_front_is_not_told_is_drawn_as_its_outside(tote: tuple[Json, Json]) -> None:
    pattern, grade = copy.deepcopy(tote[0]), tote[1]
    pattern["coverings"] = {}
    pattern["pieces"]["panel"]["uses"] = ["one", "other"]
    pattern["pieces"]["facing"]["uses"], pattern["pieces"]["lining"]["uses"] = ["f1", "f2"], ["l1", "l2"]
    front, side, sheet = rectangles(drawn(pattern, grade))
    scale = sheet[0] / 210
    assert (front[0] / scale, front[1] / scale) == pytest.approx((360, 380), abs=0.1)
    assert side[0] / scale == pytest.approx(120, abs=0.1)


def test_a_bag_of_which_no_size_is_told_has_no_picture(roll: tuple[Json, Json]) -> None:
    pattern = copy.deepcopy(roll[0])
    pattern["coverings"] = {}
    with pytest.raises(NoBox):
        bag_picture(pattern, roll[1])


def test_cloths_are_filled_with_their_colours_half_way_to_white(tote: tuple[Json, Json]) -> None:
    picture = drawn(*tote, colours={"main": "#204060"})
    fills = {each.get("fill") for each in picture.iter(f"{SVG}polygon")}
    assert "#8f9faf" in fills  # (0x20 + 255) // 2 = 0x8f, and so on
    assert "#8f9faf" not in {each.get("fill") for each in drawn(*tote).iter(f"{SVG}polygon")}


def test_a_name_from_a_document_is_escaped(tote: tuple[Json, Json]) -> None:
    grade = {**tote[1], "pattern": "<script>alert(1)</script> & co"}
    text = bag_picture(tote[0], grade)
    assert "<script" not in text
    assert ElementTree.fromstring(text).find(f"{SVG}title") is not None


@pytest.mark.parametrize("name", ["market_tote", "ferry_day_pack", "allotment_tool_roll"])
@pytest.mark.parametrize("scale", ["7/10", "5/4"])
def test_nothing_is_drawn_outside_the_paper(name: str, scale: str) -> None:
    pattern = document(name)
    picture = drawn(pattern, graded(pattern, request={"scale": scale}), unit="in")
    _, _, width, height = (float(each) for each in picture.get("viewBox", "").split())
    for polygon in picture.iter(f"{SVG}polygon"):
        for pair in polygon.get("points", "").split():
            x, y = (float(each) for each in pair.split(","))
            assert -0.1 <= x <= width + 0.1
            assert -0.1 <= y <= height + 0.1


def test_a_shape_is_cut_off_at_the_sides_of_an_area() -> None:
    triangle = ((0.0, 0.0), (4.0, 0.0), (0.0, 4.0))
    assert set(clipped(triangle, Area(0, 0, 2, 9))) == {(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 4.0)}
