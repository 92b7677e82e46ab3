"""The thickness of a material in expressions, and what the ruler does with it."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from grading.errors import DocumentFaults
from grading.form import Form
from grading.pipeline import grade_document, grade_size, read_document
from grading.verify import judge
from tests.patterns import changed, model_of, pouch

Json = dict[str, Any]
CLOTHS = {
    "main": {"usable_width": "1370 mm", "thickness": "0.6 mm"},
    "lining": {},
    "foam": {"kind": "foam", "thickness": "3.2 mm"},
}


def lined(path: str, value: Any) -> Json:
    return changed(pouch() | {"materials": CLOTHS}, path, value)


def drawn(value: str, ruler: str = "1 mm") -> tuple[Form, list[tuple[str, Fraction, Fraction]]]:
    """A pocket's width as drawn, and what the ruler altered in it."""
    model = model_of(lined("pieces.pocket.outline.rectangle.0", value), ruler)
    altered = [(item.path, item.before, item.after) for item in model.alterations if "pocket" in item.path]
    return model.pieces["pocket"].outline.edges[0].length, altered


def test_thicknesses_of_an_outline_are_put_on_the_ruler_together() -> None:
    form, altered = drawn("pocket_width - 2*thickness_foam - thickness_main")
    assert form == Form({"pocket_width": Fraction(1), "": Fraction(-7)})
    assert altered == []
    form, altered = drawn("pocket_width - 2*thickness_foam")
    assert form == Form({"pocket_width": Fraction(1), "": Fraction(-6)})
    assert altered == [("pieces.pocket.outline.rectangle.0", Fraction(-32, 5), Fraction(-6))]


def test_a_thickness_is_put_apart_from_the_numbers_beside_it() -> None:
    form, altered = drawn("pocket_width + 0.4 + thickness_main")
    assert form == Form({"pocket_width": Fraction(1), "": Fraction(2)})
    assert {(before, after) for _, before, after in altered} == {
        (Fraction(2, 5), Fraction(1)),
        (Fraction(3, 5), Fraction(1)),
    }


def test_thicknesses_that_cancel_leave_nothing_to_put_on_the_ruler() -> None:
    form, altered = drawn("pocket_width + thickness_foam - thickness_foam")
    assert form == Form({"pocket_width": Fraction(1)}) and altered == []


def test_a_thickness_stays_exact_in_a_rule_and_in_the_ease_of_a_seam() -> None:
    document = lined("rules.deep", {"holds": "width >= height + 2*thickness_foam", "because": "it is padded"})
    model = model_of(changed(document, "seams.bottom.ease", "2*thickness_foam"))
    rule = next(relation for relation in model.relations if relation.id == "rule:deep")
    assert rule.form.constant == Fraction(-32, 5)
    assert model.seams["bottom"].ease.constant == Fraction(32, 5)
    assert model.seams["bottom"].relation.tolerance == Fraction(3, 2)
    assert model_of(changed(document, "seams.bottom.ease", "6 mm")).seams["bottom"].relation.tolerance is None


def test_a_seam_with_ease_from_a_thickness_joins_within_its_tolerance_on_either_ruler() -> None:
    document = lined("pieces.panel.uses", ["front"])
    document = changed(document, "pieces.back", changed(pouch(), "pieces.panel.uses", ["back"])["pieces"]["panel"])
    document = changed(document, "dimensions.back_width", {"base": 126, "sizing": "decided"})
    document = changed(document, "pieces.back.outline.rectangle.0", "back_width")
    document = changed(document, "pieces.back.lines.floor.to.0", "back_width")
    document["seams"]["bottom"] = {"join": ["back.bottom"], "to": ["front.bottom"], "ease": "2*thickness_foam"}
    for ruler in ("1 mm", "1/8 in"):
        asked = document | {"ruler": ruler}
        grade = grade_document(grade_size(read_document(asked), size="base"))
        verdict = judge(asked, grade)
        assert verdict.failing == ()
        assert grade["seams"]["bottom"]["ease"] == "6.4 mm"
        about = {claim.about: claim for claim in verdict.claims}
        assert about["seam:bottom"].holds and about["ease:bottom"].holds


def test_an_allowance_or_an_inset_may_follow_a_thickness() -> None:
    model = model_of(lined("pieces.pocket.edges.bottom.allowance", "8 + 2*thickness_foam"))
    assert model.pieces["pocket"].allowances["bottom"] == 14
    model = model_of(lined("pieces.panel.layers.1.inset", "thickness_foam"))
    assert model.pieces["panel"].layers[1].inset == 3


def test_a_root_over_a_thickness_is_exact() -> None:
    model = model_of(lined("rules.slope", {
        "holds": "sqrt(width**2 + thickness_foam**2) >= height", "because": "it slants"
    }))  # fmt: skip
    rule = next(relation for relation in model.relations if relation.id == "rule:slope")
    (area,) = rule.form.roots
    assert dict(area.terms) == {("width", "width"): 1, ("", ""): Fraction(256, 25)}


@pytest.mark.parametrize(
    ("path", "value", "place", "words"),
    [
        ("rules.shape.holds", "width >= thickness_wool", "rules.shape.holds", "no material is named 'wool'"),
        ("rules.shape.holds", "width >= thickness_lining", "rules.shape.holds", "does not say how thick it is"),
        ("dimensions.thickness_foam", {"base": 3}, "dimensions.thickness_foam", "thickness of a material"),
    ],
)
def test_a_thickness_that_is_not_there_is_a_fault(path: str, value: Any, place: str, words: str) -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_document(lined(path, value))
    assert any(fault.path == place and words in fault.problem for fault in refused.value.faults)
