from __future__ import annotations

import json

import pytest

from api.operations.grades import Asked, make
from api.storage.workshops import HOUSE
from tests.api.conftest import Client
from tests.api.support import CONFLICT, NO_PATTERN, NOWHERE, ScriptedSolver, grade_document


def _grades_of(pattern: dict[str, str]) -> str:
    return f"/patterns/{pattern['id']}/revisions/{pattern['head']}/grades"


def test_a_grade_says_where_it_lies(client: Client, pattern: dict[str, str]) -> None:
    answer = client.post(_grades_of(pattern), json={"size": "mini"})
    made = answer.json()
    assert answer.status_code == 201
    assert answer.headers["location"] == f"/grades/{made['id']}"
    assert (made["pattern"], made["revision"], made["size"]) == (pattern["id"], pattern["head"], "mini")


def test_the_same_grade_is_made_once(client: Client, pattern: dict[str, str], solver: ScriptedSolver) -> None:
    first = client.post(_grades_of(pattern), json={"request": {"set": {"b": "1 m", "a": "2 m"}, "others": "at base"}})
    second = client.post(_grades_of(pattern), json={"request": {"others": "at base", "set": {"a": "2 m", "b": "1 m"}}})
    assert (first.status_code, second.status_code) == (201, 200)
    assert first.json() == second.json()
    assert second.headers["location"] == first.headers["location"]
    assert [task for task, _ in solver.asked].count("grade") == 1


def test_of_two_requests_for_one_grade_the_slower_gets_what_the_quicker_stored(
    client: Client, pattern: dict[str, str], solver: ScriptedSolver, monkeypatch: pytest.MonkeyPatch
) -> None:
    scripted = solver.run

    async def overtaken(task: str, **arguments: object) -> object:
        monkeypatch.setattr(solver, "run", scripted)
        quicker = await make(
            client.app.state.bench.of(HOUSE), pattern["id"], pattern["head"], Asked("mini", None, None)
        )
        assert quicker.new
        return await scripted(task, **arguments)

    monkeypatch.setattr(solver, "run", overtaken)
    assert client.post(_grades_of(pattern), json={"size": "mini"}).status_code == 200


def test_size_request_and_ruler_reach_the_solver(
    client: Client, pattern: dict[str, str], solver: ScriptedSolver
) -> None:
    client.post(_grades_of(pattern), json={"request": {"scale": 0.7}, "ruler": "1/8 in"})
    task, arguments = solver.asked[-1]
    asked = {name: arguments[name] for name in ("size", "request", "ruler")}
    assert (task, asked) == ("grade", {"size": None, "request": {"scale": 0.7}, "ruler": "1/8 in"})


def test_other_rulers_and_sizes_are_other_grades(client: Client, pattern: dict[str, str]) -> None:
    asked = [{"size": "mini"}, {"size": "base"}, {"size": "mini", "ruler": "2 mm"}, {"request": {"scale": 1}}]
    names = {client.post(_grades_of(pattern), json=body).json()["id"] for body in asked}
    assert len(names) == len(asked)


def test_a_conflict_lists_its_relations(client: Client, pattern: dict[str, str]) -> None:
    answer = client.post(_grades_of(pattern), json={"size": "contradictory"})
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/conflict")
    assert answer.json()["relations"] == [CONFLICT]


def test_a_ruler_out_of_reach_says_which_would_do(client: Client, pattern: dict[str, str]) -> None:
    answer = client.post(_grades_of(pattern), json={"size": "coarse", "ruler": "5 mm"})
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/ruler-out-of-reach")
    assert answer.json()["relations"] == [CONFLICT]
    assert "5 mm" in answer.json()["detail"]
    assert "2 mm" in answer.json()["detail"]


def test_an_unknown_size_is_a_fault_of_the_request(client: Client, pattern: dict[str, str]) -> None:
    answer = client.post(_grades_of(pattern), json={"size": "enormous"})
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["path"] == "size"


@pytest.mark.parametrize("body", [{}, {"size": "mini", "request": {"scale": 1}}, {"size": None}, {"ruler": "1 mm"}])
def test_a_grade_is_asked_for_in_one_way(client: Client, pattern: dict[str, str], body: dict[str, object]) -> None:
    answer = client.post(_grades_of(pattern), json=body)
    assert answer.status_code == 422
    assert answer.json()["faults"]


