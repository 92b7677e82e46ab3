"""Openings to turn a bag through. 125 mm, over foam 200 mm: common practice, no source."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest

from grading.check import Customs
from grading.pipeline import check_document
from tests.grading.check.sound import Json, lined_bag, places, told
from tests.patterns import changed


def opened(length: int) -> Json:
    """The lined bag with an opening of this length in mm."""
    document: Json = json.loads(json.dumps(lined_bag()).replace("140", str(length)))
    return document


@pytest.mark.parametrize(("length", "small"), [(124, True), (126, False)])
def test_a_hand_needs_an_opening_of_125_mm(length: int, small: bool) -> None:
    assert places(opened(length), "small_opening") == ["seams.opening"] * small


def test_both_numbers_are_told() -> None:
    note = told(opened(100), "small_opening")
    assert note.is_remark
    assert all(number in note.problem for number in ("100 mm", "125 mm"))


@pytest.mark.parametrize(("length", "small"), [(198, True), (200, False)])
def test_foam_needs_more(length: int, small: bool) -> None:
    document = changed(opened(length), "materials.foam", {"kind": "foam"})
    document = changed(document, "dimensions.width", {"base": 300, "limits": [260, 320]})
    document["pieces"]["panel"]["layers"].append({"material": "foam", "inset": "2 mm"})
    assert places(document, "small_opening") == ["seams.opening"] * small


def test_the_size_in_which_it_is_smallest_is_named() -> None:
    document: Json = json.loads(json.dumps(lined_bag()).replace("140", "width/2"))
    document["dimensions"]["width"] = {"base": 260, "limits": [200, 300]}
    document["sizes"] = {"mini": {"set": {"width": "220 mm"}}}
    note = told(document, "small_opening")
    assert all(word in note.problem for word in ("mini", "110 mm"))


def test_the_custom_is_a_setting() -> None:
    found = check_document(opened(100), Customs(least_opening=Fraction(90)))
    assert not [note for note in found.remarks if note.kind == "small_opening"]
