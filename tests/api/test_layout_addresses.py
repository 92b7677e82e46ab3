"""Layouts and jobs by their addresses, with a solver that answers at once or when it is let go on."""

from __future__ import annotations

import time
from typing import Any

import pytest

from api.negotiation import preferred_wait
from api.settings import Settings
from tests.api.conftest import Client
from tests.api.support import (
    NO_PATTERN,
    NOWHERE,
    PROGRESS,
    TOO_WIDE,
    ScriptedSolver,
    layouts_document,
    pattern_document,
    signed_in,
)
from tests.storage.support import rows

LATER = {"Prefer": "respond-async"}
SOON = {"Prefer": "wait=20"}


def _ask(client: Client, grade: dict[str, str], headers: dict[str, str] | None = None, **body: Any) -> Any:
    return client.post(f"/grades/{grade['id']}/layouts", json=body, headers=headers or SOON)


def _ended(client: Client, address: str) -> dict[str, Any]:
    for _ in range(1000):
        job: dict[str, Any] = client.get(address).json()
        if job["state"] not in {"waiting", "working"}:
            return job
        time.sleep(0.01)
    pytest.fail("The job does not end.")


def test_layouts_say_where_they_lie(client: Client, grade: dict[str, str]) -> None:
    answer = _ask(client, grade, settings={"effort": "quick"})
    assert answer.status_code == 201
    assert answer.headers["location"] == f"/layouts/{answer.json()['id']}"
    assert answer.json()["grade"] == grade["id"]
    assert client.get(answer.headers["location"]).json() == layouts_document()


def test_the_same_layouts_are_made_once(client: Client, grade: dict[str, str], solver: ScriptedSolver) -> None:
    first = _ask(client, grade, settings={"effort": "quick", "seed": 3})
    second = _ask(client, grade, settings={"seed": 3, "effort": "quick"})
    assert (first.status_code, second.status_code) == (201, 200)
    assert first.json() == second.json()
    assert [task for task, _ in solver.asked].count("layouts") == 1


def test_with_a_time_limit_layouts_are_looked_for_again_and_named_by_what_they_are(
    client: Client, grade: dict[str, str], solver: ScriptedSolver
) -> None:
    answers = [_ask(client, grade, seconds=5) for _ in range(2)]
    other = _ask(client, grade, seconds=5, settings={"seed": 1})
    assert [answer.status_code for answer in (*answers, other)] == [201, 200, 201]
    assert answers[0].json()["id"] == answers[1].json()["id"] != other.json()["id"]
    asked = [arguments for task, arguments in solver.asked if task == "layouts"]
    assert len(asked) == 3
    assert all(0 < arguments["until"] - time.monotonic() <= 5 for arguments in asked)


def test_layouts_of_one_grade_are_not_those_of_another(client: Client, pattern: dict[str, str]) -> None:
    address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}/grades"
    grades = [client.post(address, json={"size": size}).json() for size in ("base", "mini")]
    names = {_ask(client, grade).json()["id"] for grade in grades}
    assert len(names) == 2


def test_layouts_come_as_json_as_a_table_or_as_a_picture(client: Client, grade: dict[str, str]) -> None:
    address = _ask(client, grade).headers["location"]
    forms = {
        kind: client.get(address, headers={"Accept": kind})
        for kind in ("application/json", "text/csv", "image/svg+xml")
    }
    assert forms["text/csv"].text == "material,piece\r\nmain,panel\r\n"
    assert forms["image/svg+xml"].text.startswith("<svg")
    assert {answer.headers["content-type"].partition(";")[0] for answer in forms.values()} == set(forms)
    assert {answer.headers["vary"] for answer in forms.values()} == {"Accept"}
    assert len({answer.headers["etag"] for answer in forms.values()}) == 3
    for kind, answer in forms.items():
        known = {"Accept": kind, "If-None-Match": answer.headers["etag"]}
        assert client.get(address, headers=known).status_code == 304
    assert client.get(address, headers={"Accept": "application/pdf"}).status_code == 406


def test_a_picture_may_be_of_one_cloth(client: Client, grade: dict[str, str]) -> None:
    address, picture = _ask(client, grade).headers["location"], {"Accept": "image/svg+xml"}
    assert "main" in client.get(f"{address}?cloth=main", headers=picture).text
    assert client.get(f"{address}?cloth=velvet", headers=picture).status_code == 404


@pytest.mark.parametrize("query", ["cloth=", "cloth=Main", "cloth=a%0A", "cloth=a&cloth=b", "cloths=main", "cloth=%00"])
def test_a_cloth_that_no_cloth_is_called_by_is_a_fault(client: Client, grade: dict[str, str], query: str) -> None:
    answer = client.get(f"{_ask(client, grade).headers['location']}?{query}")
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/faults")
    assert answer.json()["faults"][0]["path"].startswith("query.cloth")


