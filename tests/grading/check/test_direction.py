"""Prints that hang upside down or sideways."""

from __future__ import annotations

import pytest

from tests.grading.check.sound import Json, places, pouch, said, told
from tests.patterns import GONE, changed


def printed(direction: str = "one-way") -> Json:
    """The pouch in a cloth with a direction, every piece with the edge that is up."""
    document = changed(pouch(), "materials.main.direction", direction)
    document = changed(document, "coverings.pocket_on_front.says", "its print need not match")
    for piece in ("panel", "pocket"):
        document["pieces"][piece]["up"] = "top"
    return document


def banded() -> Json:
    """A panel with a band of one piece round its sides and its bottom, in a one-way print."""
    raw = {edge: {"fate": "raw"} for edge in ("top", "right", "bottom", "left")}
    return {
        "format": 1,
        "name": "Band",
        "dimensions": {
            "width": {"base": 100},
            "height": {"base": 80},
            "band_length": {"base": 260, "sizing": "decided"},
        },
        "materials": {"main": {"direction": "one-way"}},
        "pieces": {
            "panel": {
                "outline": {"rectangle": ["width", "height"]},
                "edges": {"top": {"fate": "raw"}, **{edge: {"finish": "raw"} for edge in ("right", "bottom", "left")}},
                "up": "top",
                "layers": [{"material": "main"}],
            },
            "band": {
                "outline": {"rectangle": ["40 mm", "band_length"]},
                "edges": {**raw, "left": {"finish": "raw"}},
                "up": "top",
                "layers": [{"material": "main"}],
            },
        },
        "seams": {"round": {"join": ["panel.right", "panel.bottom", "panel.left"], "to": ["band.left"]}},
        "steps": [{"text": "Sew.", "action": "sew", "makes": ["round"]}],
    }


def test_a_one_way_print_the_right_way_up_is_nothing_to_speak_of() -> None:
    assert said(printed()) == []


def test_a_piece_of_a_one_way_print_says_which_edge_is_up() -> None:
    note = told(changed(printed(), "pieces.pocket.up", GONE), "no_up")
    assert (note.path, note.is_remark) == ("pieces.pocket.up", True)


@pytest.mark.parametrize("direction", ["any", "two-way"])
def test_other_cloths_need_no_such_edge(direction: str) -> None:
    assert places(changed(printed(direction), "pieces.pocket.up", GONE), "no_up") == []


def test_a_pocket_whose_print_stands_on_its_head_is_a_fault() -> None:
    note = told(changed(printed(), "pieces.pocket.up", "bottom"), "upside_down")
    assert (note.path, note.is_remark) == ("coverings.pocket_on_front", False)


def test_stripes_have_no_head_to_stand_on() -> None:
    assert places(changed(printed("two-way"), "pieces.pocket.up", "bottom"), "upside_down") == []


def test_a_pocket_laid_face_down_keeps_its_head_up() -> None:
    document = changed(printed(), "coverings.pocket_on_front.face", "down")
    document["coverings"]["pocket_on_front"]["caught"] = {"left": "right", "right": "left"}
    assert said(document) == []


def test_what_is_caught_in_one_edge_is_folded_over_and_not_judged() -> None:
    document = changed(printed(), "pieces.pocket.up", "bottom")
    document["coverings"]["pocket_on_front"]["caught"] = {"left": "left"}
    document["pieces"]["pocket"]["edges"]["right"] = {"fate": "raw"}
    document["dimensions"]["pocket_width"] = {"base": 80}
    assert places(document, "upside_down") == []


@pytest.mark.parametrize("direction", ["one-way", "two-way"])
def test_a_print_that_runs_across_hangs_sideways(direction: str) -> None:
    note = told(changed(printed(direction), "pieces.pocket.grain", "across"), "sideways")
    assert (note.path, note.is_remark) == ("pieces.pocket.up", True)


def test_a_pocket_turned_by_a_quarter_hangs_sideways() -> None:
    document = changed(changed(printed(), "pieces.pocket.grain", "across"), "pieces.pocket.up", "left")
    assert places(document, "sideways") == ["coverings.pocket_on_front"]


def test_a_print_cut_on_the_bias_is_remarked_on() -> None:
    assert places(changed(printed(), "pieces.pocket.grain", "bias"), "sideways") == ["pieces.pocket.grain"]


def test_a_back_that_is_sewn_on_upside_down_is_a_fault() -> None:
    document = printed()
    document["pieces"]["panel"]["uses"] = ["front"]
    document["pieces"]["back_panel"] = {**document["pieces"]["panel"], "uses": ["back"], "up": "bottom"}
    note = told(document, "upside_down")
    assert (note.path, note.is_remark) == ("seams.side", False)
    assert places(changed(document, "pieces.back_panel.up", "top"), "upside_down") == []


def test_a_band_of_one_piece_shows_its_print_upside_down_on_one_side() -> None:
    note = told(banded(), "band_print")
    assert (note.path, note.is_remark) == ("pieces.band", True)
    assert "a seam at the bottom" in note.remedy


def test_a_band_without_direction_may_be_of_one_piece() -> None:
    document = changed(banded(), "materials.plain", {})
    document["pieces"]["band"]["layers"] = [{"material": "plain"}]
    assert places(document, "band_print", "upside_down") == []


def test_prints_that_lie_on_each_other_meet_or_need_not() -> None:
    document = changed(printed(), "coverings.pocket_on_front.says", "from side seam to side seam")
    note = told(document, "print_match")
    assert (note.path, note.is_remark) == ("coverings.pocket_on_front", True)
    assert places(changed(document, "steps.2.text", "Lay it on, the print matched."), "print_match") == []
