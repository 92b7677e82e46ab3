from __future__ import annotations

import pytest

from api.operations.patterns import add_revision
from api.settings import Settings
from api.storage.workshops import HOUSE
from tests.api.conftest import Client
from tests.api.support import NO_PATTERN, NOWHERE, ScriptedSolver, pattern_document, signed_in
from tests.storage.support import locked


def test_a_stored_pattern_says_where_it_lies_and_what_its_head_is(client: Client) -> None:
    answer = client.post("/patterns", json={"document": pattern_document()})
    stored = answer.json()
    assert answer.status_code == 201
    assert answer.headers["location"] == f"/patterns/{stored['id']}"
    assert answer.headers["etag"] == f'"{stored["head"]}"'
    assert (stored["name"], stored["revision_count"]) == ("Small pouch", 1)
    assert {**client.get(answer.headers["location"]).json(), "faults": []} == stored


def test_a_document_comes_back_as_it_was_sent(client: Client) -> None:
    document = {**pattern_document(width=12.5), "says": "Größe – 3 ½\u2028"}
    stored = client.post("/patterns", json={"document": document}).json()
    answer = client.get(f"/patterns/{stored['id']}/revisions/{stored['head']}")
    assert answer.json()["document"] == document
    assert list(answer.json()["document"]) == list(document)
    assert answer.headers["etag"] == f'"{stored["head"]}"'


def test_the_same_document_twice_is_two_patterns_whose_names_do_not_tell(client: Client) -> None:
    first, second = (client.post("/patterns", json={"document": pattern_document()}).json() for _ in range(2))
    assert first["id"] != second["id"]
    assert first["head"] != second["head"]


def test_all_faults_come_at_once_and_nothing_is_stored(client: Client) -> None:
    answer = client.post("/patterns", json={"document": {"format": 1}})
    assert answer.status_code == 422
    assert [fault["path"] for fault in answer.json()["faults"]] == ["name", "pieces"]
    assert all(fault["remedy"] for fault in answer.json()["faults"])
    assert client.get("/patterns").json() == {"items": [], "total": 0}


def test_an_unfinished_draft_is_stored_and_told_what_is_left(client: Client) -> None:
    answer = client.post("/patterns", json={"document": {**pattern_document(), "name": "unfinished"}})
    assert answer.status_code == 201
    assert [fault["path"] for fault in answer.json()["faults"]] == ["steps"]
    assert client.get("/patterns").json()["total"] == 1


def test_patterns_are_listed_in_pages(client: Client) -> None:
    for name in ("one", "two", "three"):
        client.post("/patterns", json={"document": pattern_document(name)})
    page = client.get("/patterns", params={"limit": 2, "offset": 1}).json()
    assert [item["name"] for item in page["items"]] == ["two", "three"]
    assert page["total"] == 3


def test_a_revision_moves_the_head(client: Client, pattern: dict[str, str]) -> None:
    address = f"/patterns/{pattern['id']}"
    head = client.get(address).headers["etag"]
    changed = {"document": pattern_document("Wide pouch", 150)}
    answer = client.post(f"{address}/revisions", json=changed, headers={"If-Match": head})
    assert answer.status_code == 201
    assert answer.json()["number"] == 2
    assert answer.headers["location"] == f"{address}/revisions/{answer.json()['id']}"
    now = client.get(address)
    assert now.headers["etag"] == answer.headers["etag"] != head
    assert (now.json()["name"], now.json()["revision_count"]) == ("Wide pouch", 2)
    assert [entry["number"] for entry in client.get(f"{address}/revisions").json()["items"]] == [1, 2]


def test_a_revision_needs_the_head_that_it_was_made_from(client: Client, pattern: dict[str, str]) -> None:
    address = f"/patterns/{pattern['id']}/revisions"
    body = {"document": pattern_document(width=150)}
    assert client.post(address, json=body).status_code == 428
    stale = client.post(address, json=body, headers={"If-Match": f'"{NOWHERE}"'})
    assert (stale.status_code, stale.json()["head"]) == (412, pattern["head"])
    weak = client.post(address, json=body, headers={"If-Match": f'W/"{pattern["head"]}"'})
    assert weak.status_code == 412
    assert client.get(address).json()["total"] == 1


@pytest.mark.parametrize("header", ["*", '"x", "{head}"', '"{head}"'])
def test_if_match_takes_any_head_and_lists(client: Client, pattern: dict[str, str], header: str) -> None:
    held = header.replace("{head}", pattern["head"])
    body = {"document": pattern_document(width=150)}
    answer = client.post(f"/patterns/{pattern['id']}/revisions", json=body, headers={"If-Match": held})
    assert answer.status_code == 201


