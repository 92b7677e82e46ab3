"""Marks that a seam should have. 250 mm and the quarters of loops: common practice, no source."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grading.check import Customs
from grading.pipeline import check_document
from tests.grading.check.sound import Json, lined_bag, places, pouch, said, told
from tests.patterns import GONE, changed

SMOOTH = ("top_right", "bottom_right", "bottom_left", "top_left")


def round_pot(radius: int) -> Json:
    """A wall sewn round a disc."""
    return {
        "format": 1,
        "name": "Pot",
        "dimensions": {"radius": {"base": radius}, "wall": {"base": 6 * radius, "sizing": "decided"}},
        "materials": {"main": {}},
        "pieces": {
            "base": {
                "outline": {"disc": {"radius": "radius"}},
                "notches": {"half": {"edge": "rim", "at": "middle"}},
                "layers": [{"material": "main"}],
            },
            "wall": {
                "outline": {"rectangle": ["wall", "60 mm"]},
                "edges": {"top": {"fate": "raw"}, "right": {"finish": "raw"}, "bottom": {"finish": "raw"}},
                "notches": {"half": {"edge": "bottom", "at": "middle"}},
                "layers": [{"material": "main"}],
            },
        },
        "seams": {
            "side": {"join": ["wall.right"], "to": ["wall.left"]},
            "round": {
                "join": ["wall.bottom"],
                "to": ["base.rim"],
                "closed": True,
                "notches": [["wall.half", "base.half"]],
            },
        },
        "steps": [{"text": "Sew.", "action": "sew", "makes": ["side", "round"]}],
    }


@pytest.mark.parametrize(("height", "missing"), [(250, False), (251, True)])
def test_a_seam_over_250_mm_has_a_notch_at_its_centre(height: int, missing: bool) -> None:
    document = changed(pouch(), "dimensions.height", {"base": height, "limits": [80, 300]})
    document["dimensions"]["width"] = {"base": 200, "limits": [120, 240]}
    document["sizes"] = {}
    assert places(document, "no_centre_notch") == ["seams.side.notches", "seams.side_2.notches"] * missing


def test_a_long_seam_with_a_notch_is_nothing_to_speak_of() -> None:
    document = changed(pouch(), "dimensions.width", {"base": 280, "limits": [120, 300]})
    document["sizes"] = {}
    assert said(document) == []
    note = told(changed(document, "seams.bottom.notches", []), "no_centre_notch")
    assert (note.path, note.is_remark, "280 mm" in note.problem) == ("seams.bottom.notches", True, True)


def test_how_long_is_a_setting() -> None:
    document = changed(pouch(), "dimensions.height", {"base": 280, "limits": [80, 300]})
    document["dimensions"]["width"]["base"] = 200
    found = check_document(document, Customs(longest_without_notch=Fraction(300)))
    assert not [note for note in found.remarks if note.kind == "no_centre_notch"]


def test_a_small_loop_has_its_start_and_its_centre_marked() -> None:
    assert said(round_pot(45)) == []  # 283 mm round
    note = told(changed(round_pot(45), "seams.round.notches", []), "few_marks_on_loop")
    assert (note.path, note.is_remark) == ("seams.round.notches", True)


def test_a_large_loop_has_its_quarters_marked() -> None:
    note = told(round_pot(90), "few_marks_on_loop")  # 565 mm round
    assert "2 marks" in note.problem
    assert "the quarters" in note.remedy


def test_side_seams_that_meet_are_marks_of_a_loop() -> None:
    bag = lined_bag()
    bag["dimensions"]["width"] = {"base": 260, "limits": [200, 300]}
    assert places(bag, "few_marks_on_loop") == []  # two side seams and two notches
    assert places(changed(bag, "seams.mouth.notches", []), "few_marks_on_loop") == ["seams.mouth.notches"]


def test_a_curve_sewn_to_a_straight_edge_is_marked_where_it_begins_and_ends() -> None:
    document = round_pot(45)
    document["dimensions"] = {
        "width": {"base": 100},
        "corner": {"base": 30},
        "wall": {"base": 350, "sizing": "decided"},
    }
    rounded = {"width": "width", "height": "width", "corners": "corner"}
    order = ("top", "top_right", "right", "bottom_right", "bottom", "bottom_left", "left", "top_left")
    after = dict(zip(order, (*order[1:], order[0]), strict=True))
    document["pieces"]["wall"]["notches"] = {}
    document["pieces"]["base"] = {"outline": {"rounded_rectangle": rounded}, "layers": [{"material": "main"}]}
    document["seams"]["round"] = {
        "join": ["wall.bottom"],
        "to": [f"base.{edge}" for edge in reversed(order)],
        "closed": True,
    }
    note = told(document, "curve_without_marks")
    assert (note.path, note.is_remark) == ("pieces.base.notches", True)
    assert all(edge in note.problem for edge in SMOOTH)
    notches = {edge: {"edge": edge, "at": 0} for edge in SMOOTH}
    notches |= {f"{edge}_end": {"edge": after[edge], "at": 0} for edge in SMOOTH}
    assert places(changed(document, "pieces.base.notches", notches), "curve_without_marks", "unused_notch") == []
    del notches["top_left_end"]
    assert "top_left of base" in told(changed(document, "pieces.base.notches", notches), "curve_without_marks").problem


def test_like_curves_need_no_marks_against_each_other() -> None:
    document = changed(pouch(), "pieces.panel.notches", GONE)
    document["pieces"]["panel"]["outline"] = {
        "rounded_rectangle": {
            "width": "width",
            "height": "height",
            "corners": {"bottom_left": "20 mm", "bottom_right": "20 mm"},
        }
    }
    for edge in ("bottom_left", "bottom_right"):
        document["pieces"]["panel"]["edges"][edge] = {"finish": "overcast"}
    document["seams"] = {
        "round": {
            "join": [f"front.{edge}" for edge in ("right", "bottom_right", "bottom", "bottom_left", "left")],
            "to": [f"back.{edge}" for edge in ("left", "bottom_left", "bottom", "bottom_right", "right")],
        }
    }
    document["coverings"]["pocket_on_front"]["clear"]["top"] = "15 mm"
    document["steps"][3]["makes"] = ["round"]
    assert said(document) == []


def test_where_a_curve_of_another_kind_begins_shows_by_its_angle_only() -> None:
    """A quarter of an ellipse runs on from the edges beside it, an arc of a small rise does not."""
    walled = ellipse_cornered(smooth=True)
    assert "low_right" in told(walled, "curve_without_marks").problem
    assert places(ellipse_cornered(smooth=False), "curve_without_marks") == []


def ellipse_cornered(*, smooth: bool) -> Json:
    """A panel whose one corner is curved, sewn all along to a straight strip."""
    corner: Json = {"ellipse": "right"} if smooth else {"arc": "right", "rise": 4}
    return {
        "format": 1,
        "name": "Panel",
        "dimensions": {"width": {"base": 120}, "strip": {"base": 210, "sizing": "decided"}},
        "materials": {"main": {}},
        "pieces": {
            "panel": {
                "outline": {
                    "start": [0, 0],
                    "edges": [
                        {"name": "top", "to": ["width", 0]},
                        {"name": "right", "to": ["width", -60]},
                        {"name": "low_right", "to": ["width - 60", -90], **corner},
                        {"name": "bottom", "to": [0, -90]},
                        {"name": "left", "to": [0, 0]},
                    ],
                },
                "edges": {"top": {"fate": "raw"}, "left": {"fate": "raw"}},
                "layers": [{"material": "main"}],
            },
            "strip": {
                "outline": {"rectangle": ["strip", "30 mm"]},
                "edges": {name: {"fate": "raw"} for name in ("top", "right", "left")},
                "layers": [{"material": "main"}],
            },
        },
        "seams": {"around": {"join": ["panel.right", "panel.low_right", "panel.bottom"], "to": ["strip.bottom"]}},
    }
