"""The verdict on grades worked out by hand: all claims hold, and no changed number passes."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from contextlib import suppress
from fractions import Fraction
from typing import Any

import pytest

from grading.verify import UnreadableInput, Verdict, judge
from tests.grading.verify import pouch

SIZES = ["base", "small"]
JUNK = [None, 7, 1.5, "", "x", [], {}, True, [[]], {"a": {}}, "9" * 5000, -(10**5000)]
Path = tuple[str | int, ...]


def leaves(value: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    entries = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else None
    if entries is None:
        yield path, value
        return
    for key, item in entries:
        yield from leaves(item, (*path, key))


def with_leaf(grade: dict[str, Any], path: Path, value: Any) -> dict[str, Any]:
    changed = copy.deepcopy(grade)
    here: Any = changed
    for key in path[:-1]:
        here = here[key]
    here[path[-1]] = value
    return changed


def one_step_more(value: Any) -> Any:
    """The same with its first number a ruler step (1 mm), or one, greater; other texts get a letter more."""
    if value is None:
        return "1 mm"
    if isinstance(value, int):
        return value + 1
    number = re.search(r"-?\d+", value)
    if number is None:
        return f"{value}x"
    return f"{value[: number.start()]}{int(number.group()) + 1}{value[number.end() :]}"


def failing_kinds(verdict: Verdict) -> set[str]:
    return {claim.kind for claim in verdict.failing}


@pytest.mark.parametrize("size", SIZES)
def test_every_claim_of_a_grade_worked_out_by_hand_holds(size: str) -> None:
    verdict = judge(pouch.pattern(), pouch.grade(size))
    assert verdict.failing == ()
    assert verdict.holds
    assert sum(verdict.counts_by_kind.values()) == len(verdict.claims) > 300


@pytest.mark.parametrize("size", SIZES)
def test_any_one_printed_number_or_text_changed_by_one_step_is_rejected(size: str) -> None:
    pattern, grade = pouch.pattern(), pouch.grade(size)
    missed = []
    changes = 0
    for path, value in leaves(grade):
        changes += 1
        try:
            holds = judge(pattern, with_leaf(grade, path, one_step_more(value))).holds
        except UnreadableInput:
            holds = False
        if holds:
            missed.append(path)
    assert missed == []
    assert changes > 280


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("junk", JUNK, ids=range(len(JUNK)))
def test_junk_in_the_place_of_any_part_is_rejected_without_a_crash(size: str, junk: object) -> None:
    pattern, grade = pouch.pattern(), pouch.grade(size)
    places = {path[:depth] for path, _ in leaves(grade) for depth in range(1, len(path) + 1)}
    for path in sorted(places, key=str)[:: 1 if junk in ([], 7) else 7]:
        changed = with_leaf(grade, path, junk)
        if changed == grade:
            continue
        with suppress(UnreadableInput):
            assert not judge(pattern, changed).holds, path


@pytest.mark.parametrize("size", SIZES)
def test_a_part_left_out_is_named(size: str) -> None:
    pattern, grade = pouch.pattern(), pouch.grade(size)
    for key in grade:
        less = {name: item for name, item in grade.items() if name != key}
        try:
            assert any(key in claim.about for claim in judge(pattern, less).failing), key
        except UnreadableInput as error:
            assert key in {"kind", "size", "dimensions"}, error


def test_a_part_too_much_is_named() -> None:
    grade = pouch.grade() | {"load": "20 kg"}
    verdict = judge(pouch.pattern(), grade)
    assert [claim.about for claim in verdict.failing] == ["printed:load"]


def test_the_verdict_names_the_path_and_both_numbers() -> None:
    grade = with_leaf(pouch.grade(), ("pieces", "pocket", "edges", "left", "length"), "61 mm")
    (claim,) = judge(pouch.pattern(), grade).failing
    assert (claim.about, claim.left, claim.right) == ("printed:pieces.pocket.edges.left.length", "61 mm", "60 mm")


def test_the_verdict_is_plain_data() -> None:
    data = judge(pouch.pattern(), pouch.grade()).to_json()
    assert data["holds"] is True
    assert data["claims_held"] == data["claims_made"] == len(data["claims"])
    assert data["closing"] == "Numbers checked; your cloth, quilting and sewing are not."


def test_a_band_changed_with_everything_that_follows_fails_the_seam_only_beyond_its_tolerance() -> None:
    # The panel's side is 474.2478 mm: a band of 475 is within 1.5 mm, one of 476 is not.
    for band, kinds in ((475, set()), (473, set()), (476, {"seam"}), (472, {"seam"})):
        assert failing_kinds(judge(pouch.pattern(), pouch.grade(band=band))) == kinds


def test_a_size_that_is_not_the_nearest_fails_the_certificate_alone() -> None:
    # Everything is consistent, but the width was neither asked nor wished to be 2 mm more.
    verdict = judge(pouch.pattern(), pouch.grade(width=202, certified_width=202))
    assert [claim.about for claim in verdict.failing] == ["nearest:balance"]
    assert "width" in verdict.failing[0].says


def test_a_size_further_than_the_ruler_may_go_is_named() -> None:
    verdict = judge(pouch.pattern(), pouch.grade(width=210))
    assert {claim.about for claim in verdict.failing} == {
        "displacement:width",
        "displacement:pocket_width",
        "displacement:band_length",
    }


def test_a_multiplier_that_pulls_the_wrong_way_or_is_not_tight_is_named() -> None:
    for size, multiplier in (("small", "-1/1000"), ("base", "1/1000")):
        grade = with_leaf(pouch.grade(size), ("certificate", "multipliers"), {"limits:width:least": multiplier})
        failing = {claim.about: claim.says for claim in judge(pouch.pattern(), grade).failing}
        assert "limits:width:least" in failing["nearest:signs"]


def test_a_nearest_size_that_breaks_a_relation_is_named() -> None:
    grade = with_leaf(pouch.grade("small"), ("certificate", "nearest", "pocket_width"), "180001/1000")
    failing = {claim.about: claim.says for claim in judge(pouch.pattern(), grade).failing}
    assert "covering:pocket_on_front:caught:right" in failing["nearest:relations"]


def test_a_multiplier_of_an_unknown_relation_is_named() -> None:
    grade = with_leaf(pouch.grade(), ("certificate", "multipliers"), {"seam:heel": "0"})
    failing = {claim.about: claim.says for claim in judge(pouch.pattern(), grade).failing}
    assert "seam:heel" in failing["nearest:form"]


def test_the_lengths_of_the_rounded_side_follow_its_corners() -> None:
    # 2(h - r) + (w - 2r) + pi r by hand: 240 + 140 + 94.2478.
    claim = next(claim for claim in judge(pouch.pattern(), pouch.grade()).claims if claim.about == "seam:front_round")
    assert (claim.left, claim.right) == ("474.25 mm", "474 mm")
    assert abs(474.2478 - float(Fraction(240 + 140) + pouch.PI40 * 30)) < 1e-4
