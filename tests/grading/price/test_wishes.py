"""Wishes within an order form, and the refusals of those beyond it."""

from __future__ import annotations

from typing import Any

import pytest

from grading.document import read_pattern
from grading.errors import DocumentFaults, RequestFaults
from grading.price import read_wish
from tests.grading.price.bag import GRADE, shop

Json = dict[str, Any]


def wish(document: Json | None = None, **asked: Any) -> Any:
    return read_wish(read_pattern(document or shop()), asked)


def test_a_named_size_is_graded_by_its_name() -> None:
    found = wish(size="mini")
    assert (found.size, found.request, found.quantity) == ("mini", None, 1)


def test_measures_are_a_request_with_what_was_left_out_as_usual() -> None:
    assert wish(measures={"width": 140}).request == {"set": {"width": "140 mm", "height": "90 mm"}, "others": "at base"}
    assert wish(measures={"width": "5 in"}).request["set"]["width"] == "127 mm"  # an inch is 25.4 mm


def test_a_base_beyond_the_ends_is_wished_at_the_nearer_end() -> None:
    document = shop()
    document["order"]["choose"]["height"] = ["100 mm", "120 mm"]
    assert wish(document, measures={"width": 140}).request["set"]["height"] == "100 mm"


@pytest.mark.parametrize(
    ("value", "shown"), [("99 mm", "99 mm"), ("151 mm", "151 mm"), (1000, "1000 mm"), ("6 in", "152.4 mm")]
)
def test_a_measure_beyond_the_ends_is_refused_with_both_of_them(value: Any, shown: str) -> None:
    with pytest.raises(RequestFaults) as refused:
        wish(measures={"width": value})
    (fault,) = refused.value.faults
    assert fault.path == "measures.width"
    assert shown in fault.problem
    assert "100 mm to 150 mm" in fault.problem
    assert "100 mm to 150 mm" in fault.remedy


def test_the_ends_themselves_are_offered() -> None:
    assert wish(measures={"width": "100 mm", "height": "120 mm"}).request["set"] == {
        "width": "100 mm",
        "height": "120 mm",
    }


@pytest.mark.parametrize(
    ("asked", "path"),
    [
        ({}, "document"),
        ({"size": "base", "measures": {"width": 120}}, "document"),
        ({"size": "giant"}, "size"),
        ({"measures": {"girth": 120}}, "measures.girth"),
        ({"measures": {"pocket_height": 50}}, "measures.pocket_height"),
        ({"measures": {"width": "wide"}}, "measures.width"),
        ({"size": "base", "options": {"lid": "with"}}, "options.lid"),
        ({"size": "base", "cloths": {"main": "velvet"}}, "cloths.main"),
        ({"size": "base", "cloths": {"lining": "cotton"}}, "cloths.lining"),
        ({"size": "base", "quantity": 0}, "quantity"),
        ({"size": "base", "quantity": 1001}, "quantity"),
        ({"size": "base", "coupon": "X"}, "coupon"),
    ],
)
def test_what_the_form_does_not_offer_is_refused_where_it_is(asked: Json, path: str) -> None:
    with pytest.raises(RequestFaults) as refused:
        wish(**asked)
    assert path in [fault.path for fault in refused.value.faults]


def test_all_that_is_not_offered_is_told_at_once() -> None:
    with pytest.raises(RequestFaults) as refused:
        wish(measures={"width": 1, "height": 1}, cloths={"main": "velvet"})
    assert {fault.path for fault in refused.value.faults} == {"measures.width", "measures.height", "cloths.main"}


def test_only_the_sizes_that_are_listed_are_offered() -> None:
    document = shop()
    document["order"]["sizes"] = ["mini"]
    with pytest.raises(RequestFaults):
        wish(document, size="base")
    assert wish(document, size="mini").size == "mini"


def with_lid(**order: Any) -> Json:
    document = shop()
    document["options"] = {"lid": {"choices": ["without", "with"]}, "patch": {"choices": ["without", "with"]}}
    document["sizes"]["mini"]["options"] = {"lid": "with"}
    document["order"] |= order
    return document


def test_options_change_the_request_of_a_named_size_and_keep_its_own() -> None:
    assert wish(with_lid(), size="mini", options={"patch": "with"}).request == {
        "set": {"width": "100 mm", "height": "80 mm"},
        "options": {"lid": "with", "patch": "with"},
    }
    assert wish(with_lid(), size="base", options={"lid": "with"}).request == {"scale": 1, "options": {"lid": "with"}}


def test_a_choice_that_changes_nothing_leaves_the_named_size() -> None:
    assert wish(with_lid(), size="mini", options={"lid": "with"}).size == "mini"
    assert wish(with_lid(), size="base", options={"lid": "without"}).size == "base"


def test_an_option_that_is_not_offered_cannot_be_chosen() -> None:
    with pytest.raises(RequestFaults) as refused:
        wish(with_lid(options=["patch"]), size="base", options={"lid": "with"})
    assert [fault.path for fault in refused.value.faults] == ["options.lid"]


def test_the_first_cloth_is_the_usual_one_and_another_changes_how_it_is_laid() -> None:
    assert wish(size="base").cloths["main"].name == "canvas"
    assert wish(size="base").laying(GRADE) == {"seed": 0, "effort": "quick", "widths": []}
    other = wish(size="base", cloths={"main": "print"})
    assert other.laying(GRADE)["cloths"] == {"main": {"usable_width": "1120 mm"}}
    unused = {**GRADE, "cut_list": [{"material": "lining"}]}
    assert "cloths" not in other.laying(unused)


def test_a_pattern_without_an_order_form_cannot_be_ordered() -> None:
    document = shop()
    del document["order"]
    with pytest.raises(RequestFaults) as refused:
        wish(document, size="base")
    assert [fault.path for fault in refused.value.faults] == ["order"]


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"sizes": ["giant"]}, "order.sizes.0"),
        ({"sizes": []}, "order.sizes"),
        ({"options": ["lid"]}, "order.options.0"),
        ({"cloths": {"velvet": [{"name": "red"}]}}, "order.cloths.velvet"),
        ({"cloths": {"main": []}}, "order.cloths.main"),
        ({"cloths": {"main": [{"name": "red"}, {"name": "red"}]}}, "order.cloths.main.1.name"),
        ({"cloths": {"main": [{"name": "red", "colours": ["red"]}]}}, "order.cloths.main.0.colours.0"),
        (
            {"cloths": {"main": [{"name": "red", "material": {"usable_width": 0}}]}},
            "order.cloths.main.0.material.usable_width",
        ),
        ({"cloths": {"board": [{"name": "red", "material": {"sold_by": "1 m"}}]}}, "order.cloths.board.0.material"),
    ],
)
def test_an_order_form_with_faults_is_refused_where_they_are(change: Json, path: str) -> None:
    document = shop()
    document["order"] |= change
    with pytest.raises(DocumentFaults) as refused:
        read_pattern(document)
    assert path in [fault.path for fault in refused.value.faults]


def test_an_order_form_may_offer_named_sizes_alone() -> None:
    document = shop()
    del document["order"]["choose"]
    document["order"]["sizes"] = ["base", "mini"]
    assert wish(document, size="mini").size == "mini"
    with pytest.raises(RequestFaults) as refused:
        wish(document, measures={"width": 120})
    assert "named sizes only" in refused.value.faults[0].remedy
