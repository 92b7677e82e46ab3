"""Templates as PDF, read back: sizes of paper, true scale, lengths of lines against the grade, fonts, pages."""

from __future__ import annotations

import io
import json
from itertools import combinations

import pypdf
import pytest

import grading
from grading.errors import RequestFaults
from grading.sheets.sheets import sheets
from tests.grading.sheets.sheet_reading import (
    POINTS,
    breadth_and_height,
    cut_length,
    cut_paths,
    demo,
    graded,
    length,
    number,
    page_lines,
    pages,
)

CLOSE = 0.1
"""Millimetres that a measured line may be off."""
SIZES = {"A4": (210, 297), "A3": (297, 420), "letter": (8.5 * 25.4, 11 * 25.4)}
"""ISO 216 for A3 and A4; letter is 8.5 × 11 in, from memory."""


def _sheets(name: str, size: str = "base", **settings: object) -> bytes:
    return sheets([graded(name, size)], demo(name), settings)


@pytest.mark.parametrize("paper", SIZES)
def test_pages_have_the_size_of_their_paper(paper: str) -> None:
    for page in pages(_sheets("market_tote", paper=paper)):
        assert (float(page.width) / POINTS, float(page.height) / POINTS) == pytest.approx(SIZES[paper], abs=0.01)


def test_a4_has_its_points() -> None:
    # 210 × 297 mm at 72 points an inch: 595.276 × 841.890 points.
    page = pages(_sheets("market_tote"))[0]
    assert (float(page.width), float(page.height)) == pytest.approx((595.276, 841.890), abs=0.001)


def test_a_roll_is_as_wide_as_it_says_and_only_as_long_as_it_must_be() -> None:
    on_roll = pages(_sheets("market_tote", paper="roll-36in"))
    assert all(float(page.width) / POINTS == pytest.approx(36 * 25.4, abs=0.01) for page in on_roll)
    assert len(on_roll) == 2
    assert 1000 < float(on_roll[-1].height) / POINTS < 2500


def test_every_page_has_a_line_of_100_mm_and_one_of_4_in() -> None:
    for page in pages(_sheets("market_tote")):
        level = [breadth_and_height(points)[0] for _, _, points in page_lines(page) if len(points) == 2]
        assert any(abs(each - 100) < 0.01 for each in level)
        assert any(abs(each - 101.6) < 0.01 for each in level)
        assert "100 mm" in page.extract_text()
        assert "4 in" in page.extract_text()


def test_the_square_and_the_card_of_the_first_page_have_their_true_size() -> None:
    # ISO/IEC 7810, ID-1: 85.60 × 53.98 mm, from memory.
    boxes = [breadth_and_height(points) for _, _, points in page_lines(pages(_sheets("market_tote"))[0])]
    assert any(box == pytest.approx((50, 50), abs=0.01) for box in boxes)
    assert any(box == pytest.approx((85.60, 53.98), abs=0.01) for box in boxes)


@pytest.mark.parametrize("size", ["base", "mini", "large"])
@pytest.mark.parametrize("name", ["ferry_day_pack", "market_tote", "allotment_tool_roll"])
def test_every_cut_line_is_as_long_as_the_grade_says(name: str, size: str) -> None:
    measured = [length(points) for _, points in cut_paths(_sheets(name, size))]
    for piece, printed in graded(name, size)["pieces"].items():
        assert min(abs(each - cut_length(printed)) for each in measured) < CLOSE, piece


def test_cut_lines_have_the_measures_of_the_cut_list() -> None:
    boxes = [sorted(breadth_and_height(points)) for _, points in cut_paths(_sheets("ferry_day_pack"))]
    for row in graded("ferry_day_pack")["cut_list"]:
        if row["allowance"] == "included" and row["kind"] == "measures" and row["uses"]:
            measures = row["trim"] or row
            wanted = sorted((number(measures["across"]), number(measures["along"])))
            assert any(box == pytest.approx(wanted, abs=CLOSE) for box in boxes), row["piece"]


def test_stitching_lines_have_the_lengths_of_their_edges() -> None:
    grade = graded("ferry_day_pack")
    content = _sheets("ferry_day_pack", pieces=["front_panel"])
    dashed = [length(points) for page in pages(content) for _, has, points in page_lines(page) if has]
    wanted = sum(number(edge["length"]) for edge in grade["pieces"]["front_panel"]["edges"].values())
    assert min(abs(each - wanted) for each in dashed) < CLOSE


def test_edges_without_an_allowance_have_no_stitching_line_of_their_own() -> None:
    content = _sheets("allotment_tool_roll", pieces=["outer"])
    assert all(
        number(edge["allowance"]) == 0 for edge in graded("allotment_tool_roll")["pieces"]["outer"]["edges"].values()
    )
    joined = [
        points for page in pages(content)[1:] for _, dashed, points in page_lines(page) if dashed and len(points) > 2
    ]
    assert joined == []


def test_joined_pages_carry_the_same_lines_one_step_further() -> None:
    paths = cut_paths(_sheets("market_tote", pieces=["panel"]))
    first = dict(paths)
    steps = set()
    for one, other in combinations(first.values(), 2):
        shifts = {(round(a[0] - b[0], 2), round(a[1] - b[1], 2)) for a, b in zip(one, other, strict=True)}
        assert len(shifts) == 1
        steps |= shifts
    # A4 within margins of 10 mm and 16 mm at the foot, less the overlap of 10 mm.
    assert all(round(abs(x) / 180, 4) % 1 == 0 and round(abs(y) / 261, 4) % 1 == 0 for x, y in steps)


