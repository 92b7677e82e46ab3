from __future__ import annotations

from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from tests.api.support import NO_PATTERN, NOWHERE, pattern_document

Client = TestClient[Litestar]


@pytest.fixture
def draft(client: Client) -> dict[str, Any]:
    answer = client.post("/drafts", json={"document": pattern_document()})
    assert answer.status_code == 201
    assert answer.headers["etag"] == '"1"'
    started: dict[str, Any] = answer.json()
    assert answer.headers["location"] == f"/drafts/{started['id']}"
    return started


def widen(client: Client, draft: str, tag: str, width: Any = 140, says: str = "width: 140") -> Any:
    patch = [{"op": "replace", "path": "/dimensions/width/base", "value": width}]
    return client.patch(f"/drafts/{draft}", json={"patch": patch, "says": says}, headers={"If-Match": tag})


def test_a_draft_may_be_as_unfinished_as_it_likes(client: Client) -> None:
    started = client.post("/drafts", json={"document": {"pieces": 3}})
    assert started.status_code == 201
    assert started.json()["name"] == "without a name"
    assert client.get(f"/drafts/{started.json()['id']}").json()["document"] == {"pieces": 3}


def test_a_draft_starts_from_the_head_of_a_pattern(client: Client, pattern: dict[str, str]) -> None:
    started = client.post("/drafts", json={"pattern": pattern["id"]}).json()
    assert (started["pattern"], started["base"]) == (pattern["id"], pattern["head"])
    assert started["document"] == pattern_document()
    assert client.post("/drafts", json={"pattern": NO_PATTERN}).status_code == 404
    assert client.post("/drafts", json={}).status_code == 422


def test_a_change_keeps_the_rest_as_it_was(client: Client, draft: dict[str, Any]) -> None:
    changed = widen(client, draft["id"], '"1"')
    assert changed.status_code == 200
    assert changed.headers["etag"] == '"2"'
    assert changed.json()["document"] == pattern_document(width=140)
    assert (changed.json()["undo"], changed.json()["redo"]) == (True, False)
    assert list(changed.json()["document"]) == list(pattern_document())


def test_a_change_made_from_an_older_state_is_refused_with_the_newer_document(
    client: Client, draft: dict[str, Any]
) -> None:
    assert widen(client, draft["id"], '"1"').status_code == 200
    late = widen(client, draft["id"], '"1"', 150)
    assert late.status_code == 412
    problem = late.json()
    assert problem["type"] == "/problems/stale-draft"
    assert (problem["document"], problem["version"]) == (pattern_document(width=140), 2)
    assert "width: 140" in problem["detail"]
    assert client.get(f"/drafts/{draft['id']}").json()["document"] == pattern_document(width=140)
    assert (
        client.patch(f"/drafts/{draft['id']}", json={"patch": [{"op": "remove", "path": "/name"}]}).status_code == 428
    )


def test_every_change_can_be_taken_back_and_made_again(client: Client, draft: dict[str, Any]) -> None:
    for version, width in enumerate((130, 140, 150), 1):
        assert widen(client, draft["id"], f'"{version}"', width).status_code == 200
    seen = []
    for version in (4, 5, 6):
        back = client.post(f"/drafts/{draft['id']}/undo", headers={"If-Match": f'"{version}"'})
        seen.append(back.json()["document"]["dimensions"]["width"]["base"])
    assert seen == [140, 130, 120]
    over = client.post(f"/drafts/{draft['id']}/undo", headers={"If-Match": '"7"'})
    assert (over.status_code, over.json()["type"]) == (409, "/problems/nothing-to-go-to")
    again = client.post(f"/drafts/{draft['id']}/redo", headers={"If-Match": '"7"'}).json()
    assert again["document"]["dimensions"]["width"]["base"] == 130


def test_a_change_after_undoing_leaves_what_was_undone_in_the_history(client: Client, draft: dict[str, Any]) -> None:
    widen(client, draft["id"], '"1"', 130, "width: 130")
    client.post(f"/drafts/{draft['id']}/undo", headers={"If-Match": '"2"'})
    changed = widen(client, draft["id"], '"3"', 200, "width: 200").json()
    assert (changed["at"], changed["redo"]) == (3, False)
    history = client.get(f"/drafts/{draft['id']}/states").json()
    assert [(state["number"], state["before"], state["says"]) for state in history["items"]] == [
        (3, 1, "width: 200"),
        (2, 1, "width: 130"),
        (1, None, "started"),
    ]
    back = client.post(f"/drafts/{draft['id']}/undo", headers={"If-Match": '"4"'}).json()
    forth = client.post(f"/drafts/{draft['id']}/redo", headers={"If-Match": f'"{back["version"]}"'}).json()
    assert forth["document"]["dimensions"]["width"]["base"] == 200


def test_a_draft_becomes_a_pattern_and_then_its_next_revision(client: Client, draft: dict[str, Any]) -> None:
    made = client.post(f"/drafts/{draft['id']}/publish", json={}, headers={"If-Match": '"1"'})
    assert made.status_code == 201
    pattern = client.get(f"/patterns/{made.json()['pattern']}").json()
    assert pattern["head"] == made.json()["revision"]
    assert made.headers["etag"] == '"2"'
    assert widen(client, draft["id"], '"2"').status_code == 200
    second = client.post(f"/drafts/{draft['id']}/publish", json={}, headers={"If-Match": '"3"'}).json()
    assert (second["pattern"], second["number"]) == (pattern["id"], 2)
    assert second["draft"]["base"] == second["revision"]


