"""Remedies: each solved again, the nearest first, and nothing nearer of its kind would do."""

from __future__ import annotations

import copy
from fractions import Fraction
from typing import Any

import pytest

from grading.errors import Conflict, Remedy, RulerOutOfReach, SizewrightError
from grading.exact import read_length
from grading.pipeline import grade_size, read_document
from tests.grading.answer.bags import Json, conflict_of, sleeve
from tests.patterns import changed


def works(document: Json, request: Any) -> bool:
    try:
        grade_size(read_document(document), request=request)
    except SizewrightError:
        return False
    return True


def remedy(conflict: Conflict, start: str) -> Remedy:
    return next(each for each in conflict.remedies if each.change.startswith(start))


CONFLICTS: list[Json] = [
    {"set": {"width": "230 mm"}},
    {"set": {"width": "90 mm"}},
    {"set": {"width": "90 mm", "height": "190 mm"}},
    {"set": {"width": "150 mm"}, "hold": [{"object": [170, 60, 10], "says": "a laptop"}]},
    {"within": {"box": ["70 mm", "300 mm", "300 mm"]}},
    {"within": {"box": ["70 mm", "30 mm", "90 mm"], "turned": "any"}},
    {"keep": ["width"], "set": {"height": "260 mm"}},
    {"set": {"strap": "15 mm"}},
    {"set": {"zip_length": "150 mm", "width": "110 mm"}},
    {"volume": "0.2 L", "hold": [{"object": [210, 60, 10]}]},
]


@pytest.mark.parametrize("request_", CONFLICTS)
def test_every_remedy_that_can_be_asked_for_gives_a_size(request_: Json) -> None:
    asked = copy.deepcopy(request_)
    conflict = conflict_of(sleeve(), request_)
    assert request_ == asked
    assert 1 <= len(conflict.remedies) <= 5
    assert any(each.request is not None for each in conflict.remedies)
    for each in conflict.remedies:
        assert each.request is None or works(sleeve(), each.request), each.change
    distances = [each.distance for each in conflict.remedies]
    assert distances == sorted(distances)
    assert distances[0] > 0


@pytest.mark.parametrize(
    ("request_", "name", "way", "nearest"),
    [
        ({"set": {"width": "230 mm"}}, "width", 1, "200 mm"),
        ({"set": {"width": "90 mm"}}, "width", -1, "100 mm"),
        ({"set": {"width": "90 mm", "height": "200 mm"}}, "height", 1, "180 mm"),
        ({"set": {"strap": "15 mm"}}, "strap", -1, "20 mm"),
    ],
)
def test_wish_is_relaxed_to_the_nearest_measure_that_does(request_: Json, name: str, way: int, nearest: str) -> None:
    document = changed(sleeve(), "rules.zip.holds", "zip_length <= width + 1") if name == "height" else sleeve()
    document = changed(document, "stock.zips", ["80 mm", "100 mm"]) if name == "height" else document
    conflict = conflict_of(document, request_)
    found = remedy(conflict, f"ask for {name} of {nearest}")
    assert found.request is not None
    assert found.request["set"] == {**request_["set"], name: nearest}
    old = read_length(request_["set"][name])
    assert found.distance == abs(read_length(nearest) - old) / max(old, Fraction(20))
    nearer = {**request_, "set": {**request_["set"], name: f"{int(read_length(nearest)) + way} mm"}}
    assert not works(document, nearer)


def test_object_and_box_are_changed_in_the_direction_that_gives_way() -> None:
    hold = conflict_of(sleeve(), {"set": {"width": "150 mm"}, "hold": [{"object": [170, 60, 10], "says": "a laptop"}]})
    smaller = remedy(hold, "make the width of a laptop 140 mm in place of 170 mm")
    assert smaller.request is not None
    assert smaller.request["hold"][0]["object"] == ["140 mm", 60, 10]
    assert remedy(hold, "go without fitting a laptop").request == {"set": {"width": "150 mm"}}
    box = conflict_of(sleeve(), {"within": {"box": ["70 mm", "300 mm", "300 mm"]}})
    # By hand: the pattern is at least 80 mm wide, but the shortest zip needs 100 mm.
    larger = remedy(box, "make the width of the box 100 mm in place of 70 mm")
    assert larger.request == {"within": {"box": ["100 mm", "300 mm", "300 mm"]}}


def test_another_value_from_stock_is_chosen() -> None:
    conflict = conflict_of(sleeve(), {"set": {"zip_length": "150 mm", "width": "110 mm"}})
    found = remedy(conflict, "choose zip_length of 100 mm from stock in place of 150 mm")
    assert found.request == {"set": {"zip_length": "100 mm", "width": "110 mm"}}
    assert found.distance == Fraction(50, 150)