def test_what_takes_longer_is_a_job_that_tells_how_far_it_has_come(
    client: Client, grade: dict[str, str], solver: ScriptedSolver
) -> None:
    solver.held = True
    begun = _ask(client, grade, LATER, settings={"effort": "slow search"})
    assert begun.status_code == 202
    assert begun.headers["preference-applied"] == "respond-async"
    address = begun.headers["location"]
    assert address == f"/jobs/{begun.json()['id']}"
    job = client.get(address).json()
    assert (job["state"], job["kind"], job["progress"], job["result"]) == (
        "working",
        "layouts",
        {"main": PROGRESS},
        None,
    )
    solver.held = False
    done = _ended(client, address)
    assert (done["state"], done["progress"], done["problem"]) == ("done", {"main": PROGRESS}, None)
    assert client.get(done["result"]).json() == layouts_document()
    assert _ask(client, grade, settings={"effort": "slow search"}).status_code == 200


def test_a_job_that_no_worker_has_taken_up_is_waiting(
    client: Client, grade: dict[str, str], solver: ScriptedSolver
) -> None:
    solver.held = True
    address = _ask(client, grade, LATER, settings={"effort": "queued"}).headers["location"]
    assert (client.get(address).json()["state"], client.get(address).json()["progress"]) == ("waiting", {})


def test_a_wait_that_is_preferred_is_kept_to(client: Client, grade: dict[str, str]) -> None:
    answer = _ask(client, grade, {"Prefer": "wait=7"})
    assert (answer.status_code, answer.headers["preference-applied"]) == (201, "wait=7")
    assert "preference-applied" not in _ask(client, grade, {"Prefer": "handling=lenient"}).headers


@pytest.mark.parametrize(
    ("header", "seconds"),
    [
        (None, None),
        ("wait=10", 10),
        ("respond-async, wait=10", 10),
        ("Wait = 5 ; foo=bar", 5),
        ('wait="3"', 3),
        ("wait=9999", 60),
        ("wait=1, wait=2", 1),
        ("respond-async", 0),
        ("wait=soon", None),
        ("wait=-1, respond-async", 0),
        ("return=minimal", None),
        (";;,=", None),
    ],
)
def test_what_is_preferred_is_read_as_rfc_7240_has_it(header: str | None, seconds: int | None) -> None:
    assert preferred_wait(header, 60) == seconds


def test_the_same_request_joins_the_job_that_is_at_it(
    client: Client, grade: dict[str, str], solver: ScriptedSolver
) -> None:
    solver.held = True
    first, second = (_ask(client, grade, LATER, settings={"effort": "slow search"}) for _ in range(2))
    limited = _ask(client, grade, LATER, settings={"effort": "slow search"}, seconds=9)
    assert first.headers["location"] == second.headers["location"] != limited.headers["location"]


def test_a_cancelled_job_has_no_result_and_stays_cancelled(
    client: Client, grade: dict[str, str], solver: ScriptedSolver
) -> None:
    solver.held = True
    address = _ask(client, grade, LATER, settings={"effort": "slow search"}).headers["location"]
    assert (client.delete(address).status_code, client.delete(address).status_code) == (204, 204)
    solver.held = False
    job = client.get(address).json()
    assert (job["state"], job["result"], job["problem"]) == ("cancelled", None, None)
    assert _ask(client, grade, settings={"effort": "slow search"}).status_code == 201


def test_cancelling_what_is_done_changes_nothing(client: Client, grade: dict[str, str], solver: ScriptedSolver) -> None:
    solver.held = True
    address = _ask(client, grade, LATER, settings={"effort": "slow search"}).headers["location"]
    solver.held = False
    done = _ended(client, address)
    assert client.delete(address).status_code == 204
    assert client.get(address).json() == done


def test_a_failure_of_a_job_is_told_by_it_without_a_word_of_the_inside(
    client: Client, grade: dict[str, str], solver: ScriptedSolver
) -> None:
    solver.held = True
    address = _ask(client, grade, LATER, settings={"effort": "fails late"}).headers["location"]
    solver.held = False
    job = _ended(client, address)
    assert (job["state"], job["result"]) == ("failed", None)
    assert (job["problem"]["type"], job["problem"]["status"]) == ("/problems/unexpected", 500)
    assert "secret" not in client.get(address).text


