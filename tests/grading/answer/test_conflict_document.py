"""The document of a conflict: its fields, what an outside judge and the verifier make of it."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest

from grading import verify
from grading.errors import Conflict, RelationInConflict
from grading.pipeline import conflict_document, grade_size, read_document
from tests.grading.answer.bags import Json, conflict_of, sleeve
from tests.patterns import changed


def document_of(pattern: Json, request: Json) -> Json:
    written: Json = json.loads(json.dumps(conflict_document(conflict_of(pattern, request))))
    return written


def test_document_has_these_fields_and_no_others() -> None:
    written = document_of(sleeve(), {"set": {"width": "90 mm"}})
    assert list(written) == [
        "format", "kind", "pattern", "size", "ruler", "relations", "certificate", "limits", "remedies"
    ]  # fmt: skip
    assert written["kind"] == "conflict"
    assert written["size"] == {"name": None, "request": {"set": {"width": "90 mm"}}}
    assert {each["id"] for each in written["relations"]} == {"asked:width", "rule:zip", "stock:zip_length"}
    assert [branch["stock"] for branch in written["certificate"]] == [
        {"zip_length": "100 mm"},
        {"zip_length": "120 mm"},
        {"zip_length": "150 mm"},
    ]
    for branch in written["certificate"]:
        assert all(Fraction(value) for value in branch["multipliers"].values())
    assert written["remedies"][0]["distance"] > 0


@pytest.mark.parametrize(
    "request_",
    [
        {"set": {"width": "90 mm"}},
        {"within": {"box": ["70 mm", "30 mm", "90 mm"], "turned": "any"}},
        {"keep": ["width"], "hold": [{"object": ["6 in", 60, 10]}], "ruler": "1/8 in"},
    ],
)
def test_the_independent_verifier_agrees_and_sees_a_false_number(request_: Json) -> None:
    pattern, written = sleeve(), document_of(sleeve(), request_)
    assert verify.judge_conflict(pattern, written).holds
    label, value = next(iter(written["certificate"][0]["multipliers"].items()))
    wrong = changed(written, "certificate.0.multipliers", {**written["certificate"][0]["multipliers"], label: "7"})
    assert value != "7"
    assert not verify.judge_conflict(pattern, wrong).holds
    assert not verify.judge_conflict(pattern, {**written, "certificate": written["certificate"][1:]}).holds


def test_named_size_that_cannot_be_made_keeps_its_name() -> None:
    pattern = changed(sleeve(), "sizes.slim", {"set": {"width": 90}, "others": "at base"})
    with pytest.raises(Conflict) as caught:
        grade_size(read_document(pattern), size="slim")
    written = conflict_document(caught.value)
    assert written["size"] == {"name": "slim", "request": {"set": {"width": 90}, "others": "at base"}}
    assert verify.judge_conflict(pattern, json.loads(json.dumps(written))).holds


def test_further_sets_come_with_their_own_certificate() -> None:
    pattern = changed(sleeve(), "dimensions.height.limits", [60, 150])
    written = document_of(pattern, {"set": {"width": "230 mm", "height": "170 mm"}})
    (further,) = written["further"]
    alone = {**written, **further}
    assert verify.judge_conflict(pattern, alone).holds


def test_conflict_of_no_size_is_written_without_one() -> None:
    written = conflict_document(Conflict([RelationInConflict("seam:side", "a is as long as b", "sewn", "seams.side")]))
    assert "size" not in written
    assert written["relations"][0]["id"] == "seam:side"


def test_conflict_is_the_same_each_time() -> None:
    request = {"set": {"width": "90 mm", "height": "190 mm"}}
    assert document_of(sleeve(), request) == document_of(sleeve(), request)
