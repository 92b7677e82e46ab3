"""Supplies as comma-separated values, read back with Python's own csv reader (RFC 4180)."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest

from grading.supplies import supplies_table
from tests.conftest import DEMO_NAMES
from tests.grading.supplies.bags import supplied
from tests.grading.supplies.test_costs import LAYOUTS, with_cloth

Json = dict[str, Any]


def read(table: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(table, newline=""), strict=True))


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_thing_is_a_row(name: str, demo_documents: dict[str, Json]) -> None:
    supplies = supplied(demo_documents[name])
    rows = read(supplies_table(supplies))
    assert len(rows) == len(supplies["rows"]) + len(supplies["thread"]) + len(supplies["cost"])
    for found, wanted in zip(rows, supplies["rows"], strict=False):
        assert (found["kind"], found["name"], found["used for"]) == (wanted["kind"], wanted["name"], wanted["says"])
        assert found["what to buy"] == wanted["buy"]["what"]
        assert found["length to buy"] == wanted["buy"].get("length", "")
        assert found["count to buy"] == str(wanted["buy"].get("count", ""))
        assert found["steps"].split() == [str(step) for step in wanted["steps"]]
        assert found["bought"] == ""


def test_sums_of_money_come_last() -> None:
    rows = read(supplies_table(supplied(with_cloth(), layouts=LAYOUTS)))
    assert [(row["kind"], row["cost"], row["currency"]) for row in rows[-2:]] == [
        ("sum", "31.11", "EUR"),
        ("sum", "9.00", "GBP"),
    ]
    assert sum(float(row["cost"]) for row in rows[:-2] if row["currency"] == "EUR") == pytest.approx(31.11)


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@sum", "=cmd|' /C calc'!A0"])
def test_nothing_in_a_cell_is_taken_for_a_formula(text: str) -> None:
    document = with_cloth()
    document["findings"]["stud"]["hardware"]["what"] = text
    rows = read(supplies_table(supplied(document)))
    assert [row["what to buy"] for row in rows if row["name"] == "stud"] == [f"'{text}"]
