"""What quilting and fusing take in is cut more, and the verifier comes to the same measures."""

from __future__ import annotations

from typing import Any

import pytest

from grading.errors import Conflict, DocumentFaults
from grading.pipeline import grade_document, grade_size, read_document
from grading.verify import judge
from tests.patterns import changed, sheet

Json = dict[str, Any]
RECTANGLE = {"rectangle": ["width", "height"]}


def row(document: Json, ruler: str = "1 mm") -> Json:
    """The one row of a cut list, after the verifier has found nothing wrong with it."""
    asked = changed(document, "ruler", ruler)
    for edge in ("top", "right", "bottom", "left"):
        asked = changed(asked, f"pieces.sheet.edges.{edge}", {"fate": "raw"})
    grade = grade_document(grade_size(read_document(asked), size="base"))
    assert [claim.says for claim in judge(asked, grade).failing] == []
    (only,) = grade["cut_list"]
    return dict(only)


def quilted(layer: Json | None = None, width: float = 480, **piece: Any) -> Json:
    """A piece that is 500 mm wide and 300 mm high as cut."""
    layers = [{"material": "main"} | (layer or {})]
    return sheet(RECTANGLE, {"width": width, "height": 280}, layers=layers, **piece)


def test_what_shrinks_by_4_percent_to_500_mm_is_cut_521_mm() -> None:
    """500 -> 480 mm is -4.0 % (100 (B - A)/A, AATCC 135), so that 500/0.96 = 520.8 mm is cut, not 520."""
    found = row(quilted({"shrinks": {"across": "4 %"}}))
    assert (found["across"], found["along"]) == ("521 mm", "300 mm")
    assert found["trim"] == {"across": "500 mm", "along": "300 mm"}
    assert found["finished"] == {"across": "480 mm", "along": "280 mm"}


def test_the_rough_cut_of_a_quilted_layer_is_raised_and_then_25_mm_larger_all_round() -> None:
    """25 mm all round: common practice, no source. 500/0.98 = 510.2 and 300/0.97 = 309.3 mm."""
    found = row(quilted({"oversize": "25 mm", "shrinks": {"across": "2 %", "along": "3 %"}}))
    assert (found["across"], found["along"]) == ("561 mm", "360 mm")
    assert found["trim"] == {"across": "500 mm", "along": "300 mm"}


def test_on_the_fold_the_half_is_raised() -> None:
    """250/0.98 = 255.1 mm."""
    found = row(quilted({"oversize": "25 mm", "shrinks": {"across": "2 %"}}, on_fold=True))
    assert found["on_fold"] == {"across": "281 mm", "along": "350 mm"}
    assert found["across"] == "562 mm"


def test_a_fusible_material_shrinks_in_each_layer_that_does_not_say_otherwise() -> None:
    document = quilted({"inset": "5 mm"})
    document = changed(document, "materials.main.shrinks", {"across": "6 %", "along": "6 %"})
    found = row(document)  # 470/0.94 = 500 mm exactly, 270/0.94 = 287.2 mm
    assert (found["across"], found["along"], found["allowance"]) == ("500 mm", "288 mm", "none")
    assert found["trim"] == {"across": "470 mm", "along": "270 mm"}
    none = {"across": "0 %", "along": "0 %"}
    assert row(changed(document, "pieces.sheet.layers.0.shrinks", none))["trim"] is None


def test_across_and_along_are_of_the_grain() -> None:
    found = row(quilted({"shrinks": {"across": "4 %"}}, grain="across"))
    assert (found["across"], found["along"]) == ("313 mm", "500 mm")  # 300/0.96 = 312.5 mm


def test_on_the_bias_the_greater_part_is_taken_in_both_ways() -> None:
    found = row(quilted({"shrinks": {"across": "4 %", "along": "1 %"}}, grain="bias"))
    assert (found["across"], found["along"]) == ("521 mm", "313 mm")


def test_the_rough_cut_lies_on_a_ruler_in_inches() -> None:
    found = row(quilted({"shrinks": {"across": "4 %", "along": "4 %"}}, width=500), "1/8 in")
    for side in ("across", "along"):
        assert found[side].endswith(" in")
    assert found["trim"]["across"] != found["across"]


def test_a_template_piece_shrinks_too() -> None:
    outline = {"trapezoid": {"top": "width", "bottom": "width - 100", "height": "height"}}
    plain = row(sheet(outline, {"width": 480, "height": 280}))
    shrunk = row(sheet(outline, {"width": 480, "height": 280}, layers=[
        {"material": "main", "shrinks": {"across": "10 %", "along": "10 %"}}
    ]))  # fmt: skip
    assert shrunk["kind"] == "template"
    assert shrunk["trim"] == {"across": plain["across"], "along": plain["along"]}


def test_a_layer_must_fit_its_cloth_before_it_is_taken_in() -> None:
    """500/0.96 = 520.8 mm, and up to 1 mm for the ruler: 521 mm of cloth may do, 520 mm cannot."""
    document = quilted({"shrinks": {"across": "4 %"}})
    document["dimensions"]["width"]["sizing"] = "fixed"
    grade_size(read_document(changed(document, "materials.main.usable_width", "522 mm")), size="base")
    with pytest.raises(Conflict) as refused:
        grade_size(read_document(changed(document, "materials.main.usable_width", "520 mm")), size="base")
    assert {relation.id for relation in refused.value.relations} == {"fixed:width", "cloth:sheet:main"}


def test_a_rough_cut_that_forgets_the_shrinking_is_refused_by_the_verifier() -> None:
    document = quilted({"shrinks": {"across": "4 %"}})
    grade = grade_document(grade_size(read_document(document), size="base"))
    for across in ("520 mm", "522 mm", "500 mm"):
        grade["cut_list"][0]["across"] = across
        about = {claim.about for claim in judge(document, grade).failing if claim.kind == "printed"}
        assert about == {"printed:cut_list.0.across"}


@pytest.mark.parametrize("share", ["-1 %", "51 %", "100 %"])
@pytest.mark.parametrize("path", ["pieces.sheet.layers.0.shrinks", "materials.main.shrinks"])
def test_nothing_grows_or_loses_more_than_half_by_quilting(share: str, path: str) -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_document(changed(quilted(), path, {"along": share}))
    assert [fault.path for fault in refused.value.faults] == [f"{path}.along"]
