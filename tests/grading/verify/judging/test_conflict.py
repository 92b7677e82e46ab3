"""Conflicts: contradictions by hand, and how each way to fake one is found out."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from grading.verify import UnreadableInput, judge_conflict
from tests.grading.verify.drafts import document, panel

# The tape is 20, 25 or 38; the loop of three tapes must be at most 55 wide and the tape at least 20: never with 20?
PATTERN = document(
    dimensions={
        "w": {"base": 200, "limits": [150, 250]},
        "h": {"base": 100},
        "tape": {"base": 25, "sizing": "stock", "stock": "tapes"},
    },
    stock={"tapes": [20, 25, 38]},
    pieces={"it": panel()},
    rules={
        "loop": {"holds": "3*tape <= 55", "because": "the ring is 55 mm wide"},
        "round": {"holds": "w >= pi*h", "because": "it goes round"},
    },
)
LOOP: dict[str, Any] = {
    "format": 1,
    "kind": "conflict",
    "pattern": "draft",
    "size": {"name": "base", "request": {"scale": 1}},
    "ruler": "1 mm",
    "relations": [{"id": "rule:loop", "says": "", "because": "", "path": ""}],
    # 55 - 3 tape >= 0, and tape = 20: 55 - 3 tape + 3 (tape - 20) = -5.
    "certificate": [
        {"stock": {"tape": f"{tape} mm"}, "multipliers": {"rule:loop": "1", "stock:tape": "3"}} for tape in (20, 25, 38)
    ],
}


def failing(conflict: dict[str, Any], pattern: dict[str, Any] | None = None) -> list[str]:
    return [claim.about for claim in judge_conflict(pattern or PATTERN, conflict).failing]


def changed(path: tuple[str | int, ...], value: Any) -> dict[str, Any]:
    conflict = copy.deepcopy(LOOP)
    here: Any = conflict
    for key in path[:-1]:
        here = here[key]
    here[path[-1]] = value
    return conflict


def test_a_conflict_shown_for_every_stock_size_holds() -> None:
    verdict = judge_conflict(PATTERN, LOOP)
    assert verdict.failing == ()
    assert verdict.counts_by_kind["conflict"] == 5
    assert any(claim.left == "-5.00 mm" for claim in verdict.claims)


def test_a_stock_size_left_out_is_named() -> None:
    conflict = changed(("certificate",), LOOP["certificate"][:2])
    (claim,) = judge_conflict(PATTERN, conflict).failing
    assert claim.about == "conflict:cover" and "38 mm" in claim.says


def test_a_conflict_that_a_smaller_tape_resolves_is_none() -> None:
    pattern = copy.deepcopy(PATTERN)
    pattern["rules"]["loop"]["holds"] = "3*tape <= 60"
    assert failing(LOOP, pattern) == ["conflict:branch 0"]


@pytest.mark.parametrize(
    ("path", "value", "about"),
    [
        (("certificate", 1, "multipliers", "rule:loop"), "-1", "conflict:branch 1"),
        (("certificate", 1, "multipliers", "stock:tape"), "2", "conflict:branch 1"),
        (("certificate", 1, "multipliers", "limits:w:least"), "0", "conflict:branch 1"),
        (("certificate", 1, "multipliers", "rule:none"), "0", "conflict:branch 1"),
        (("certificate", 1, "multipliers", "rule:loop"), "x", "conflict:branch 1"),
        (("certificate", 1, "stock"), {"tape": "26 mm"}, "conflict:branch 1"),
        (("certificate", 1, "stock"), {"w": "25 mm"}, "conflict:branch 1"),
        (("certificate", 1, "stock"), {}, "conflict:branch 1"),
        (("certificate", 1, "order"), [0, 0, 1], "conflict:branch 1"),
        (("certificate", 1), 7, "conflict:branch 1"),
        (("certificate",), None, "conflict:cover"),
        (("relations", 0, "id"), "rule:none", "conflict:relations"),
        (("relations",), None, "conflict:relations"),
        (("ruler",), "2 mm", "printed:ruler"),
        (("size", "name"), "mini", "printed:size.name"),
    ],
)
def test_each_way_to_fake_a_conflict_is_found(path: tuple[str | int, ...], value: Any, about: str) -> None:
    assert about in failing(changed(path, value))


def test_pi_counts_as_it_does_in_the_nearest_size() -> None:
    # w >= pi h with h = 100 set and w at most 250 (limits): 250 - w + w - pi h = 250 - 314.16.
    conflict = {
        **LOOP,
        "size": {"name": None, "request": {"set": {"h": "100 mm"}, "scale": 1}},
        "relations": [{"id": "rule:round"}, {"id": "limits:w:most"}, {"id": "asked:h"}],
        "certificate": [{"stock": {}, "multipliers": {"rule:round": "1", "limits:w:most": "1"}}],
    }
    assert failing(conflict) == ["conflict:branch 0"]
    pi40 = "3141592653589793238462643383279502884197/" + "1" + "0" * 39
    conflict["certificate"][0]["multipliers"]["asked:h"] = pi40
    assert failing(conflict) == []


def test_every_way_to_turn_a_box_must_be_shown() -> None:
    pattern = {**PATTERN, "outside": ["w", "h", "w"]}
    branch = {"stock": {}, "multipliers": {"limits:w:least": "1", "within:across": "1"}}
    request = {"within": {"box": [140, 100, 120], "turned": "any"}}
    conflict = {
        **LOOP,
        "size": {"name": None, "request": request},
        "relations": [{"id": "limits:w:least"}, {"id": "within:across"}],
        "certificate": [branch],
    }
    assert failing(conflict, pattern) == ["conflict:branch 0"]
    orders = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]]
    conflict["certificate"] = [{**branch, "order": order} for order in orders]
    assert failing(conflict, pattern) == []
    conflict["certificate"] = conflict["certificate"][1:]
    assert failing(conflict, pattern) == ["conflict:cover"]


@pytest.mark.parametrize("conflict", [None, [], {}, {"kind": "conflict"}, {"kind": "grade", "size": {}}])
def test_what_is_no_conflict_is_refused(conflict: Any) -> None:
    with pytest.raises(UnreadableInput):
        judge_conflict(PATTERN, conflict)


def test_a_relation_that_only_breaks_as_the_box_lies_in_some_ways_is_one_of_this_request() -> None:
    # From outside the bag is 300 x 100 x 100 whatever its size; turned about, a box of 310 x 310 x 90 never takes it.
    pattern = {**PATTERN, "outside": [300, 100, 100]}
    orders = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]]
    ways = ["across", "along", "deep"]
    conflict = {
        **LOOP,
        "size": {"name": None, "request": {"within": {"box": [310, 310, 90], "turned": "any"}}},
        "relations": [{"id": f"within:{way}"} for way in ways],
        "certificate": [
            {"stock": {}, "order": order, "multipliers": {f"within:{ways[order.index(2)]}": "1"}} for order in orders
        ],
    }
    assert failing(conflict, pattern) == []
    conflict["certificate"][0]["multipliers"] = {"within:across": "1"}
    assert failing(conflict, pattern) == ["conflict:branch 0"]


def test_a_root_without_dimensions_is_a_number() -> None:
    # The slant over 30 x 40 is 50 long, and w/8 of the upright edge is sewn to it: w is 400, and 240 is asked.
    edges = [{"name": "slant", "to": [30, -40]}, {"name": "foot", "to": [0, -40]}, {"name": "back", "to": [0, 0]}]
    pattern = document(
        dimensions={"w": {"base": 240}},
        pieces={"it": panel({"start": [0, 0], "edges": edges})},
        seams={"side": {"join": ["it.slant"], "to": [{"edge": "it.back", "to": "w/8"}]}},
    )
    conflict = {
        **LOOP,
        "size": {"name": None, "request": {"set": {"w": "240 mm"}}},
        "relations": [{"id": "seam:side"}, {"id": "asked:w"}],
        "certificate": [{"stock": {}, "multipliers": {"seam:side": "-1", "asked:w": "-1/8"}}],
    }
    # w/8 - 50 + (240 - w)/8 = -20.
    assert failing(conflict, pattern) == []
    assert any(claim.left == "-20.00 mm" for claim in judge_conflict(pattern, conflict).claims)
    conflict["certificate"][0]["multipliers"] = {"seam:side": "1", "asked:w": "1/8"}
    assert failing(conflict, pattern) == ["conflict:branch 0"]
