"""Batches of sizes: the address, the real work in real workers, and what is refused."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from litestar import Litestar
from litestar.testing import TestClient

from api.schemas.batches import MOST_ROWS
from api.settings import Settings
from grading import batch
from tests.api.support import NO_PATTERN, NOWHERE, signed_in
from tests.patterns import pouch

Client = TestClient[Litestar]
DEMO = Path(__file__).parents[2] / "demo_requests" / "patterns"


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    database = tmp_path_factory.mktemp("batches") / "sizewright.db"
    settings = Settings(database_url=f"sqlite+aiosqlite:///{database}", workers=1)
    with signed_in(settings) as started:
        yield started


@pytest.fixture(scope="module")
def tote(worked: Client) -> str:
    return stored(worked, json.loads((DEMO / "market_tote.json").read_text(encoding="utf-8")))


def stored(client: Client, document: dict[str, Any]) -> str:
    answer = client.post("/patterns", json={"document": document})
    assert answer.status_code == 201, answer.text
    made = answer.json()
    return f"/patterns/{made['id']}/revisions/{made['head']}/batches"


def lines_of(text: str) -> list[dict[str, Any]]:
    assert text.endswith("\n")
    return [json.loads(line) for line in text.splitlines()]


def test_each_row_is_a_line_in_the_order_of_the_rows(worked: Client, tote: str) -> None:
    rows = [[300, 380], ["31 cm", "15 in"], [9999, 380]]
    answer = worked.post(tote, json={"columns": ["width", "height"], "rows": rows})
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/x-ndjson"
    first, second, third = lines_of(answer.text)
    assert [line["row"] for line in (first, second, third)] == [0, 1, 2]
    assert [line["consistent"] for line in (first, second, third)] == [True, True, False]
    assert (first["dimensions"]["width"], second["dimensions"]["height"]) == (300, 381)
    assert third["fails"] == "limits:width:most"
    assert first["on_ruler"] is second["on_ruler"] is third["on_ruler"] is False


def test_scales_give_what_a_grade_has_before_the_ruler(worked: Client, tote: str) -> None:
    made = worked.post(tote.replace("/batches", "/grades"), json={"request": {"scale": "9/10"}})
    grade = worked.get(made.headers["location"]).json()
    (line,) = lines_of(worked.post(tote, json={"scales": ["9/10"]}).text)
    for name, value in line["dimensions"].items():
        whole, _, part = grade["certificate"]["nearest"][name].partition("/")
        assert value == pytest.approx(int(whole) / int(part or 1), abs=1e-6)


def test_thousands_of_rows_come_in_full(worked: Client, tote: str) -> None:
    answer = worked.post(tote, json={"scales": [round(0.7 + place / 10_000, 4) for place in range(6000)]})
    assert [line["row"] for line in lines_of(answer.text)] == list(range(6000))


def test_the_limits_of_library_and_interface_are_the_same() -> None:
    assert MOST_ROWS == batch.MOST_ROWS


@pytest.mark.parametrize(
    ("content", "path"),
    [
        ({"columns": ["girth"], "rows": [[1]]}, "columns.0"),
        ({"columns": ["width"], "rows": [["wide"]]}, "rows.0.0"),
        ({"columns": ["width"], "rows": []}, "rows"),
        ({"columns": ["width"], "rows": [[300, 1]]}, "rows.0"),
        ({"columns": ["width"], "rows": [[300]], "others": "somehow"}, "others"),
        ({"scales": [0]}, "scales.0"),
        ({"scales": [1], "options": {"engine": "diesel"}}, "options.engine"),
    ],
)
def test_faults_come_with_their_places(worked: Client, tote: str, content: dict[str, Any], path: str) -> None:
    answer = worked.post(tote, json=content)
    assert answer.status_code == 422
    assert path in [fault["path"] for fault in answer.json()["faults"]]


@pytest.mark.parametrize("content", [{}, {"scales": None}, {"scales": [1], "rows": [[1]], "columns": ["width"]}])
def test_what_is_neither_scales_nor_rows_is_refused(worked: Client, tote: str, content: dict[str, Any]) -> None:
    assert worked.post(tote, json=content).status_code == 422


@pytest.mark.parametrize("count", [MOST_ROWS + 1, 1_000_000])
def test_too_many_rows_are_refused_with_the_limit_named(worked: Client, tote: str, count: int) -> None:
    body = f'{{"scales": [{",".join(["1"] * count)}]}}'
    answer = worked.post(tote, content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 422
    (fault,) = answer.json()["faults"]
    assert str(MOST_ROWS) in fault["problem"] + fault["remedy"]


def test_nan_is_no_json(worked: Client, tote: str) -> None:
    answer = worked.post(tote, content='{"scales": [NaN]}', headers={"content-type": "application/json"})
    assert answer.status_code == 400


def test_a_batch_of_nothing_is_not_found(client: Client, pattern: dict[str, str]) -> None:
    for address in (
        f"/patterns/{NO_PATTERN}/revisions/{pattern['head']}",
        f"/patterns/{pattern['id']}/revisions/{NOWHERE}",
    ):
        assert client.post(f"{address}/batches", json={"scales": [1]}).status_code == 404


def test_batch_out_of_time_is_a_problem_and_the_worker_works_on(settings: Settings) -> None:
    hurried = replace(settings, workers=1, time_limit=0.0)
    with signed_in(settings, raise_server_exceptions=True) as unhurried:
        made = unhurried.post("/patterns", json={"document": pouch()})
        assert made.status_code == 201, made.text
    with signed_in(hurried) as slow:
        address = f"/patterns/{made.json()['id']}/revisions/{made.json()['head']}/batches"
        answer = slow.post(address, json={"scales": [1] * 5000})
        assert (answer.status_code, answer.json()["type"]) == (503, "/problems/out-of-time")
        # A draft with faults of form is looked at no further, and needs no time to speak of.
        assert slow.post("/checks", json={"document": {}}).status_code == 200


def test_the_description_covers_what_is_taken(client: Client) -> None:
    described = client.get("/openapi.json").json()
    operation = described["paths"]["/patterns/{pattern_id}/revisions/{revision_id}/batches"]["post"]
    assert "application/x-ndjson" in operation["responses"]["200"]["content"]
    schema = described["components"]["schemas"]["BatchRequest"]
    validator = Draft202012Validator(schema)
    assert validator.is_valid({"columns": ["width"], "rows": [[300], ["12 in"]]})
    assert validator.is_valid({"scales": [1, "7/10"]})
    assert not validator.is_valid({"scales": [1], "columns": ["width"], "rows": [[1]]})
    assert not validator.is_valid({"columns": ["width"]})
    assert not validator.is_valid({"rows": [[1]], "columns": []})