@pytest.mark.parametrize(
    ("effort", "status", "kind"),
    [
        ("none", 422, "faults"),
        ("wide", 409, "does-not-fit"),
        ("old", 409, "grade-outdated"),
        ("long", 503, "out-of-time"),
        ("busy", 503, "busy"),
    ],
)
def test_what_cannot_be_laid_is_a_problem_and_no_job(
    client: Client, settings: Settings, grade: dict[str, str], effort: str, status: int, kind: str
) -> None:
    answer = _ask(client, grade, settings={"effort": effort})
    assert (answer.status_code, answer.json()["type"]) == (status, f"/problems/{kind}")
    assert answer.headers["content-type"] == "application/problem+json"
    if kind == "does-not-fit":
        assert answer.json()["faults"] == [TOO_WIDE]
    assert rows(settings.database_url, "SELECT count(*) FROM jobs") == [(0,)]


@pytest.mark.parametrize(
    "body", [{"seconds": 0}, {"seconds": 61}, {"seconds": "5"}, {"seconds": None}, {"settings": []}, {"setting": {}}]
)
def test_layouts_are_asked_for_as_described(client: Client, grade: dict[str, str], body: dict[str, Any]) -> None:
    assert _ask(client, grade, **body).status_code == 422


def test_layouts_and_jobs_that_are_not_there(client: Client) -> None:
    assert client.post(f"/grades/{NOWHERE}/layouts", json={}).status_code == 404
    for address in (f"/layouts/{NOWHERE}", f"/layouts/{NOWHERE}/proof", f"/jobs/{NO_PATTERN}", "/jobs/x", "/layouts/x"):
        assert client.get(address).status_code == 404
    assert client.delete(f"/jobs/{NO_PATTERN}").status_code == 404


def test_a_job_that_a_server_left_unfinished_is_begun_again_by_the_next(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("api.operations.layouts.PATIENCE", 0.01)
    held = ScriptedSolver(held=True)
    with signed_in(settings, solver=held, raise_server_exceptions=True) as before:
        stored = before.post("/patterns", json={"document": pattern_document()}).json()
        address = f"/patterns/{stored['id']}/revisions/{stored['head']}/grades"
        grade = before.post(address, json={"size": "mini"}).json()
        job = _ask(before, grade, LATER, settings={"effort": "slow search"}).headers["location"]
        gone = _ask(before, grade, LATER, settings={"effort": "queued"}).headers["location"]
        assert before.delete(gone).status_code == 204
    with signed_in(settings, solver=ScriptedSolver(full=3), raise_server_exceptions=True) as after:
        done = _ended(after, job)
        assert done["state"] == "done"
        assert after.get(done["result"]).json() == layouts_document()
        assert after.get(gone).json()["state"] == "cancelled"


def test_stored_layouts_are_verified_and_sent_ones_too(
    client: Client, grade: dict[str, str], solver: ScriptedSolver
) -> None:
    made = _ask(client, grade).json()["id"]
    assert client.post("/verifications", json={"layouts_id": made}).json()["holds"]
    proof = client.get(f"/layouts/{made}/proof")
    assert proof.json()["holds"]
    assert client.get(f"/layouts/{made}/proof", headers={"If-None-Match": proof.headers["etag"]}).status_code == 304
    sent = {"document": {}, "grade": {"format": 1}, "layouts": layouts_document()}
    assert client.post("/verifications", json=sent).json()["holds"]
    assert all("layouts" in arguments for task, arguments in solver.asked if task == "judge")
    assert client.post("/verifications", json={"layouts_id": made, "document": {}}).status_code == 422


def test_supplies_take_layouts_of_their_own_grade_only(client: Client, pattern: dict[str, str]) -> None:
    address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}/grades"
    base, mini = (client.post(address, json={"size": size}).json() for size in ("base", "mini"))
    laid = _ask(client, base).json()["id"]
    assert client.get(f"/grades/{base['id']}/supplies?layouts={laid}").json()["with_cloth"]
    assert not client.get(f"/grades/{base['id']}/supplies").json()["with_cloth"]
    table = client.get(f"/grades/{base['id']}/supplies", headers={"Accept": "text/csv"})
    assert (table.text, table.headers["vary"]) == ("kind,name\r\nzip,main_zip\r\n", "Accept")
    for answer, path in (
        (client.get(f"/grades/{mini['id']}/supplies?layouts={laid}"), "query.layouts"),
        (client.post(f"/grades/{mini['id']}/supplies", json={"layouts": laid}), "layouts"),
        (client.get(f"/grades/{mini['id']}/supplies?layouts=x"), "query.layouts"),
    ):
        assert (answer.status_code, answer.json()["faults"][0]["path"]) == (422, path)
    assert client.get(f"/grades/{mini['id']}/supplies?layouts={NOWHERE}").status_code == 404
    counted = client.post(f"/grades/{mini['id']}/supplies", json={"settings": {"waste": "20 %"}})
    assert counted.json()["settings"] == {"waste": "20 %"}