def test_pages_say_which_page_is_joined_to_which() -> None:
    found = pages(_sheets("market_tote", pieces=["panel"]))
    texts = [page.extract_text(x_tolerance=1) for page in found]
    level = [text for text in texts if "lay page" in text]
    assert level
    assert all(f"page {number} of {len(found)}" in text for number, text in enumerate(texts, 1))


def test_pages_without_a_piece_are_left_out() -> None:
    content = _sheets("allotment_tool_roll")
    with_pieces = {page for page, _ in cut_paths(content)}
    found = pages(content)
    front = next(number for number, page in enumerate(found, 1) if "row 1, column 1" in page.extract_text()) - 1
    assert with_pieces >= set(range(front + 1, len(found) + 1))


def test_fonts_are_embedded_and_words_can_be_selected() -> None:
    content = _sheets("ferry_day_pack")
    reader = pypdf.PdfReader(io.BytesIO(content))
    assert reader.metadata is not None
    assert reader.metadata.title == "Ferry day pack, base: templates"
    assert reader.root_object["/Lang"] == "en"
    assert reader.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():
            described = font.get_object()
            assert "/FontFile2" in described["/FontDescriptor"], described["/BaseFont"]
    text = "\n".join(page.extract_text() for page in reader.pages)
    for words in ("front panel", "cut 1 + 1 mirrored", "rough 370 mm × 470 mm", "calculated, not yet sewn", "1 mm"):
        assert words in text


def test_each_piece_is_told_with_letter_cloths_and_allowance() -> None:
    text = "\n".join(page.extract_text() for page in pages(_sheets("market_tote")))
    grade = graded("market_tote")
    for piece, printed in grade["pieces"].items():
        assert f"{printed['letter']} {piece.replace('_', ' ')}" in text
    assert "interfacing: cut 2, template face down" in text
    assert "allowances included: top 25 mm; else 10 mm" in text
    assert "pocket floor (placement)" in text


def test_the_same_grade_gives_the_same_bytes() -> None:
    assert _sheets("market_tote") == _sheets("market_tote")


def test_rectangles_are_given_as_measures_where_asked() -> None:
    whole, fewer = _sheets("market_tote"), _sheets("market_tote", measures="rectangles")
    assert len(pages(fewer)) < len(pages(whole))
    text = "\n".join(page.extract_text() for page in pages(fewer))
    assert "☐ facing, main: cut 2" in text
    assert "500 mm × 80 mm; allowance included" in text
    assert "centre: top, 240 mm from its left end" in text


def test_of_large_rounded_rectangles_only_the_corners_are_drawn_where_asked() -> None:
    content = _sheets("ferry_day_pack", corners="large", pieces=["front_panel", "back_panel"])
    paths = cut_paths(content)
    assert {tuple(round(each, 1) for each in breadth_and_height(points)) for _, points in paths} == {(105.0, 105.0)}
    text = "\n".join(page.extract_text() for page in pages(content))
    assert "A front panel: all corners" in text
    assert "B back panel: all corners" in text
    assert "round the corners by their template" in text
    # The cut radius is that of the stitching line and its allowance: 55 + 10 mm.
    assert "radius of the cut line 65 mm" in text


def test_what_is_asked_wrongly_is_told_all_at_once() -> None:
    with pytest.raises(RequestFaults) as refused:
        _sheets("market_tote", paper="napkin", pieces=["sleeve"], measures="all", corners="all")
    assert [fault.path for fault in refused.value.faults] == ["paper", "pieces", "measures", "corners"]


@pytest.mark.parametrize("paper", ["roll-10mm", "roll-9999in", "roll-36", "a4", "roll-3６in"])
def test_no_other_paper_is_taken(paper: str) -> None:
    with pytest.raises(RequestFaults):
        _sheets("market_tote", paper=paper)


def test_a_bag_that_would_fill_a_room_with_paper_is_refused() -> None:
    printed = json.dumps(graded("market_tote")).replace("480 mm", "19000 mm").replace("250 mm", "9510 mm")
    large = json.loads(printed.replace("-440 mm", "-18000 mm").replace("-450 mm", "-18010 mm"))
    with pytest.raises(RequestFaults) as refused:
        sheets([large], demo("market_tote"), {"pieces": ["panel"]})
    assert "at most 500 are made" in refused.value.faults[0].problem


def test_a_name_without_end_leaves_the_pages_legible() -> None:
    named = {**graded("market_tote"), "pattern": "Endless " * 60 + "X" * 300}
    found = pages(sheets([named], demo("market_tote"), {"pieces": ["tab"]}))
    assert len(found) == 3
    assert all(each["x0"] >= 0 and each["x1"] <= found[0].width for page in found for each in page.chars)
    assert all(each["top"] >= 0 and each["bottom"] <= page.height for page in found for each in page.chars)


def test_an_imperial_size_is_an_imperial_edition() -> None:
    document = demo("market_tote")
    grade = grading.grade_size(grading.read_document(document), request={"scale": 1, "ruler": "1/8 in"})
    text = "\n".join(page.extract_text() for page in pages(sheets([grading.grade_document(grade)], document)))
    assert "Imperial edition, on a ruler of 1/8 in" in text
    assert "allowance 3/8 in included" in text