def test_designer_is_told_which_limit_or_stock_would_do_and_it_does() -> None:
    document = changed(sleeve(), "dimensions.width.limits", [80, 200])
    conflict = conflict_of(document, {"set": {"width": "90 mm"}})
    stock = remedy(conflict, "in the pattern, add 90 mm to the stock that zip_length is chosen from")
    assert stock.request is None
    assert works(changed(document, "stock.zips", ["90 mm", "100 mm", "120 mm", "150 mm"]), {"set": {"width": "90 mm"}})
    wide = conflict_of(document, {"hold": [{"object": [210, 60, 10]}]})
    limit = remedy(wide, "in the pattern, make the greatest of width 220 mm in place of 200 mm")
    assert limit.request is None
    assert works(changed(document, "dimensions.width.limits", [80, 220]), {"hold": [{"object": [210, 60, 10]}]})
    rule = remedy(conflict_of(document, {"set": {"strap": "15 mm"}}), "in the pattern, let the rule strap")
    assert rule.change.endswith("give way by 5 mm")


def test_dimension_that_was_kept_is_set_in_place_of_it() -> None:
    conflict = conflict_of(sleeve(), {"keep": ["width"], "set": {"height": "260 mm"}})
    # By hand: 260 <= 2 × 130.
    found = remedy(conflict, "set width to 130 mm, and do not keep it at 120 mm")
    assert found.request == {"set": {"height": "260 mm", "width": "130 mm"}}


def test_two_wishes_that_are_both_out_of_reach_are_changed_together() -> None:
    document = changed(sleeve(), "dimensions.height.limits", [60, 150])
    conflict = conflict_of(document, {"set": {"width": "230 mm", "height": "170 mm"}})
    assert len(conflict.further) == 1
    assert not {each.id for each in conflict.relations} & {each.id for each in conflict.further[0].relations}
    found = remedy(conflict, "ask for width of 200 mm in place of 230 mm and height of 150 mm in place of 170 mm")
    assert found.request == {"set": {"width": "200 mm", "height": "150 mm"}}
    assert found.distance == Fraction(30, 230) + Fraction(20, 170)


def test_wish_and_object_that_are_both_out_of_reach_are_mended_together() -> None:
    document = changed(sleeve(), "dimensions.height.limits", [60, 150])
    request = {"set": {"height": "170 mm"}, "hold": [{"object": [210, 60, 10], "says": "a laptop"}]}
    conflict = conflict_of(document, request)
    found = remedy(conflict, "go without fitting a laptop and ask for height of 150 mm in place of 170 mm")
    assert found.request == {"set": {"height": "150 mm"}}
    assert found.distance == 1 + Fraction(20, 170)


def test_object_that_shows_only_when_others_have_given_way_is_given_up_with_them() -> None:
    """The limit of the width stands against the width that is asked for, and against the laptop too."""
    document = changed(sleeve(), "dimensions.height.limits", [60, 150])
    request = {
        "set": {"width": "230 mm", "height": "170 mm"},
        "hold": [{"object": [210, 60, 10], "says": "a laptop"}],
    }
    conflict = conflict_of(document, request)
    (found,) = (each for each in conflict.remedies if each.change.startswith("go without"))
    assert found.request == {"set": {"width": "200 mm", "height": "150 mm"}}


def test_other_choice_of_an_option_is_a_remedy() -> None:
    document = changed(sleeve(), "options", {"zip": {"choices": ["with", "without"]}})
    document = changed(document, "rules.zip.when", {"zip": "with"})
    conflict = conflict_of(document, {"set": {"width": "90 mm"}})
    found = remedy(conflict, "choose without for zip in place of with")
    assert found.request == {"set": {"width": "90 mm"}, "options": {"zip": "without"}}
    assert works(document, found.request)


def test_remedies_lie_on_the_ruler_that_was_asked_for() -> None:
    conflict = conflict_of(sleeve(), {"set": {"width": "9 1/4 in"}, "ruler": "1/4 in"})
    # By hand: 200 mm are 31.5 quarters of an inch.
    found = remedy(conflict, "ask for width of 7 3/4 in")
    assert found.request == {"set": {"width": "7 3/4 in"}, "ruler": "1/4 in"}


def test_what_the_ruler_cannot_reach_is_no_remedy() -> None:
    document = changed(sleeve(), "rules.even", {"holds": "2*width == 3*height", "because": "it looks best"})
    document = changed(document, "rules.narrow", {"holds": "width <= 121", "because": "it goes into a letter box"})
    conflict = conflict_of(document, {"set": {"width": "131 mm"}})
    found = next(each for each in conflict.remedies if each.request is not None)
    try:
        grade_size(read_document(document), request=found.request)
    except RulerOutOfReach:
        pytest.fail(f"{found.change} is not on the ruler")