def test_grades_of_what_does_not_exist_are_not_found(client: Client, pattern: dict[str, str]) -> None:
    for address in (
        f"/patterns/{NO_PATTERN}/revisions/{pattern['head']}",
        f"/patterns/{pattern['id']}/revisions/{NOWHERE}",
    ):
        assert client.post(f"{address}/grades", json={"size": "mini"}).status_code == 404


def test_a_grade_is_sent_as_it_was_stored(client: Client, grade: dict[str, str]) -> None:
    answer = client.get(f"/grades/{grade['id']}")
    assert answer.text == json.dumps(grade_document("mini", None))
    assert answer.headers["content-type"] == "application/json"
    assert answer.headers["vary"] == "Accept"


def test_a_cut_list_comes_as_rows_or_as_a_table(client: Client, grade: dict[str, str]) -> None:
    address = f"/grades/{grade['id']}/cut-list"
    rows = client.get(address)
    assert rows.json() == {"rows": [{"letter": "A", "piece": "panel"}]}
    table = client.get(address, headers={"Accept": "text/csv"})
    assert table.text == "letter,piece\r\nA,panel\r\n"
    assert table.headers["content-type"] == "text/csv; charset=utf-8"
    assert rows.headers["vary"] == table.headers["vary"] == "Accept"
    assert rows.headers["etag"] != table.headers["etag"]


def test_a_tag_stands_for_one_format(client: Client, grade: dict[str, str]) -> None:
    address = f"/grades/{grade['id']}/cut-list"
    tag = client.get(address).headers["etag"]
    assert client.get(address, headers={"If-None-Match": tag}).status_code == 304
    assert client.get(address, headers={"If-None-Match": tag, "Accept": "text/csv"}).status_code == 200


def test_the_proof_has_certificate_and_claims(client: Client, grade: dict[str, str]) -> None:
    proof = client.get(f"/grades/{grade['id']}/proof").json()
    assert proof == {"certificate": {}, "claims": [{"name": "closed:panel", "holds": True}]}


@pytest.mark.parametrize("part", ["", "/cut-list", "/proof"])
def test_a_format_that_cannot_be_given_is_a_problem(client: Client, grade: dict[str, str], part: str) -> None:
    answer = client.get(f"/grades/{grade['id']}{part}", headers={"Accept": "application/pdf"})
    assert (answer.status_code, answer.headers["content-type"]) == (406, "application/problem+json")


def test_a_stored_grade_is_verified(client: Client, grade: dict[str, str], solver: ScriptedSolver) -> None:
    answer = client.post("/verifications", json={"grade_id": grade["id"]})
    assert (answer.status_code, answer.json()["holds"]) == (200, True)
    task, arguments = solver.asked[-1]
    assert (task, arguments["grade"]) == ("judge", json.dumps(grade_document("mini", None)))
    assert client.post("/verifications", json={"grade_id": NOWHERE}).status_code == 404


def test_posted_grades_and_measured_pieces_are_verified(client: Client) -> None:
    graded = client.post("/verifications", json={"document": {}, "grade": {"format": 1}})
    measured = client.post("/verifications", json={"document": {}, "measured": {"pieces": {}}})
    assert (graded.json()["measured"], measured.json()["measured"]) == (False, True)
    unreadable = client.post("/verifications", json={"document": {}, "grade": {"unreadable": 1}})
    assert unreadable.status_code == 422


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"document": {}},
        {"grade": {}},
        {"grade_id": NOWHERE, "document": {}},
        {"document": {}, "grade": {}, "measured": {}},
        {"grade_id": "x"},
    ],
)
def test_a_verification_is_asked_for_in_one_way(client: Client, body: dict[str, object]) -> None:
    assert client.post("/verifications", json=body).status_code == 422


@pytest.mark.parametrize(("size", "kind"), [("busy", "busy"), ("slow", "out-of-time")])
def test_work_that_cannot_be_done_now_may_be_tried_again(
    client: Client, pattern: dict[str, str], size: str, kind: str
) -> None:
    answer = client.post(_grades_of(pattern), json={"size": size})
    assert (answer.status_code, answer.json()["type"]) == (503, f"/problems/{kind}")
    assert int(answer.headers["retry-after"]) > 0


def test_a_failure_inside_tells_nothing_of_the_inside(client: Client, pattern: dict[str, str]) -> None:
    answer = client.post(_grades_of(pattern), json={"size": "broken"})
    assert (answer.status_code, answer.json()["type"]) == (500, "/problems/unexpected")
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
