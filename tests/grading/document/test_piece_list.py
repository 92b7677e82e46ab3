"""Piece lists from spreadsheets as a start; the lists are invented."""

from __future__ import annotations

import pytest

from grading.document import read_pattern
from grading.document.piece_list import UnreadableList, draft_of_list
from grading.exact import read_length

HEAD = ["Piece", "Width", "Height", "Count", "Fabric", "Remark"]


def faults_of(rows: list[list[str]], unit: str = "mm") -> dict[str, str]:
    with pytest.raises(UnreadableList) as refused:
        draft_of_list(rows, "Listed", unit)
    return {fault.path: fault.problem for fault in refused.value.faults}


def test_a_list_becomes_a_document_that_can_be_read() -> None:
    rows = [
        HEAD,
        ["Front panel", "480", "440", "2", "Sea canvas", "square corners"],
        ["Tab", "40", "110.5", "", "", ""],
    ]
    document = draft_of_list(rows, "Listed")
    read_pattern(document)
    assert document["pieces"]["front_panel"] == {
        "says": "square corners",
        "uses": ["front_panel_1", "front_panel_2"],
        "outline": {"rectangle": ["front_panel_width", "front_panel_height"]},
        "layers": [{"material": "sea_canvas"}],
    }
    assert document["dimensions"]["tab_height"]["base"] == 110.5
    assert list(document["materials"]) == ["sea_canvas", "main"]


def test_the_columns_may_stand_in_any_order_below_a_title() -> None:
    rows = [["My bag", "", ""], [], ["height", "qty", "Name", "across"], ["440", "1", "panel", "480"]]
    document = draft_of_list(rows, "Listed")
    assert document["dimensions"]["panel_width"]["base"] == 480
    assert document["dimensions"]["panel_height"]["base"] == 440


@pytest.mark.parametrize(
    ("unit", "head", "text", "millimetres"),
    [
        ("mm", "width", "250", "250"),
        ("mm", "width (cm)", "25", "250"),
        ("mm", "width [in]", "9 7/8", "250.825"),
        ("mm", "width", "12,5 cm", "125"),
        ("in", "width", "9 7/8", "250.825"),
        ("in", "width", '10"', "254"),
        ("cm", "width", "25.5", "255"),
    ],
)
def test_lengths_are_taken_exactly_as_written(unit: str, head: str, text: str, millimetres: str) -> None:
    # An inch is 25.4 mm exactly (international yard and pound agreement of 1959).
    document = draft_of_list([["piece", head, "height"], ["panel", text, "1"]], "Listed", unit)
    assert read_length(document["dimensions"]["panel_width"]["base"], unit) == read_length(f"{millimetres} mm")


def test_mirrored_pieces_are_mirrored_uses() -> None:
    document = draft_of_list(
        [["piece", "width", "height", "cut"], ["gusset", "100", "300", "1 + 1 mirrored"]], "Listed"
    )
    assert document["pieces"]["gusset"]["uses"] == ["gusset_1", {"name": "gusset_2", "mirrored": True}]


def test_two_pieces_of_one_name_are_told_apart() -> None:
    rows = [["piece", "width", "height"], ["panel", "1", "2"], ["Panel", "3", "4"], ["panel!", "5", "6"]]
    assert list(draft_of_list(rows, "Listed")["pieces"]) == ["panel", "panel_2", "panel_3"]


def test_every_cell_that_cannot_be_used_is_named_at_once() -> None:
    rows = [HEAD, ["panel", "wide", "0", "many", "", ""], ["", "5", "5", "", "", ""], ["flap", "5", "5", "99", "", ""]]
    assert set(faults_of(rows)) == {
        "rows.2.width", "rows.2.height", "rows.2.count", "rows.3.piece", "rows.4.count",
    }  # fmt: skip


def test_a_list_without_a_head_or_without_pieces_says_what_is_missing() -> None:
    assert "no row names the columns" in faults_of([["panel", "480", "440"]])["rows"]
    assert "no piece" in faults_of([HEAD, []])["rows"]
    assert "501 pieces" in faults_of([HEAD, *([["panel", "1", "1"]] * 501)])["rows"]
