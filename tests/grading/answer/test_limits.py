"""What relations in conflict need and could come to: numbers by hand, words for customers."""

from __future__ import annotations

import pytest

from grading.errors import Conflict, ConflictLimit
from tests.grading.answer.bags import conflict_of, sleeve
from tests.patterns import changed, pouch

SOLVER_WORDS = ("infeasible", "multiplier", "constraint", "solver", "equation", "dual", "branch", "relation")


def limit(conflict: Conflict, relation: str) -> ConflictLimit:
    return next(each for each in conflict.limits if each.relation == relation)


def test_laptop_is_told_what_the_bag_could_hold_at_the_width_that_is_asked() -> None:
    conflict = conflict_of(
        sleeve(), {"set": {"width": "150 mm"}, "hold": [{"object": [170, 60, 10], "ease": 2, "says": "a laptop"}]}
    )
    # By hand: the room inside is 150 - 10 = 140 wide; the laptop needs 170 + 2, and so a bag 182 wide.
    held, asked = limit(conflict, "hold:0:across"), limit(conflict, "asked:width")
    assert (held.needs, held.reaches) == ("172 mm", "140 mm")
    assert held.says == (
        "the bag is at least 172 mm across inside (a laptop): that needs 172 mm, and it can be at most 140 mm, "
        "since width is 150 mm (you asked for it)"
    )
    assert (asked.needs, asked.reaches) == ("150 mm", "182 mm")
    assert [each.relation for each in conflict.limits] == ["asked:width", "hold:0:across"]


def test_rule_between_two_dimensions_is_told_by_its_two_sides() -> None:
    conflict = conflict_of(sleeve(), {"set": {"width": "90 mm", "height": "190 mm"}})
    # By hand: the pattern wants height <= 2*width, and twice 90 is 180.
    rule = limit(conflict, "rule:shape")
    assert (rule.needs, rule.reaches) == ("190 mm", "180 mm")
    assert (limit(conflict, "asked:width").reaches, limit(conflict, "asked:height").reaches) == ("95 mm", "180 mm")


def test_greatest_limit_is_told_as_what_it_allows() -> None:
    conflict = conflict_of(sleeve(), {"set": {"width": "230 mm"}})
    most = limit(conflict, "limits:width:most")
    assert (most.needs, most.reaches) == ("200 mm", "230 mm")
    assert "that allows 200 mm, and it cannot be less than 230 mm" in most.says


def test_what_it_could_come_to_is_a_measure_of_the_ruler_on_the_side_that_falls_short() -> None:
    request = {"set": {"width": "100 mm"}, "hold": [{"object": [170, 60, 10]}], "ruler": "1/8 in"}
    held = limit(conflict_of(sleeve(), request), "hold:0:across")
    # By hand: 90 mm of room are 28.3 eighths of an inch.
    assert held.reaches == "3 1/2 in"


def test_stock_that_stands_in_the_way_is_named_as_a_reason() -> None:
    conflict = conflict_of(sleeve(), {"set": {"width": "90 mm"}})
    asked = limit(conflict, "asked:width")
    assert {relation.id for relation in conflict.relations} == {"asked:width", "rule:zip", "stock:zip_length"}
    # By hand: the shortest zip is 100 mm.
    assert asked.reaches == "100 mm"
    assert "zip_length is 100 mm or 120 mm or 150 mm (it is sold in these sizes)" in asked.says


@pytest.mark.parametrize(
    "request_",
    [{"set": {"width": "90 mm"}}, {"hold": [{"object": [500, 60, 10]}]}, {"within": {"box": [50, 50, 50]}}],
)
def test_no_word_of_solvers_reaches_a_customer(request_: dict[str, object]) -> None:
    conflict = conflict_of(sleeve(), request_)
    told = [each.says for each in conflict.limits] + [each.change for each in conflict.remedies]
    assert told
    assert not [(word, text) for word in SOLVER_WORDS for text in told if word in text.lower()]


def test_of_a_slanted_edge_that_cannot_be_so_short_no_more_is_claimed_than_is_shown() -> None:
    document = changed(sleeve(), "rules.slant", {"holds": "sqrt(width**2 + height**2) <= 100", "because": "it is slim"})
    conflict = conflict_of(document, {"set": {"width": "120 mm", "height": "90 mm"}})
    assert "rule:slant" in [relation.id for relation in conflict.relations]
    assert not conflict.certificate
    assert all(each.needs != each.reaches for each in conflict.limits)
    # By hand: the slant of 120 by 90 is 150.
    assert conflict.remedies[0].change.endswith("give way by 50 mm")


def test_rule_that_has_no_length_at_the_size_asked_for_is_a_conflict_without_a_number() -> None:
    bag = changed(pouch(), "rules.slant", {"holds": "sqrt(width**2 - height**2) >= 10", "because": "it must show"})
    conflict = conflict_of(bag, {"set": {"width": "120 mm", "height": "150 mm"}})
    assert "rule:slant" in {relation.id for relation in conflict.relations}
    assert "rule:slant" not in {limit.relation for limit in conflict.limits}
