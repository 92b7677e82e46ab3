"""Cutting layouts as PDF, read back: a page for each cloth, the repeat at its size, pieces at their places."""

from __future__ import annotations

import re
from functools import lru_cache
from itertools import pairwise
from typing import Any

import pytest

import grading
from grading.errors import RequestFaults
from tests.grading.sheets.sheet_reading import POINTS, breadth_and_height, demo, graded, number, page_lines, pages


@lru_cache
def _layouts(name: str) -> dict[str, Any]:
    grade = grading.grade_size(grading.read_document(demo(name)), size="base")
    return dict(grading.layouts_document(grading.layouts_of(grade, {"effort": "quick", "widths": []})))


def _scale(text: str) -> float:
    found = re.search(r"drawn 1 : ([0-9.]+)", text)
    assert found
    return float(found[1])


def test_every_cloth_has_its_page() -> None:
    laid = _layouts("market_tote")
    found = pages(grading.layout_sheets(laid, graded("market_tote")))
    assert len(found) == sum(max(int(cloth.get("sheets", 0)), 1) for cloth in laid["cloths"].values())
    for page, (role, cloth) in zip(found, laid["cloths"].items(), strict=True):
        text = page.extract_text()
        assert role in text
        assert cloth["above"] in text
        assert "Measure your cloth before cutting." in text
        assert float(page.width) / POINTS == pytest.approx(297, abs=0.01)


def test_the_cloth_and_the_repeat_of_its_print_are_to_scale() -> None:
    laid = _layouts("market_tote")["cloths"]["main"]
    page = pages(grading.layout_sheets(_layouts("market_tote"), graded("market_tote")))[0]
    scale = _scale(page.extract_text())
    assert laid["repeat"]
    upright = sorted(
        points[0][0]
        for _, dashed, points in page_lines(page)
        if dashed
        and len(points) == 2
        and abs(points[0][0] - points[1][0]) < 1e-6
        and breadth_and_height(points)[1] == pytest.approx(number(laid["width"]) / scale, abs=0.01)
    )
    steps = {round((b - a) * scale, 1) for a, b in pairwise(upright[:-1])}
    assert steps == {round(number(laid["repeat"]["along"]), 1)}
    assert "one-way: all tops lie one way" in page.extract_text()


def test_pieces_are_drawn_at_their_places() -> None:
    laid = _layouts("market_tote")["cloths"]["lining"]
    page = pages(grading.layout_sheets(_layouts("market_tote")))[1]
    scale = _scale(page.extract_text())
    drawn = sorted(
        tuple(round(each * scale, 1) for each in breadth_and_height(points))
        for breadth, dashed, points in page_lines(page)
        if len(points) > 2 and not dashed and abs(breadth - 0.5) < 0.001
    )
    assert drawn == sorted((number(piece["along"]), number(piece["across"])) for piece in laid["pieces"])


def test_layouts_are_not_printed_on_rolls() -> None:
    with pytest.raises(RequestFaults):
        grading.layout_sheets(_layouts("market_tote"), paper="roll-36in")


def test_the_same_layouts_give_the_same_bytes() -> None:
    laid = _layouts("market_tote")
    assert grading.layout_sheets(laid, graded("market_tote")) == grading.layout_sheets(laid, graded("market_tote"))