def test_publishing_over_a_head_that_has_moved_on_needs_its_name(client: Client, pattern: dict[str, str]) -> None:
    started = client.post("/drafts", json={"pattern": pattern["id"]}).json()
    widen(client, started["id"], '"1"')
    moved = client.post(
        f"/patterns/{pattern['id']}/revisions",
        json={"document": pattern_document(width=500)},
        headers={"If-Match": f'"{pattern["head"]}"'},
    ).json()
    publish = f"/drafts/{started['id']}/publish"
    refused = client.post(publish, json={}, headers={"If-Match": '"2"'})
    assert (refused.status_code, refused.json()["head"]) == (412, moved["id"])
    made = client.post(publish, json={"over": moved["id"]}, headers={"If-Match": '"2"'})
    assert (made.status_code, made.json()["number"]) == (201, 3)


def test_a_draft_that_cannot_be_graded_is_not_published(client: Client) -> None:
    started = client.post("/drafts", json={"document": {"name": "half"}}).json()
    refused = client.post(f"/drafts/{started['id']}/publish", json={}, headers={"If-Match": '"1"'})
    assert (refused.status_code, refused.json()["faults"][0]["path"]) == (422, "pieces")
    assert client.get("/patterns").json()["total"] == 0


def test_a_draft_that_was_removed_is_gone(client: Client, draft: dict[str, Any]) -> None:
    assert client.delete(f"/drafts/{draft['id']}", headers={"If-Match": '"9"'}).status_code == 412
    assert client.delete(f"/drafts/{draft['id']}", headers={"If-Match": '"1"'}).status_code == 204
    for path in ("", "/states", "/picture"):
        assert client.get(f"/drafts/{draft['id']}{path}").status_code == 404
    assert client.get("/drafts").json() == {"items": [], "total": 0}


def test_the_draft_changed_last_comes_first(client: Client) -> None:
    made = [client.post("/drafts", json={"document": pattern_document(name)}).json()["id"] for name in ("a", "b")]
    widen(client, made[0], '"1"')
    assert [item["id"] for item in client.get("/drafts").json()["items"]] == made


def test_what_is_lit_in_the_drawing_is_named(client: Client, draft: dict[str, Any]) -> None:
    lit = client.get(f"/drafts/{draft['id']}/picture", params={"lit": "seam:side"})
    assert (lit.status_code, lit.headers["content-type"]) == (200, "image/svg+xml")
    assert "seam:side" in lit.text
    assert client.get(f"/drafts/{draft['id']}/picture", params={"lit": "<svg>"}).status_code == 422


def test_a_patch_that_leads_nowhere_changes_nothing(client: Client, draft: dict[str, Any]) -> None:
    for operations in ([], [{"op": "remove", "path": "/none"}], [{"op": "jump", "path": "/name"}]):
        refused = client.patch(f"/drafts/{draft['id']}", json={"patch": operations}, headers={"If-Match": '"1"'})
        assert refused.status_code == 422, operations
        assert refused.json()["faults"]
    assert client.get(f"/drafts/{draft['id']}").headers["etag"] == '"1"'
    assert client.get(f"/drafts/{NOWHERE}").status_code == 404


def test_a_part_is_renamed_with_all_that_names_it_in_one_change(client: Client) -> None:
    document = {**pattern_document(), "sizes": {"mini": {"set": {"width": 100}}}}
    draft = client.post("/drafts", json={"document": document}).json()
    asked = {"kind": "dimension", "from": "width", "to": "breadth"}
    assert client.post(f"/drafts/{draft['id']}/rename", json=asked).status_code == 428
    made = client.post(f"/drafts/{draft['id']}/rename", json=asked, headers={"If-Match": '"1"'})
    assert (made.status_code, made.headers["etag"]) == (200, '"2"')
    assert made.json()["says"] == "dimension width renamed breadth"
    assert made.json()["document"]["sizes"]["mini"]["set"] == {"breadth": 100}
    assert "breadth" in made.json()["document"]["dimensions"]
    late = client.post(f"/drafts/{draft['id']}/rename", json=asked, headers={"If-Match": '"1"'})
    assert (late.status_code, late.json()["type"]) == (412, "/problems/stale-draft")
    refused = client.post(f"/drafts/{draft['id']}/rename", json=asked, headers={"If-Match": '"2"'})
    assert (refused.status_code, refused.json()["faults"][0]["path"]) == (422, "from")
    back = client.post(f"/drafts/{draft['id']}/undo", headers={"If-Match": '"2"'}).json()
    assert back["document"] == document


def test_a_size_of_a_draft_is_tried_and_kept_nowhere(client: Client, draft: dict[str, Any]) -> None:
    made = client.post(f"/drafts/{draft['id']}/trials", json={"request": {"scale": "7/10"}})
    assert made.status_code == 200
    assert made.json()["grade"]["size"] == {"name": None, "request": {"scale": "7/10"}}
    assert made.json()["answer"]["says"]
    assert client.get(f"/drafts/{draft['id']}").headers["etag"] == '"1"'
    refused = client.post(f"/drafts/{draft['id']}/trials", json={"size": "contradictory"})
    assert (refused.status_code, refused.json()["type"]) == (409, "/problems/conflict")
