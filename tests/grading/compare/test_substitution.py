"""What a substitution comes to: cloth and money before and after, and the sizes that it changes."""

from __future__ import annotations

from typing import Any

import pytest

from grading.compare import cloth_changes
from grading.workroom import substitution, substitution_document
from tests.patterns import Json, pouch


def layouts(cloths: dict[str, Json], ruler: str = "1 mm") -> Json:
    return {"kind": "layouts", "ruler": ruler, "cloths": {role: {"buy": buy} for role, buy in cloths.items()}}


def euros(amount: str) -> Json:
    return {"amount": amount, "currency": "EUR"}


def test_less_of_a_dear_cloth_and_some_of_a_cheap_one() -> None:
    before = layouts({"main": {"length": "1200 mm", "cost": euros("22.68")}})
    after = layouts(
        {
            "main": {"length": "1100 mm", "cost": euros("20.79")},
            "plain": {"length": "200 mm", "cost": euros("0.80")},
        }
    )
    assert cloth_changes(before, after) == [
        {
            "material": "main",
            "before": "1200 mm",
            "after": "1100 mm",
            "by": "-100 mm",
            "cost_before": euros("22.68"),
            "cost_after": euros("20.79"),
            "cost_by": euros("-1.89"),
        },
        {
            "material": "plain",
            "before": None,
            "after": "200 mm",
            "by": "+200 mm",
            "cost_after": euros("0.80"),
            "cost_by": euros("+0.80"),
        },
    ]


def test_sheets_are_counted_and_inches_stay_inches() -> None:
    assert cloth_changes(layouts({"board": {"sheets": 2}}), layouts({"board": {"sheets": 1}}))[0]["by"] == "-1 sheet"
    before, after = (
        layouts({"main": {"length": "36 in"}}, "1/8 in"),
        layouts({"main": {"length": "40 1/2 in"}}, "1/8 in"),
    )
    assert cloth_changes(before, after)[0]["by"] == "+4 1/2 in"


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (None, layouts({"main": {"length": "1 m"}})),
        (layouts({"main": {"sheets": 2}}), layouts({"main": {"length": "1 m"}})),
    ],
)
def test_what_cannot_be_compared_is_not(before: Any, after: Any) -> None:
    (cloth,) = cloth_changes(before, after)
    assert cloth["by"] is None
    assert cloth["after"] == "1 m"


def test_costs_in_two_currencies_are_not_subtracted() -> None:
    before = layouts({"main": {"length": "1 m", "cost": euros("10.00")}})
    after = layouts({"main": {"length": "1 m", "cost": {"amount": "9.00", "currency": "GBP"}}})
    assert "cost_by" not in cloth_changes(before, after)[0]


def test_the_answer_has_the_new_document_and_what_changes_in_every_size() -> None:
    found = substitution(pouch(), [{"split": "pocket", "at": "20 mm"}])
    told = substitution_document(found, "wide")
    assert told["kind"] == "substitution"
    assert (told["pattern"], told["size"], told["cloths"]) == ("Flat pouch", "wide", [])
    assert told["changes"] == ["pocket split into pocket top and pocket bottom, 20 mm from the top"]
    assert "pocket_bottom" in told["document"]["pieces"]
    base = next(size for size in told["difference"]["sizes"] if size["name"] == "base")
    assert {part["name"]: part["kind"] for part in base["pieces"]} == {
        "pocket": "removed",
        "pocket_top": "added",
        "pocket_bottom": "added",
    }
