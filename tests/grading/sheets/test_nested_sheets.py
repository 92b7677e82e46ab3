"""Several sizes on one sheet: a line for each, which reads in grey, and lines in common where nothing differs."""

from __future__ import annotations

from itertools import combinations

from grading.drawing.scene import Path
from grading.drawing.styles import SIZES, STYLES, inner_style, size_style
from grading.drawing_table import nested_sheets
from grading.sheets.piece_scene import Nest, draw_piece
from grading.sheets.sheets import sheets
from grading.sheets.templates import template
from tests.grading.sheets.sheet_reading import CURVED, cut_length, demo, graded, length, page_lines, pages

ORDER = ("base", "mini", "large")


def _nest(name: str, piece: str) -> Nest:
    return Nest("x", tuple(template(piece, graded(name, size), demo(name)) for size in ORDER), ORDER)


def test_no_two_sizes_have_the_same_line() -> None:
    dashes = [STYLES[size_style(number)].dashes for number in range(SIZES)]
    assert all(one != other for one, other in combinations(dashes, 2))
    assert all(STYLES[size_style(number)].grey == 0 for number in range(SIZES))
    assert [STYLES[inner_style(number)].dashes for number in range(SIZES)] == dashes


def test_each_size_of_a_piece_has_its_own_line() -> None:
    drawn = draw_piece(_nest("market_tote", "panel"))
    cuts = [mark for mark in drawn.scene.marks if isinstance(mark, Path) and mark.layer == "cut"]
    assert [mark.style for mark in cuts] == ["size 1", "size 2", "size 3"]


def test_sizes_without_a_difference_share_a_line() -> None:
    drawn = draw_piece(_nest("ferry_day_pack", "strap_tab"))
    cuts = [mark for mark in drawn.scene.marks if isinstance(mark, Path) and mark.layer == "cut"]
    assert len(cuts) == 1
    assert "all sizes" in {getattr(mark, "text", "") for mark in drawn.scene.marks}


def test_cut_lines_of_all_sizes_are_on_the_pages_at_true_scale() -> None:
    grades = [graded("market_tote", size) for size in ORDER]
    content = sheets(grades, demo("market_tote"), {"paper": "A3"})
    measured = [length(points) for page in pages(content) for _, _, points in page_lines(page)]
    for grade in grades:
        for piece in grade["pieces"].values():
            assert min(abs(each - cut_length(piece)) for each in measured) < 0.1


def test_all_named_sizes_of_a_pattern_are_nested() -> None:
    content = nested_sheets(demo("market_tote"), {"pieces": ["pocket"]})
    text = pages(content)[0].extract_text()
    assert "nested sizes base, mini, large" in text


def test_sizes_on_the_other_ruler_are_told_of_and_left_out() -> None:
    document = {
        **demo("market_tote"),
        "sizes": {**demo("market_tote")["sizes"], "inch": {"scale": 1, "ruler": "1/8 in"}},
    }
    text = pages(nested_sheets(document, {"pieces": ["pocket"]}))[0].extract_text()
    assert "nested sizes base, mini, large" in text
    assert "Size inch is left out: it is on a ruler of the other system." in text


def test_the_curved_bag_is_nested_too() -> None:
    assert CURVED.exists()
    content = nested_sheets(demo("curved"), {"paper": "A3"})
    assert content.startswith(b"%PDF")
