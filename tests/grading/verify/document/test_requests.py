"""Requests: what each dimension wishes, what must be held, and what the bag must stay within."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from grading.verify import UnreadableInput, judge
from grading.verify.document.requests import wishes
from grading.verify.document.rooms import printed_volume, read_volume, room_inside
from grading.verify.exact.points import point_of
from grading.verify.relations.relation_list import all_relations
from tests.grading.verify import pouch
from tests.grading.verify.drafts import drawn, panel, value

DIMENSIONS = {
    "w": {"base": 200},
    "h": {"base": 100},
    "strap": {"base": 600, "sizing": "fixed"},
    "tape": {"base": 25, "sizing": "stock", "stock": "tapes"},
    "sum": {"base": 300, "sizing": "decided"},
}


def bag(request: dict[str, Any]) -> Any:
    return drawn(
        request,
        dimensions=DIMENSIONS,
        stock={"tapes": [20, 25, 38]},
        pieces={"it": panel()},
        inside=["w", "h", "w/2"],
        outside=["w + 10", "h + 10", "w/2"],
    )


@pytest.mark.parametrize(
    ("request_", "w", "h", "strap"),
    [
        ({"scale": "3/2"}, 300, 150, 600),
        ({"scale": "3/2", "set": {"w": 210}}, 210, 150, 600),
        ({"set": {"w": 300}}, 300, 150, 600),
        ({"set": {"w": 300}, "others": "at base"}, 300, 100, 600),
        ({"set": {"w": 300, "h": 100}}, 300, 100, 600),
        ({"set": {"strap": 900}}, 200, 100, 900),
        ({"set": {"w": 300, "strap": 900}}, 300, 150, 900),
        ({"scale": 2, "keep": ["w"]}, 200, 200, 600),
        ({"hold": [{"object": [1, 1, 1]}]}, 200, 100, 600),
        ({"volume": "5 L"}, 250, 125, 600),
    ],
)
def test_dimensions_wish_what_the_request_says(request_: dict[str, Any], w: int, h: int, strap: int) -> None:
    pattern = bag(request_)
    wished = wishes(pattern.request, pattern.head.dimensions.lengths, Fraction(5, 4))
    assert wished == {"w": w, "h": h, "strap": strap, "tape": 25}


@pytest.mark.parametrize(
    "request_",
    [
        {},
        {"ruler": "1 mm"},
        {"others": "at base"},
        {"scale": 1, "set": {"w": 1}, "others": "at base"},
        {"scale": 1, "volume": "5 L"},
        {"scale": -1},
        {"set": {}},
        {"set": {"sum": 1}},
        {"set": {"tape": 30}},
        {"set": {"w": 1}, "keep": ["w"]},
        {"keep": ["strap"]},
        {"volume": "5"},
        {"volume": "0 L"},
        {"volume": 5},
        {"keep": []},
        {"hold": []},
        {"hold": [{"object": [1, 1]}]},
        {"hold": [{"object": ["w", 1, 1]}]},
        {"hold": [{"object": [1, 1, 1], "in": "heel"}]},
        {"within": {"box": [1, 1, 1], "turned": "round"}},
        {"options": {"lining": "silk"}},
    ],
)
def test_requests_that_make_no_sense_are_refused(request_: dict[str, Any]) -> None:
    with pytest.raises(UnreadableInput):
        bag(request_)


def off(request: dict[str, Any], kind: str, order: tuple[int, ...] = (0, 1, 2)) -> dict[str, Fraction]:
    pattern = bag(request)
    relations = all_relations(pattern, {"tape": Fraction(25)}, order)
    return {item.name: value(pattern, item.form) for item in relations if item.kind == kind}


def test_objects_to_hold_must_fit() -> None:
    objects = [{"object": [150, 90, 40], "ease": 5, "stands_out": 10}, {"object": [120, 80, 30], "in": "it"}]
    assert off({"hold": objects}, "hold") == {
        "hold:0:across": 45,
        "hold:0:along": 15,
        "hold:0:deep": 55,
        "hold:1:across": 50,
        "hold:1:along": 20,
    }


def test_the_bag_stays_within_the_box_as_it_is_turned() -> None:
    box = {"box": [130, 230, 120], "added": 5}
    assert off({"within": box}, "within") == {"within:across": -85, "within:along": 115, "within:deep": 15}
    turned = off({"within": {**box, "turned": "any"}}, "within", order=(1, 0, 2))
    assert turned == {"within:across": 15, "within:along": 15, "within:deep": 15}


def test_kept_dimensions_are_relations() -> None:
    assert off({"scale": 2, "keep": ["w"]}, "kept") == {"kept:w": 0}


@pytest.mark.parametrize(
    ("text", "cubic"), [("28 L", 28_000_000), ("900 ml", 900_000), ("2 cu in", 2 * Fraction(254, 10) ** 3)]
)
def test_volumes_are_read_exactly(text: str, cubic: Fraction) -> None:
    assert read_volume(text, "x") == cubic


def test_litres_are_printed_half_to_even() -> None:
    printed = [printed_volume(Fraction(hundredths, 1000) * 1_000_000) for hundredths in (1005, 1015, 999, 14)]
    assert printed == ["1.00 L", "1.02 L", "1.00 L", "0.01 L"]


def with_volume(volume: str, scale: str = "1") -> tuple[dict[str, Any], dict[str, Any]]:
    """The pouch with room inside of 200 x 150 x 60 mm, 1.8 L, graded by volume."""
    pattern = pouch.pattern() | {"inside": ["width", "height", "depth"]}
    grade = pouch.grade() | {"volume": "1.80 L", "size": {"name": None, "request": {"volume": volume}}}
    grade["certificate"]["scale"] = scale
    return pattern, grade


@pytest.mark.parametrize(
    ("volume", "holds"), [("1800 ml", True), ("1.79 L", True), ("1.81 L", False), ("1.7 L", False)]
)
def test_a_bag_has_the_room_that_was_asked_for_and_hardly_more(volume: str, holds: bool) -> None:
    failing = judge(*with_volume(volume)).failing
    assert [claim.about for claim in failing] == ([] if holds else ["volume:inside"])


def test_the_scale_of_a_volume_is_a_ten_thousandth_and_decides_the_wishes() -> None:
    failing = {claim.about for claim in judge(*with_volume("1800 ml", "1.00001")).failing}
    assert "printed:certificate.scale" in failing
    failing = {claim.about for claim in judge(*with_volume("1800 ml", "10001/10000")).failing}
    assert {"nearest:balance", "printed:certificate.wish.width"} <= failing
    pattern, grade = with_volume("1800 ml")
    assert room_inside(bag({"scale": 1}).inside, point_of({"w": Fraction(200), "h": Fraction(100)})) == 2_000_000
    grade["volume"] = "1.81 L"
    assert [claim.about for claim in judge(pattern, grade).failing] == ["printed:volume"]


def test_a_named_size_is_the_same_however_much_of_it_is_written_out() -> None:
    pattern = pouch.pattern() | {"inside": ["width", "height", "depth"], "outside": ["width", "height", "depth"]}
    card: dict[str, Any] = {"object": [100, "9 cm", 20], "in": "bag"}
    pattern["sizes"] |= {"card": {"hold": [card], "within": {"box": ["1 m", "1 m", "1 m"]}}}
    grade = pouch.grade() | {"volume": "1.80 L"}
    full: dict[str, Any] = {"hold": [{**card, "ease": 0, "stands_out": "0 mm", "says": ""}]}
    full |= {"within": {"box": [1000, "100 cm", "1 m"], "added": 0, "turned": "as given", "says": ""}}
    grade["size"] = {"name": "card", "request": full}
    verdict = judge(pattern, grade)
    assert verdict.failing == ()
    assert verdict.counts_by_kind["hold"] == verdict.counts_by_kind["within"] == 3
    full["hold"][0]["ease"] = "1 mm"
    assert [claim.about for claim in judge(pattern, grade).failing] == ["printed:size.request"]


def test_a_bag_that_does_not_hold_or_does_not_stay_within_is_named_with_both_numbers() -> None:
    pattern = pouch.pattern() | {"inside": ["width", "height", "depth"], "outside": ["width", "height", "depth"]}
    grade = pouch.grade() | {"volume": "1.80 L"}
    request = {"hold": [{"object": [190, 140, 50], "ease": "10.5 mm"}], "within": {"box": [199, 150, 60]}}
    grade["size"] = {"name": None, "request": request}
    failing = {claim.about: claim for claim in judge(pattern, grade).failing}
    wrong = {"hold:0:across", "hold:0:along", "hold:0:deep", "within:across"}
    assert set(failing) == {*wrong, "nearest:relations"}
    assert (failing["hold:0:along"].left, failing["hold:0:along"].right) == ("150 mm", "150.5 mm")
    assert (failing["within:across"].left, failing["within:across"].right) == ("199 mm", "200 mm")


def test_a_box_that_may_be_turned_needs_an_order_in_the_certificate() -> None:
    pattern = pouch.pattern() | {"outside": ["width", "height", "depth"]}
    grade = pouch.grade()
    grade["size"] = {"name": None, "request": {"within": {"box": [60, 150, 200], "turned": "any"}}}
    for order, wrong in (
        ([2, 1, 0], set()),
        ([0, 1, 2], {"within:across", "nearest:relations"}),
        ([2, 1, 1], {"within:across", "nearest:relations", "printed:certificate.order"}),
        (None, {"within:across", "nearest:relations", "printed:certificate.order"}),
    ):
        grade["certificate"]["order"] = order
        assert {claim.about for claim in judge(pattern, grade).failing} == wrong


def test_a_dimension_that_is_kept_is_held_to_its_base_within_a_step() -> None:
    pattern, grade = pouch.pattern(), pouch.grade(width=202)
    grade["size"] = {"name": None, "request": {"scale": 1, "keep": ["width"]}}
    failing = {claim.about: claim for claim in judge(pattern, grade).failing}
    assert {"kept:width", "displacement:width"} <= set(failing)
    assert (failing["kept:width"].left, failing["kept:width"].right) == ("202 mm", "200 mm")
    assert not {"kept:width", "displacement:width"} & {
        claim.about for claim in judge(pattern, {**pouch.grade(width=201), "size": grade["size"]}).failing
    }


NO_SCALES: list[Any] = [None, "x", "0", "-1", "1/3", "1/100000", "9" * 5000, -(10**5000), True, []]


@pytest.mark.parametrize("scale", NO_SCALES, ids=range(len(NO_SCALES)))
def test_a_scale_that_is_none_fails_without_a_crash(scale: object) -> None:
    pattern, grade = with_volume("1800 ml")
    grade["certificate"]["scale"] = scale
    assert [claim.about for claim in judge(pattern, grade).failing] == ["printed:certificate.scale"]
