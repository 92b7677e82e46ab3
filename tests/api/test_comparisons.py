"""Charts, differences and answers: their addresses with a scripted solver, and the real work in real workers."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from litestar import Litestar
from litestar.testing import TestClient
from sqlalchemy import text

from api.jobs import comparing
from api.jobs.worker import Refusal
from api.settings import Settings
from api.storage.database import Database
from tests.api.support import NO_PATTERN, NOWHERE, ScriptedSolver, pattern_document, signed_in
from tests.patterns import changed, pouch

Client = TestClient[Litestar]
DEMO = Path(__file__).parents[2] / "demo_requests" / "patterns"


def revised(client: Client, pattern: dict[str, str], document: dict[str, Any]) -> str:
    answer = client.post(
        f"/patterns/{pattern['id']}/revisions",
        json={"document": document},
        headers={"If-Match": f'"{pattern["head"]}"'},
    )
    assert answer.status_code == 201, answer.text
    name: str = answer.json()["id"]
    return name


def of_revision(pattern: dict[str, str], part: str, revision: str | None = None) -> str:
    return f"/patterns/{pattern['id']}/revisions/{revision or pattern['head']}/{part}"


def test_a_chart_comes_as_json_or_as_a_table(client: Client, pattern: dict[str, str]) -> None:
    chart = client.get(of_revision(pattern, "chart"))
    table = client.get(of_revision(pattern, "chart"), headers={"Accept": "text/csv"})
    assert chart.json() == {"pattern": "Small pouch"}
    assert (table.text, table.headers["content-type"]) == (
        "part,measure\r\nSmall pouch,\r\n",
        "text/csv; charset=utf-8",
    )
    assert chart.headers["vary"] == table.headers["vary"] == "Accept"
    assert chart.headers["etag"] != table.headers["etag"]
    known = {"If-None-Match": chart.headers["etag"]}
    assert client.get(of_revision(pattern, "chart"), headers=known).status_code == 304
    assert client.get(of_revision(pattern, "chart"), headers={"Accept": "image/png"}).status_code == 406


def test_a_difference_goes_from_the_revision_named_to_the_one_addressed(
    client: Client, pattern: dict[str, str]
) -> None:
    newer = revised(client, pattern, pattern_document(width=150))
    found = client.get(of_revision(pattern, "difference", newer), params={"from": pattern["head"]})
    assert found.json() == {"old": {"width": {"base": 120}}, "new": {"width": {"base": 150}}}
    back = client.get(of_revision(pattern, "difference"), params={"from": newer})
    assert back.json() == {"old": {"width": {"base": 150}}, "new": {"width": {"base": 120}}}


@pytest.mark.parametrize("query", ["", "?from=", "?from=x", f"?from={NOWHERE}&from={NOWHERE}", "?since=x", "?from=1"])
def test_a_difference_names_one_revision_to_compare_with(client: Client, pattern: dict[str, str], query: str) -> None:
    answer = client.get(of_revision(pattern, "difference") + query)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/faults")
    assert [fault["path"] for fault in answer.json()["faults"]][-1] == "query.from"


def test_charts_and_differences_of_what_does_not_exist_are_not_found(client: Client, pattern: dict[str, str]) -> None:
    nowhere = {"id": NO_PATTERN, "head": pattern["head"]}
    for address in (
        of_revision(nowhere, "chart"),
        of_revision(pattern, "chart", NOWHERE),
        of_revision(pattern, "difference", NOWHERE) + f"?from={pattern['head']}",
        of_revision(pattern, "difference") + f"?from={NOWHERE}",
    ):
        assert client.get(address).status_code == 404


def test_the_answer_is_stored_with_its_grade(client: Client, grade: dict[str, str], solver: ScriptedSolver) -> None:
    asked = len(solver.asked)
    answer = client.get(f"/grades/{grade['id']}/answer")
    assert (answer.status_code, answer.json()) == (200, {"says": ["as wished in mini"]})
    assert len(solver.asked) == asked
    assert client.get(f"/grades/{NOWHERE}/answer").status_code == 404


async def _forget(url: str, statement: str) -> None:
    database = Database(url)
    async with database.transaction() as session:
        await session.execute(text(statement))
    await database.close()


async def test_a_grade_without_an_answer_is_explained_anew(
    client: Client, grade: dict[str, str], settings: Settings
) -> None:
    await _forget(settings.database_url, "UPDATE grades SET answer = NULL")
    assert client.get(f"/grades/{grade['id']}/answer").json() == {"says": ["as wished in mini"]}


async def test_a_grade_that_does_not_come_out_the_same_any_more_has_no_answer(
    client: Client, grade: dict[str, str], settings: Settings
) -> None:
    await _forget(settings.database_url, "UPDATE grades SET answer = NULL, document = '{}'")
    answer = client.get(f"/grades/{grade['id']}/answer")
    assert (answer.status_code, answer.json()["type"]) == (404, "/problems/not-found")


async def test_a_grade_that_cannot_be_made_any_more_has_no_answer(
    client: Client, grade: dict[str, str], settings: Settings
) -> None:
    asked = json.dumps({"request": None, "ruler": None, "size": "contradictory"})
    await _forget(settings.database_url, f"UPDATE grades SET answer = NULL, request = '{asked}'")
    assert client.get(f"/grades/{grade['id']}/answer").status_code == 404


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    database = tmp_path_factory.mktemp("comparisons") / "sizewright.db"
    settings = Settings(database_url=f"sqlite+aiosqlite:///{database}", workers=1)
    with signed_in(settings) as started:
        yield started


def stored(client: Client, document: dict[str, Any]) -> dict[str, str]:
    answer = client.post("/patterns", json={"document": document})
    assert answer.status_code == 201, answer.text
    pattern: dict[str, str] = answer.json()
    return pattern


def described(client: Client, name: str, content: object) -> None:
    """Checks content against the schema that the interface describes for it."""
    interface = client.get("/openapi.json").json()
    Draft202012Validator({"$ref": f"#/components/schemas/{name}", **interface}).validate(content)


def test_a_real_chart_says_what_holds_the_mini_of_the_day_pack_back(server: Client) -> None:
    pattern = stored(server, demo("ferry_day_pack"))
    chart = server.get(of_revision(pattern, "chart"))
    described(server, "Chart", chart.json())
    mini = next(size for size in chart.json()["sizes"] if size["name"] == "mini")["made"]
    assert [(each["dimension"], each["wished"], each["given"]) for each in mini["held"]] == [
        ("corner", "38.5 mm", "40 mm")
    ]
    table = server.get(of_revision(pattern, "chart"), headers={"Accept": "text/csv"}).text
    assert next(csv.reader(io.StringIO(table)))[3:] == ["base", "mini", "large"]


def demo(name: str) -> dict[str, Any]:
    document: dict[str, Any] = json.loads((DEMO / f"{name}.json").read_text(encoding="utf-8"))
    return document


def test_a_real_difference_tells_the_size_that_is_asked_otherwise(server: Client) -> None:
    pattern = stored(server, demo("market_tote"))
    newer = revised(server, pattern, changed(demo("market_tote"), "sizes.large.scale", "6/5"))
    found = server.get(of_revision(pattern, "difference", newer), params={"from": pattern["head"]}).json()
    described(server, "Difference", found)
    assert [size["name"] for size in found["sizes"] if size["changed"]] == ["large"]
    large = next(size for size in found["sizes"] if size["name"] == "large")
    width = next(change for change in large["dimensions"] if change["what"] == "width")
    assert width == {"what": "width", "before": "450 mm", "after": "432 mm", "by": "-18 mm"}  # 360 × 5/4, 360 × 6/5


def test_a_real_answer_says_why_a_size_is_not_as_wished(server: Client) -> None:
    pattern = stored(server, demo("ferry_day_pack"))
    made = server.post(of_revision(pattern, "grades"), json={"size": "mini"}).json()
    answer = server.get(f"/grades/{made['id']}/answer").json()
    described(server, "Answer", answer)
    assert answer["dimensions"]["corner"]["wished"] == "38.5 mm"
    assert "rule:foamed_corner" in [relation["id"] for relation in answer["held"]]


def test_workers_tell_sizes_that_cannot_be_made(client: Client) -> None:
    old = json.dumps(pouch())
    new = json.dumps(changed(pouch(), "dimensions.width.limits", [80, 140]))
    found = json.loads(comparing.difference({"old": old, "new": new}, lambda: False))
    described(client, "Difference", found)
    assert "width is at most 140 mm" in found["sizes"][1]["refused"]["after"]["says"]
    chart = json.loads(comparing.chart({"document": new}, lambda: False)["document"])
    described(client, "Chart", chart)
    assert [size["made"] is None for size in chart["sizes"]] == [False, True]


def test_workers_refuse_what_is_no_pattern_and_end_when_their_time_is_up() -> None:
    document = json.dumps(pouch())
    with pytest.raises(Refusal) as refused:
        comparing.chart({"document": "{}"}, lambda: False)
    assert refused.value.content["kind"] == "document"
    for work in (
        lambda: comparing.chart({"document": document}, lambda: True),
        lambda: comparing.difference({"old": document, "new": document}, lambda: True),
    ):
        with pytest.raises(Refusal) as refused:
            work()
        assert refused.value.content == {"kind": "stopped"}
