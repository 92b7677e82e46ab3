"""Testers' records: sent in for a size of a revision, kept as they are, read by nobody else."""

from __future__ import annotations

from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from tests.api.support import NO_PATTERN, NOWHERE, pattern_document

Client = TestClient[Litestar]
SEWN: dict[str, Any] = {
    "size": "mini",
    "cloth": "canvas of 0.6 mm, cotton lining",
    "measures": {"width": "118 mm"},
    "minutes": 95,
    "remarks": [{"step": 1, "says": "clip the corner first"}, {"says": "a little stiff"}],
}


@pytest.fixture
def address(client: Client) -> str:
    document = pattern_document() | {
        "sizes": {"mini": {"scale": "7/10"}},
        "steps": [{"text": "Sew.", "action": "sew"}],
    }
    stored = client.post("/patterns", json={"document": document}).json()
    return f"/patterns/{stored['id']}/revisions/{stored['head']}/records"


def test_a_record_is_kept_as_it_was_sent_in(client: Client, address: str) -> None:
    answer = client.post(address, json=SEWN)
    assert answer.status_code == 201
    record = answer.json()
    assert {key: record[key] for key in ("size", "cloth", "measures", "minutes")} == {
        key: SEWN[key] for key in ("size", "cloth", "measures", "minutes")
    }
    assert record["remarks"] == [SEWN["remarks"][0], {"step": None, "says": "a little stiff"}]
    assert client.get(address).json() == {"items": [record], "total": 1}


def test_size_and_cloth_are_enough(client: Client, address: str) -> None:
    record = client.post(address, json={"size": "base", "cloth": "denim"}).json()
    assert (record["measures"], record["minutes"], record["remarks"]) == ({}, None, [])


def test_records_are_listed_in_the_order_in_which_they_came_in(client: Client, address: str) -> None:
    for cloth in ("canvas", "denim", "felt"):
        client.post(address, json={"size": "base", "cloth": cloth})
    page = client.get(address, params={"limit": 2, "offset": 1}).json()
    assert ([item["cloth"] for item in page["items"]], page["total"]) == (["denim", "felt"], 3)


def test_records_are_of_one_revision(client: Client, address: str) -> None:
    client.post(address, json=SEWN)
    pattern = address.split("/")[2]
    document = pattern_document(width=130)
    later = client.post(f"/patterns/{pattern}/revisions", json={"document": document}, headers={"If-Match": "*"}).json()
    assert client.get(f"/patterns/{pattern}/revisions/{later['id']}/records").json() == {"items": [], "total": 0}


def test_everything_that_the_pattern_does_not_know_is_told_at_once(client: Client, address: str) -> None:
    wrong = {
        "size": "huge",
        "cloth": "denim",
        "measures": {"girth": "3 mm", "width": "wide"},
        "remarks": [{"step": 2, "says": "there is none"}],
    }
    answer = client.post(address, json=wrong)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/faults")
    assert [fault["path"] for fault in answer.json()["faults"]] == [
        "size", "measures.girth", "measures.width", "remarks.0.step",
    ]  # fmt: skip
    assert client.get(address).json()["total"] == 0


@pytest.mark.parametrize(
    "change",
    [
        {"size": "Mini"},
        {"cloth": ""},
        {"cloth": "x" * 2001},
        {"minutes": 0},
        {"minutes": 2.5},
        {"minutes": None},
        {"measures": {"width": "0 mm"}},
        {"measures": {"width": 118}},
        {"remarks": [{"step": 0, "says": "none"}]},
        {"remarks": [{"says": ""}]},
        {"remarks": [{"says": "x"}] * 201},
        {"stars": 5},
        {"cloth": "nothing\x00more"},
    ],
)
def test_a_record_that_cannot_be_is_refused_and_not_kept(client: Client, address: str, change: dict[str, Any]) -> None:
    answer = client.post(address, json=SEWN | change)
    assert answer.status_code == 422
    assert answer.headers["content-type"].startswith("application/problem+json")
    assert answer.json()["faults"]
    assert client.get(address).json()["total"] == 0


def test_there_are_no_records_of_a_revision_that_is_not_there(client: Client, address: str) -> None:
    for other in (
        f"/patterns/{NO_PATTERN}/revisions/{NOWHERE}/records",
        address.replace(address.split("/")[4], NOWHERE),
    ):
        assert client.get(other).status_code == 404
        assert client.post(other, json=SEWN).status_code == 404
