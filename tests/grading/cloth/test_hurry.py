"""Every cloth has a layout in whatever time there is; what there was no time for is left out and told."""

from __future__ import annotations

import json
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from grading import verify
from grading.pipeline import grade_document, grade_size, read_document
from grading.workroom import layouts_document, layouts_of

DEMO = Path(__file__).parents[3] / "demo_requests" / "patterns"
NAMES = sorted(path.stem for path in DEMO.glob("*.json"))
Hurry = Callable[[Fraction], bool]


def _laid(name: str, hurry: Hurry | None, **settings: Any) -> tuple[Any, Any, Any]:
    """The document, its base size and the layouts of it."""
    document = json.loads((DEMO / f"{name}.json").read_text(encoding="utf-8"))
    grade = grade_size(read_document(document), size="base")
    laid = layouts_document(layouts_of(grade, {"effort": "quick", **settings}, hurry=hurry))
    return document, grade_document(grade), laid


@pytest.mark.parametrize("style", ["scissors", "rotary"])
@pytest.mark.parametrize("name", NAMES)
def test_with_no_time_at_all_every_cloth_still_has_a_layout_that_holds(name: str, style: str) -> None:
    document, grade, laid = _laid(name, lambda share: True, style=style, effort="thorough")
    unhurried = _laid(name, None, style=style)[2]
    assert list(laid["cloths"]) == list(unhurried["cloths"])
    for role, layout in laid["cloths"].items():
        assert len(layout["pieces"]) == len(unhurried["cloths"][role]["pieces"])
        assert (layout["widths"], layout["fat_quarters"]) == ([], None)
        assert ("hurried" in layout) == ("sheets" not in layout)
    verdict = verify.judge_layouts(document, grade, json.loads(json.dumps(laid)))
    assert verdict.holds, [claim.says for claim in verdict.failing]


def test_with_time_enough_nothing_is_left_out_and_nothing_differs() -> None:
    hurried, unhurried = (_laid("market_tote", hurry)[2] for hurry in (lambda share: False, None))
    assert hurried == unhurried
    assert not any("hurried" in layout for layout in unhurried["cloths"].values())


def test_each_cloth_is_asked_of_within_its_own_equal_share() -> None:
    asked: list[Fraction] = []

    def hurry(share: Fraction) -> bool:
        asked.append(share)
        return False

    laid = _laid("market_tote", hurry)[2]
    count = len(laid["cloths"])
    assert asked == sorted(asked)
    assert {share.__ceil__() for share in (each * count for each in asked)} == set(range(1, count + 1))


def test_cloths_with_few_pieces_come_first_so_that_those_with_many_have_the_time_that_is_left() -> None:
    laid = _laid("market_tote", lambda share: share <= Fraction(1, 2))[2]["cloths"]
    first = sorted(laid, key=lambda role: len(laid[role]["pieces"]))[:2]
    assert [role for role, layout in laid.items() if "hurried" in layout or "sheets" in layout] == [
        role for role in laid if role in first
    ]
