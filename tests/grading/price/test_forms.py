"""Order forms of an invented bag: what is proven is offered as a range, what is not as a list of tried sizes."""

from __future__ import annotations

from typing import Any

import pytest
from jsonschema import Draft202012Validator

from grading import shop as shops
from grading import verify
from grading.document import read_pattern
from grading.errors import RequestFaults
from grading.pipeline import grade_document, grade_size
from grading.verify import UnreadableInput
from tests.grading.price.bag import shop, with_rule
from tests.grading.price.test_price import BROKEN

Json = dict[str, Any]


def form(document: Json | None = None) -> Json:
    return shops.order_form(read_pattern(document or shop()))


def test_a_proven_form_offers_every_measure_between_its_ends() -> None:
    found = form()
    schema = Draft202012Validator(found["schema"])
    assert found["proven"]
    for width, valid in ((100, True), (150, True), (99.999, False), (150.001, False), ("4 1/2 in", True)):
        assert schema.is_valid({"measures": {"width": width}}) is valid
    assert found["defaults"]["measures"] == {"width": "120 mm", "height": "90 mm"}
    assert found["sizes"][1] == {"name": "mini", "measures": {"width": "100 mm", "height": "80 mm"}}


def test_a_form_in_inches_has_its_ends_in_inches() -> None:
    document = shop()
    document |= {"unit": "in", "ruler": "1/8 in"}
    document["dimensions"] = {
        "width": {"base": 5, "limits": [3, 8]},
        "height": {"base": "3 1/2 in"},
        "pocket_width": {"base": 5, "sizing": "decided"},
        "pocket_height": {"base": 2},
    }
    document["pieces"]["panel"]["lines"] = {}
    document["order"]["choose"] = {"width": ["4 1/8 in", 6], "height": ["89 mm", 4]}
    document["order"]["cloths"] = {}
    del document["sizes"], document["order"]["price"]
    found = form(document)
    width, height = (found["schema"]["properties"]["measures"]["properties"][name] for name in ("width", "height"))
    assert (width["unit"], width["least"], width["greatest"]) == ("in", "4 1/8 in", "6 in")
    assert width["anyOf"][0] == {"type": "number", "minimum": 4.125, "maximum": 6}
    # 89 mm are 3.503937007... in: the end that is told lies within.
    assert height["anyOf"][0] == {"type": "number", "minimum": 3.503938, "maximum": 4}


def test_the_ends_that_all_choices_have_in_common_are_offered() -> None:
    document = shop()
    document["options"] = {"rule": {"choices": ["wide", "narrow"]}}
    document["rules"] = {"narrow": {"when": {"rule": "narrow"}, "holds": "width <= 130", "because": "of the shelf"}}
    found = form(document)
    ends = found["schema"]["properties"]["measures"]["properties"]["width"]
    assert not found["proven"]
    assert (ends["least"], ends["greatest"]) == ("100 mm", "130 mm")
    assert Draft202012Validator(found["schema"]).is_valid({"size": "mini", "options": {"rule": "narrow"}})
    document["order"]["options"] = []
    assert form(document)["proven"]


def test_where_nothing_is_proven_sizes_that_were_tried_are_listed() -> None:
    document = shop()
    document["rules"] = {"slant": {"holds": "sqrt(width**2 + height**2) <= 400", "because": "a strap runs across"}}
    found = form(document)
    measures = found["schema"]["properties"]["measures"]
    assert not found["proven"]
    assert "properties" not in measures
    assert len(measures["enum"]) > 1
    assert Draft202012Validator(found["schema"]).is_valid({"measures": measures["enum"][0]})
    assert found["defaults"]["measures"] in measures["enum"]
    pattern = read_pattern(document)
    for size in (measures["enum"][0], measures["enum"][-1]):
        wish = shops.wish_of(pattern, {"measures": size})
        assert verify.judge(document, grade_document(grade_size(pattern, request=wish.request))).holds


def test_a_size_that_cannot_be_made_is_not_offered() -> None:
    document = shop()
    document["sizes"]["huge"] = {"set": {"width": "300 mm"}}  # above its limit of 200 mm
    assert [size["name"] for size in form(document)["sizes"]] == ["base", "mini"]


def test_what_is_worn_and_swallowed_has_its_cautions() -> None:
    document = shop()
    assert any("load rating" in caution for caution in form(document)["cautions"])
    document["findings"]["hook"]["hardware"]["what"] = "press stud"
    assert any("swallowed" in caution for caution in form(document)["cautions"])


def test_a_pattern_without_an_order_form_offers_nothing() -> None:
    document = shop()
    del document["order"]
    with pytest.raises(RequestFaults):
        form(document)


def test_the_verifier_reads_a_document_with_a_price_rule() -> None:
    grade = grade_document(grade_size(read_pattern(shop()), "mini"))
    assert verify.judge(shop(), grade).holds


NAMES_ALONE = ("USD", "giant", "girth", "pi*width", "90 %")
"""What a reader of form alone cannot know: prices elsewhere, sizes, dimensions, what shares come to."""


@pytest.mark.parametrize("change", [change for change, _ in BROKEN if not any(w in str(change) for w in NAMES_ALONE)])
def test_the_verifier_refuses_a_price_rule_that_is_not_written_as_one(change: Json) -> None:
    grade = grade_document(grade_size(read_pattern(shop()), "base"))
    with pytest.raises(UnreadableInput):
        verify.judge(with_rule(**change), grade)
