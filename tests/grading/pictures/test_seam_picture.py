"""Pictures of a seam: both sides to one scale from its start, their parts, their notches and their ease."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

import grading
from grading.drawing.cut_path import millimetres
from grading.pictures.bag_document import SizedBag
from grading.pictures.seam_picture import seam_picture
from grading.pictures.seam_sides import notches_on, seam_side

Json = dict[str, Any]
SVG = "{http://www.w3.org/2000/svg}"
PATTERNS = Path(__file__).parents[3] / "demo_requests" / "patterns"
NAMES = ("market_tote", "ferry_day_pack", "allotment_tool_roll")


@pytest.fixture(scope="module")
def bags() -> dict[str, tuple[Json, Json]]:
    found = {}
    for name in NAMES:
        pattern = json.loads((PATTERNS / f"{name}.json").read_text())
        found[name] = (pattern, grading.grade_document(grading.grade_size(grading.read_document(pattern), size="base")))
    return found


def wide_lines(picture: ElementTree.Element) -> list[float]:
    """Lengths of the wide lines: the stitching lines."""
    return [
        float(each.get("x2", 0)) - float(each.get("x1", 0))
        for each in picture.iter(f"{SVG}line")
        if each.get("stroke-width") == "2.4"
    ]


def words(picture: ElementTree.Element) -> list[str]:
    return [text.text or "" for text in picture.iter(f"{SVG}text")]


@pytest.mark.parametrize("name", NAMES)
def test_every_side_is_as_long_as_the_grade_prints_it(bags: dict[str, tuple[Json, Json]], name: str) -> None:
    pattern, grade = bags[name]
    for seam, printed in grade["seams"].items():
        for side in ("join", "to"):
            entries = seam_side(SizedBag(pattern, grade), seam, side)
            # Each part is printed within 0.01 mm of the truth.
            assert entries[-1].end == pytest.approx(millimetres(printed[side]), abs=0.01 * len(entries) + 0.01), seam


@pytest.mark.parametrize("name", NAMES)
def test_notches_that_meet_lie_equally_far_from_the_start(bags: dict[str, tuple[Json, Json]], name: str) -> None:
    pattern, grade = bags[name]
    bag = SizedBag(pattern, grade)
    met = 0
    for seam, written in bag.parts("seams").items():
        join = dict(notches_on(bag, seam_side(bag, seam, "join")))
        to = dict(notches_on(bag, seam_side(bag, seam, "to")))
        for first, second in written.get("notches", []):
            room = 1.5 + abs(millimetres(grade["seams"][seam]["ease"]))
            assert join[first] == pytest.approx(to[second], abs=room), seam
            met += 1
    assert met > 0


def test_both_sides_are_drawn_to_one_scale_with_the_ease_between(bags: dict[str, tuple[Json, Json]]) -> None:
    picture = ElementTree.fromstring(seam_picture(*bags["market_tote"], "divider_floor"))
    longer, shorter = wide_lines(picture)
    # 540 mm of divider, of which two pleats take up 60.
    assert shorter / longer == pytest.approx(480 / 540, abs=1e-3)
    assert {"divider bottom: 540 mm", "lining back divider floor: 480 mm", "to be eased in: 60 mm"} <= set(
        words(picture)
    )


def test_a_seam_without_ease_has_sides_of_one_length(bags: dict[str, tuple[Json, Json]]) -> None:
    picture = ElementTree.fromstring(seam_picture(*bags["market_tote"], "side"))
    first, second = wide_lines(picture)
    assert first == second
    assert not any("eased" in each for each in words(picture))


def test_the_parts_of_a_side_are_numbered_in_the_order_of_sewing(bags: dict[str, tuple[Json, Json]]) -> None:
    shown = words(ElementTree.fromstring(seam_picture(*bags["market_tote"], "lining_side_2")))
    assert "1 lining front left, 2 facing front left: 380 mm" in shown
    assert shown.count("1") == shown.count("2") == 2


def test_a_part_of_an_edge_begins_where_the_document_says(bags: dict[str, tuple[Json, Json]]) -> None:
    bag = SizedBag(*bags["market_tote"])
    entry = seam_side(bag, "lining_opening", "join")[0]
    # The opening of 140 mm in the middle of the lining's bottom of 360 mm.
    assert (entry.from_, entry.to) == (110, 250)


def test_a_seam_that_is_not_there_is_refused(bags: dict[str, tuple[Json, Json]]) -> None:
    with pytest.raises(KeyError):
        seam_picture(*bags["market_tote"], "no_such_seam")
