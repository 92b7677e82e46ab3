"""Conflicts as problem documents, with what would do, and maps for all sizes; the real work in real workers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from litestar import Litestar
from litestar.testing import TestClient

from api.settings import Settings
from grading import verify
from tests.api.support import NO_PATTERN, NOWHERE, pattern_document, signed_in
from tests.grading.answer.bags import sleeve

Client = TestClient[Litestar]


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    database = tmp_path_factory.mktemp("conflicts") / "sizewright.db"
    settings = Settings(database_url=f"sqlite+aiosqlite:///{database}", workers=1)
    with signed_in(settings) as started:
        yield started


@pytest.fixture(scope="module")
def stored(server: Client) -> str:
    """The address of the revision of a pattern that contradicts some requests."""
    answer = server.post("/patterns", json={"document": sleeve()})
    assert answer.status_code == 201, answer.text
    return f"/patterns/{answer.json()['id']}/revisions/{answer.json()['head']}"


def described(client: Client, name: str, content: object) -> None:
    """Checks content against the schema that the interface describes for it."""
    interface = client.get("/openapi.json").json()
    Draft202012Validator({"$ref": f"#/components/schemas/{name}", **interface}).validate(content)


def test_conflict_tells_what_shows_it_and_what_would_do_and_that_does(server: Client, stored: str) -> None:
    asked = {"set": {"width": "90 mm"}}
    answer = server.post(f"{stored}/grades", json={"request": asked})
    problem = answer.json()
    assert (answer.status_code, problem["type"]) == (409, "/problems/conflict")
    described(server, "Problem", problem)
    written = {
        "format": 1,
        "kind": "conflict",
        "pattern": "Flat pouch",
        "size": {"name": None, "request": asked},
        "ruler": "1 mm",
        **{part: problem[part] for part in ("relations", "certificate", "limits", "remedies")},
    }
    assert verify.judge_conflict(sleeve(), written).holds
    wish = next(remedy for remedy in problem["remedies"] if remedy["request"] is not None)
    assert wish["change"] == "ask for width of 100 mm in place of 90 mm"
    assert server.post(f"{stored}/grades", json={"request": wish["request"]}).status_code == 201
    assert any(remedy["request"] is None for remedy in problem["remedies"])


def test_server_is_as_it_was_after_a_conflict(server: Client, stored: str) -> None:
    first = server.post(f"{stored}/grades", json={"size": "base"}).json()
    before = server.get(f"/grades/{first['id']}").content
    assert server.post(f"{stored}/grades", json={"request": {"set": {"width": "230 mm"}}}).status_code == 409
    again = server.post(f"{stored}/grades", json={"size": "base"})
    assert (again.status_code, again.json()["id"]) == (200, first["id"])
    other = server.post(f"{stored}/grades", json={"request": {"scale": 1}}).json()
    graded, known = server.get(f"/grades/{other['id']}").json(), server.get(f"/grades/{first['id']}")
    assert known.content == before
    assert graded["certificate"] == known.json()["certificate"]


def test_map_is_given_as_described_and_the_verifier_agrees(server: Client, stored: str) -> None:
    answer = server.get(f"{stored}/map")
    found: dict[str, Any] = answer.json()
    described(server, "SolutionMap", found)
    assert found["map"] == {"pocket_width": {"width": "1"}}
    assert verify.judge_map(sleeve(), found).holds
    known = {"If-None-Match": answer.headers["etag"]}
    assert server.get(f"{stored}/map", headers=known).status_code == 304


def test_map_of_nothing_is_not_found(client: Client, pattern: dict[str, str]) -> None:
    assert client.get(f"/patterns/{NO_PATTERN}/revisions/{NOWHERE}/map").status_code == 404
    assert client.get(f"/patterns/{pattern['id']}/revisions/{NOWHERE}/map").status_code == 404
    assert client.get(f"/patterns/{pattern['id']}/revisions/{pattern['head']}/map").json()["kind"] == "map"


def test_map_that_takes_too_long_is_a_clear_problem(client: Client) -> None:
    answer = client.post("/patterns", json={"document": pattern_document("Map too slow")}).json()
    found = client.get(f"/patterns/{answer['id']}/revisions/{answer['head']}/map")
    assert (found.status_code, found.json()["type"]) == (503, "/problems/out-of-time")
