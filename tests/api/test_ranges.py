"""Ranges of sizes over the interface, with real workers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from litestar import Litestar
from litestar.testing import TestClient

from api.schemas import ranges
from api.settings import Settings
from grading.document import order
from tests.api.support import NO_PATTERN, NOWHERE, signed_in
from tests.benchmarks import demo
from tests.patterns import GONE, changed

Client = TestClient[Litestar]
LONG_NAME = "w" * 300


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    database = tmp_path_factory.mktemp("ranges") / "sizewright.db"
    settings = Settings(database_url=f"sqlite+aiosqlite:///{database}", workers=1)
    with signed_in(settings) as started:
        yield started


def address_of(server: Client, document: dict[str, Any]) -> str:
    made = server.post("/patterns", json={"document": document}).json()
    return f"/patterns/{made['id']}/revisions/{made['head']}/ranges"


@pytest.fixture(scope="module")
def tote(server: Client) -> str:
    return address_of(server, demo.document("market_tote"))


def described(client: Client, content: object) -> None:
    interface = client.get("/openapi.json").json()
    Draft202012Validator({"$ref": "#/components/schemas/SizeRange", **interface}).validate(content)


def test_a_proven_range_has_no_obstacles(server: Client, tote: str) -> None:
    answer = server.post(tote, json={"choose": {"width": ["300 mm", 420], "height": ["13 in", "450 mm"]}})
    assert answer.status_code == 200, answer.text
    found = answer.json()
    described(server, found)
    assert found["proven"]
    assert found["box"] == found["largest"] == {"width": ["300 mm", "420 mm"], "height": ["330.2 mm", "450 mm"]}
    assert (found["obstacles"], found["counterexample"], found["sizes"]) == ([], None, [])


def test_a_range_that_is_not_proven_comes_with_a_failing_size_the_largest_one_and_a_list(
    server: Client, tote: str
) -> None:
    found = server.post(tote, json={"choose": {"width": ["300 mm", "600 mm"]}}).json()
    described(server, found)
    assert not found["proven"]
    (obstacle,) = found["obstacles"]
    assert obstacle["path"] == "dimensions.width.limits"
    assert (obstacle["room"], obstacle["size"]) == ("-80 mm", {"width": "600 mm"})
    assert found["counterexample"]["size"] == {"width": "600 mm"}
    assert "at most 520 mm" in found["counterexample"]["reason"]
    assert found["largest"] == {"width": ["300 mm", "520 mm"]}
    grades = tote.replace("/ranges", "/grades")
    for size in found["sizes"]:
        assert server.post(grades, json={"request": {"set": size, "others": "at base"}}).status_code in {200, 201}
    failing = {"set": found["counterexample"]["size"], "others": "at base"}
    assert server.post(grades, json={"request": failing}).status_code == 409


def test_without_ends_the_order_form_of_the_pattern_is_judged(server: Client, tote: str) -> None:
    found = server.post(tote, json={}).json()
    assert found["proven"]
    assert found["box"] == demo.document("market_tote")["order"]["choose"]


def test_ruler_options_and_others_are_heeded(server: Client, tote: str) -> None:
    asked = {"choose": {"width": ["340 mm", "400 mm"]}, "options": {"sleeve": "without"}, "others": "in proportion"}
    found = server.post(tote, json={**asked, "ruler": "1/2 mm"}).json()
    assert (found["ruler"], found["others"], found["proven"]) == ("0.5 mm", "in proportion", True)
    assert found["rules"] < server.post(tote, json=asked | {"options": {"sleeve": "with"}}).json()["rules"]


def test_a_pattern_without_an_order_form_has_to_be_asked_with_ends(server: Client) -> None:
    bare = address_of(server, changed(demo.document("market_tote"), "order", GONE))
    answer = server.post(bare, json={})
    assert answer.status_code == 422
    assert [fault["path"] for fault in answer.json()["faults"]] == ["choose"]


@pytest.mark.parametrize(
    ("content", "path"),
    [
        ({"choose": {"girth": ["1 m", "2 m"]}}, "choose.girth"),
        ({"choose": {"width": ["420 mm", "300 mm"]}}, "choose.width"),
        ({"choose": {"width": ["0 mm", "300 mm"]}}, "choose.width"),
        ({"choose": {"width": ["-5 mm", "300 mm"]}}, "choose.width"),
        ({"choose": {"width": ["300 mm", "30 km"]}}, "choose.width"),
        ({"choose": {"width": ["300 mm", "30 m"]}}, "choose.width"),
        ({"choose": {"width": ["300 mm"]}}, "choose.width"),
        ({"choose": {"width": "300 mm"}}, "choose.width"),
        ({"choose": {"width": [True, "300 mm"]}}, "choose.width"),
        ({"choose": {"handle_width": ["20 mm", "38 mm"]}}, "choose.handle_width"),
        ({"choose": {"lining_height": ["200 mm", "380 mm"]}}, "choose.lining_height"),
        ({"choose": {LONG_NAME: ["200 mm", "380 mm"]}}, f"choose.{LONG_NAME}"),
        ({"choose": {}}, "choose"),
        ({"choose": {f"d{number}": [1, 2] for number in range(9)}}, "choose"),
        ({"choose": {"width": [300, 400]}, "others": "somehow"}, "others"),
        ({"choose": {"width": [300, 400]}, "ruler": "5 m"}, "ruler"),
        ({"choose": {"width": [300, 400]}, "options": {"engine": "diesel"}}, "options.engine"),
        ({"chose": {"width": [300, 400]}}, "chose"),
    ],
)
def test_faults_come_with_their_places(server: Client, tote: str, content: dict[str, Any], path: str) -> None:
    answer = server.post(tote, json=content)
    assert answer.status_code == 422, answer.text
    assert any(fault["path"].startswith(path[:100]) for fault in answer.json()["faults"]), answer.text


def test_a_range_of_nothing_is_not_found(server: Client) -> None:
    answer = server.post(f"/patterns/{NO_PATTERN}/revisions/{NOWHERE}/ranges", json={})
    assert answer.status_code == 404


def test_the_limits_of_library_and_interface_are_the_same() -> None:
    assert ranges.MOST_DIMENSIONS == order.GREATEST_CHOICE


def test_a_range_out_of_time_is_a_problem_and_the_worker_works_on(tmp_path: Path) -> None:
    settings = Settings(database_url=f"sqlite+aiosqlite:///{tmp_path / 'slow.db'}", workers=1)
    with signed_in(settings) as server:
        address = address_of(server, demo.document("market_tote"))
    with signed_in(replace(settings, time_limit=0.0)) as slow:
        for _ in range(2):
            answer = slow.post(address, json={})
            assert (answer.status_code, answer.json()["type"]) == (503, "/problems/out-of-time")
