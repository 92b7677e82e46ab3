"""Corners too tight for their foam (40 mm: common practice, no source), and hardware that does not fit."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grading.check import Customs
from grading.pipeline import check_document
from tests.grading.check.sound import Json, places, pouch, said, told
from tests.patterns import changed


def padded(radius: str) -> Json:
    """The pouch with a padded flap with two rounded corners, loose."""
    raw = {"fate": "raw"}
    flap = {
        "outline": {
            "rounded_rectangle": {
                "width": "width",
                "height": "80 mm",
                "corners": {"bottom_left": radius, "bottom_right": radius},
            }
        },
        "edges": dict.fromkeys(("top", "right", "bottom_right", "bottom", "bottom_left", "left"), raw),
        "layers": [{"material": "main"}, {"material": "foam", "inset": "2 mm"}],
    }
    document = changed(changed(pouch(), "pieces.flap", flap), "materials.foam", {"kind": "foam", "thickness": "3 mm"})
    return changed(document, "steps.4.uses", ["stud", "flap"])


@pytest.mark.parametrize(("radius", "tight"), [("39 mm", True), ("40 mm", False)])
def test_foam_is_hard_to_sew_round_a_tight_corner(radius: str, tight: bool) -> None:
    assert places(padded(radius), "tight_corner") == ["pieces.flap.outline"] * tight


def test_corners_and_both_numbers_are_named() -> None:
    note = told(padded("25 mm"), "tight_corner")
    assert note.is_remark
    assert all(word in note.problem for word in ("bottom_right", "bottom_left", "25 mm", "40 mm"))


def test_the_size_with_the_tightest_corner_is_named() -> None:
    document = changed(padded("width/3"), "sizes.narrow", {"set": {"width": "102 mm"}})
    note = told(document, "tight_corner")
    assert all(word in note.problem for word in ("narrow", "34 mm"))


def test_a_corner_without_foam_may_be_tight() -> None:
    assert said(changed(padded("10 mm"), "materials.foam.kind", "cloth")) == []


def test_how_tight_is_a_setting() -> None:
    found = check_document(padded("25 mm"), Customs(least_foamed_radius=Fraction(20)))
    assert not [note for note in found.remarks if note.kind == "tight_corner"]


@pytest.mark.parametrize(("ring", "misfit"), [("20 mm", True), ("25 mm", False)])
def test_webbing_has_the_width_of_its_hardware(ring: str, misfit: bool) -> None:
    document = changed(pouch(), "findings.band", {"webbing": {"width": "25 mm", "length": "60 mm"}})
    document["findings"]["clasp"] = {"hardware": {"what": "clasp", "width": ring}}
    document["steps"][4]["uses"] = ["stud", "band", "clasp"]
    assert places(document, "hardware_width") == ["findings.clasp.hardware.width"] * misfit


def curved(edge: dict[str, object]) -> Json:
    """The padded flap with a bottom that is one curve, from (120, -80) to (0, -80)."""
    document = padded("40 mm")
    raw = {"fate": "raw"}
    document["pieces"]["flap"] |= {
        "outline": {
            "start": [0, 0],
            "edges": [
                {"name": "top", "to": ["width", 0]},
                {"name": "right", "to": ["width", -80]},
                {"name": "low", "to": [0, -80], **edge},
                {"name": "left", "to": [0, 0]},
            ],
        },
        "edges": dict.fromkeys(("top", "right", "low", "left"), raw),
    }
    return document


def test_the_radius_of_an_arc_is_that_of_its_circle() -> None:
    assert places(curved({"arc": "right", "rise": 20}), "tight_corner") == []  # (60² + 20²)/40 = 100 mm
    assert places(curved({"arc": "left", "rise": 60}), "tight_corner") == []  # hollow: nothing is bent round the foam
    loose = Customs(least_foamed_radius=Fraction(101))
    (note,) = (
        n for n in check_document(curved({"arc": "right", "rise": 20}), loose).remarks if n.kind == "tight_corner"
    )
    assert "radius of 100 mm" in note.problem


def test_the_radius_of_an_ellipse_is_the_least_at_the_ends_of_its_long_axis() -> None:
    """b²/a: 20²/75 = 5.33 mm in the wide size, in any textbook."""
    document = curved({})
    document["pieces"]["flap"]["outline"]["edges"] = [
        {"name": "top", "to": ["width", 0]},
        {"name": "right", "to": ["width", -60]},
        {"name": "low", "to": ["width/2", -80], "ellipse": "right"},
        {"name": "left", "to": [0, -60], "ellipse": "right"},
        {"name": "side", "to": [0, 0]},
    ]
    document["pieces"]["flap"]["edges"]["side"] = {"fate": "raw"}
    note = told(document, "tight_corner")
    assert "low and left" in note.problem
    assert "5.33 mm in the size wide" in note.problem


def test_the_radius_of_a_cubic_is_the_least_along_it() -> None:
    """Raised from parabolas: y = -x²/40 has a radius of 20 mm at its vertex."""
    document = curved({})
    document["pieces"]["flap"]["outline"]["edges"] = [
        {"name": "top", "to": ["width", 0]},
        {"name": "low", "to": ["width/2", -90], "cubic": [["width*5/6", -60], ["width*2/3", -90]]},
        {"name": "left", "to": [0, 0], "cubic": [["width/3", -90], ["width/6", -60]]},
    ]
    document["pieces"]["flap"]["edges"] = {edge: {"fate": "raw"} for edge in ("top", "low", "left")}
    note = told(document, "tight_corner")
    assert "low and left" in note.problem
    assert "20 mm" in note.problem