def test_an_old_document_becomes_the_head_again_under_its_old_number(client: Client, pattern: dict[str, str]) -> None:
    address = f"/patterns/{pattern['id']}/revisions"
    client.post(address, json={"document": pattern_document(width=150)}, headers={"If-Match": "*"})
    back = client.post(address, json={"document": pattern_document()}, headers={"If-Match": "*"})
    assert (back.status_code, back.json()["number"], back.json()["id"]) == (200, 1, pattern["head"])
    assert client.get(f"/patterns/{pattern['id']}").json()["head"] == pattern["head"]
    assert client.get(address).json()["total"] == 2


def test_a_faulty_revision_leaves_the_head_where_it_is(client: Client, pattern: dict[str, str]) -> None:
    address = f"/patterns/{pattern['id']}/revisions"
    assert client.post(address, json={"document": {}}, headers={"If-Match": "*"}).status_code == 422
    assert {**client.get(f"/patterns/{pattern['id']}").json(), "faults": []} == pattern


def test_a_head_that_moves_during_the_check_is_not_overwritten(
    client: Client, pattern: dict[str, str], solver: ScriptedSolver, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = f"/patterns/{pattern['id']}/revisions"
    check = solver.run

    async def slow_check(task: str, **arguments: object) -> object:
        monkeypatch.setattr(solver, "run", check)
        bench = client.app.state.bench.of(HOUSE)
        await add_revision(bench, pattern["id"], pattern_document("Quicker"), lambda head: head)
        return await check(task, **arguments)

    monkeypatch.setattr(solver, "run", slow_check)
    answer = client.post(address, json={"document": pattern_document("Slower")}, headers={"If-Match": "*"})
    assert answer.status_code == 412
    assert client.get(f"/patterns/{pattern['id']}").json()["name"] == "Quicker"


def test_what_is_at_hand_is_not_sent_again(client: Client, pattern: dict[str, str]) -> None:
    for address in (f"/patterns/{pattern['id']}", f"/patterns/{pattern['id']}/revisions/{pattern['head']}"):
        tag = client.get(address).headers["etag"]
        for header in (tag, f"W/{tag}", f'"other", {tag}', "*"):
            again = client.get(address, headers={"If-None-Match": header})
            assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", tag)
        assert client.get(address, headers={"If-None-Match": '"other"'}).status_code == 200


def test_what_does_not_exist_is_not_found(client: Client, pattern: dict[str, str]) -> None:
    for address in (
        f"/patterns/{NO_PATTERN}",
        f"/patterns/{NO_PATTERN}/revisions",
        f"/patterns/{pattern['id']}/revisions/{NOWHERE}",
        f"/patterns/{NO_PATTERN}/revisions/{pattern['head']}",
        f"/grades/{NOWHERE}",
    ):
        answer = client.get(address)
        assert (answer.status_code, answer.json()["type"]) == (404, "/problems/not-found"), address


def test_a_check_counts_and_stores_nothing(client: Client) -> None:
    sound = client.post("/checks", json={"document": pattern_document()})
    assert sound.status_code == 200
    assert sound.json() == {
        "sound": True,
        "faults": [],
        "remarks": [],
        "pieces": 1,
        "seams": 0,
        "relations": 3,
        "claims": 5,
    }
    faulty = client.post("/checks", json={"document": {"name": "half"}}).json()
    assert (faulty["sound"], [fault["path"] for fault in faulty["faults"]]) == (False, ["pieces"])
    assert client.get("/patterns").json()["total"] == 0


def test_a_locked_storage_is_a_problem_that_may_pass(
    settings: Settings, solver: ScriptedSolver, monkeypatch: pytest.MonkeyPatch
) -> None:
    for kind in ("sqlite", "postgresql"):
        monkeypatch.setattr(f"api.storage.{kind}.LOCK_WAIT_MILLISECONDS", 50)
    with signed_in(settings, solver=solver, raise_server_exceptions=True) as client:
        with locked(settings.database_url, "patterns"):
            answer = client.post("/patterns", json={"document": pattern_document()})
        assert (answer.status_code, answer.json()["type"]) == (503, "/problems/storage-unavailable")
        assert answer.headers["retry-after"]
        assert client.post("/patterns", json={"document": pattern_document()}).status_code == 201
