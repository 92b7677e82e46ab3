"""How a server is looked after: ids of requests, the log, measures, whether it is alive and ready, and has room."""

from __future__ import annotations

import io
import json
import logging
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from prometheus_client.parser import text_string_to_metric_families
from sqlalchemy import text

from api.jobs.executor import NoWorkers
from api.jobs.traces import traced
from api.logs import configure, formatter, logger
from api.settings import Settings
from api.storage.database import Database
from tests.api.conftest import Client
from tests.api.shop import ShopSolver, place, quoted
from tests.api.support import NO_PATTERN, ScriptedSolver, authorization, pattern_document, signed_in

TOKEN = "a-token-for-metrics-1"
CUSTOMER = {"reference": "shop-2041-Quincy", "name": "Ottilie Quincy", "contact": "ottilie@example.org"}
NOTES = "rings twice; the dog is called Bramble"


@dataclass
class TellingSolver(ShopSolver):
    """One that goes wrong with all that it was sent in its error, as libraries do."""

    async def run(self, task: str, **arguments: Any) -> Any:
        if "goes wrong" in json.dumps(arguments):
            raise ValueError(f"cannot use {arguments}")
        if "nobody" in json.dumps(arguments):
            raise NoWorkers
        return await super().run(task, **arguments)


@pytest.fixture
def database_url(tmp_path: Path) -> str:
    """On SQLite alone: nothing here hangs on what is stored how."""
    return f"sqlite+aiosqlite:///{tmp_path / 'sizewright.db'}"


@pytest.fixture
def solver() -> ShopSolver:
    return TellingSolver()


@contextmanager
def written_log() -> Iterator[io.StringIO]:
    """What the server writes down, at every level."""
    stream, ours = io.StringIO(), logging.getLogger("api")
    handler, before = logging.StreamHandler(stream), ours.level
    handler.setFormatter(formatter())
    ours.addHandler(handler)
    ours.setLevel(logging.DEBUG)
    try:
        yield stream
    finally:
        ours.removeHandler(handler)
        ours.setLevel(before)


@pytest.fixture
def log() -> Iterator[io.StringIO]:
    with written_log() as stream:
        yield stream


def lines_of(log: io.StringIO) -> list[dict[str, Any]]:
    return [json.loads(line) for line in log.getvalue().splitlines()]


@pytest.mark.parametrize("name", ["a", "7f3c-22.b", "x" * 64])
def test_an_id_that_a_request_brings_is_kept(client: Client, log: io.StringIO, name: str) -> None:
    answer = client.get("/patterns", headers={"X-Request-ID": name})
    assert answer.headers["x-request-id"] == name
    assert lines_of(log)[-1]["request_id"] == name


@pytest.mark.parametrize("name", ["", "x" * 65, "two words", "sw_0123456789abcdef", 'a"b', "ü"])
def test_an_id_that_could_be_anything_is_replaced(client: Client, log: io.StringIO, name: str) -> None:
    answer = client.get("/patterns", headers={b"X-Request-ID": name.encode("latin-1")})
    assert answer.status_code == 200
    assert len(answer.headers["x-request-id"]) == 32
    assert lines_of(log)[-1]["request_id"] == answer.headers["x-request-id"]


def test_every_answer_has_its_id_whatever_it_is(client: Client) -> None:
    answers = [
        client.get("/nothing"),
        client.put("/patterns"),
        client.post("/checks", json={}),
        client.post("/checks", json={"document": pattern_document("goes wrong")}),
        client.get("/health", headers={"Host": "a b"}),
        client.get("/desk"),
    ]
    assert {answer.status_code for answer in answers} >= {400, 404, 405, 422, 500}
    assert len({answer.headers["x-request-id"] for answer in answers}) == len(answers)


def test_each_request_is_a_line_that_says_what_was_done_and_how_it_went(client: Client, log: io.StringIO) -> None:
    client.get(f"/patterns/{NO_PATTERN}")
    (line,) = lines_of(log)
    assert (line["level"], line["event"]) == ("info", "request")
    assert (line["method"], line["operation"], line["status"]) == ("GET", "readPattern", "404")
    assert line["milliseconds"] >= 0
    assert line["timestamp"].endswith("Z")
    assert "/patterns/" not in log.getvalue()


def test_a_page_and_what_it_asks_of_the_interface_go_under_one_id(client: Client, log: io.StringIO) -> None:
    client.get("/desk", headers={"X-Request-ID": "one"})
    assert {line["request_id"] for line in lines_of(log)} == {"one"}


def test_nothing_that_is_secret_or_a_customers_is_written_down(client: Client, settings: Settings) -> None:
    with written_log() as log:
        pattern = client.post("/patterns", json={"document": pattern_document()}).json()
        form = client.post(f"/patterns/{pattern['id']}/forms", json={"origins": ["https://shop.example"], "says": "x"})
        key = client.post("/keys", json={"scopes": ["order"], "says": "desk of Ottilie"}).json()
        order = place(client, quoted(client, pattern), customer=CUSTOMER, notes=NOTES).json()
        client.post(f"/orders/{order['id']}/notes", json={"says": NOTES}, headers={"If-Match": "*"})
        client.post("/checks", json={"document": {**pattern_document("goes wrong"), "notes": NOTES}})
        client.post("/orders", json={"quote": "x", "customer": CUSTOMER, "notes": NOTES})
        client.get(f"/patterns?customer={CUSTOMER['reference']}")
        client.get("/patterns", headers={"Authorization": f"Bearer {form.json()['token']}"})
        client.get("/patterns", headers={"Authorization": "Bearer sw_wrong", "Cookie": f"key={key['key']}"})
        client.request("Ottilie", "/patterns")
        written = log.getvalue()
    assert [line["event"] for line in lines_of(log)].count("request") == 12
    secrets = [authorization(settings)["Authorization"], form.json()["token"], key["key"]]
    parts = [part for secret in secrets for part in (secret, secret.rpartition("_")[2])]
    for word in (*parts, *CUSTOMER.values(), NOTES, "Bramble", "Ottilie", "shop-2041", "sw_wrong"):
        assert word not in written


def test_a_fault_of_the_server_is_told_by_its_kind_and_its_places(client: Client, log: io.StringIO) -> None:
    client.post("/checks", json={"document": pattern_document("goes wrong")})
    fault, request = lines_of(log)
    assert (fault["level"], fault["event"]) == ("error", "unexpected")
    assert fault["request_id"] == request["request_id"]
    assert fault["error"][0] == "ValueError"
    assert any("test_operation.py" in place for place in fault["error"][1:])


def test_what_the_system_says_of_an_error_is_kept_and_what_it_was_given_is_not() -> None:
    try:
        try:
            open("/nowhere/Ottilie")  # noqa: PTH123, SIM115
        except OSError as error:
            raise KeyError(NOTES) from error
    except KeyError as error:
        lines = traced(error)
    assert lines[0] == "KeyError"
    assert "FileNotFoundError: No such file or directory" in lines
    assert "Ottilie" not in " ".join(lines)


def test_what_libraries_report_is_written_as_it_stands_in_their_source() -> None:
    root, stream = logging.getLogger(), io.StringIO()
    before, level = root.handlers, root.level
    try:
        configure("info", stream)
        logging.getLogger("some.library").warning("cannot reach %s", CUSTOMER["contact"])
        logging.getLogger("asyncio").error("Task exception was never retrieved\nfuture: <Task %s>" % NOTES)  # noqa: UP031
        logging.getLogger("httpx").info("HTTP Request: GET https://x.example/?%s", NOTES)
        logger().info("ready", workers=2)
    finally:
        root.handlers, root.level = before, level
    first, second, third = [json.loads(line) for line in stream.getvalue().splitlines()]
    assert (first["logger"], first["event"]) == ("some.library", "cannot reach %s")
    assert second["event"] == "Task exception was never retrieved"
    assert (third["event"], third["workers"], third["level"]) == ("ready", 2, "info")


def _measures(client: Client, **headers: str) -> dict[str, dict[tuple[str, ...], float]]:
    """Values by name and labels, read by Prometheus' own parser."""
    answer = client.get("/metrics", headers=headers)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/plain; version=0.0.4; charset=utf-8"
    found: dict[str, dict[tuple[str, ...], float]] = {}
    for family in text_string_to_metric_families(answer.text):
        for sample in family.samples:
            found.setdefault(sample.name, {})[tuple(sample.labels.values())] = sample.value
    return found


def test_requests_are_counted_and_timed_by_operation(client: Client) -> None:
    for _ in range(3):
        client.get(f"/patterns/{NO_PATTERN}")
    client.head("/patterns")
    client.get("/nothing/at/all")
    found = _measures(client)
    requests = found["sizewright_requests_total"]
    assert requests["readPattern", "404"] == 3
    assert requests["listPatterns", "200"] == 1
    assert requests["unknown", "404"] == 1
    assert found["sizewright_request_seconds_count"][("readPattern",)] == 3
    assert found["sizewright_requests_in_hand"][()] == 0


def test_tasks_are_counted_by_how_they_ended(client: Client) -> None:
    for name in ("Pouch", "busy", "slow", "broken", "nobody"):
        client.post("/checks", json={"document": pattern_document(name)})
    found = _measures(client)
    outcomes = {ended: count for (ended, task), count in found["sizewright_tasks_total"].items() if task == "check"}
    assert outcomes == {"done": 1, "queue_full": 1, "out_of_time": 1, "failed": 1, "no_workers": 1}
    assert found["sizewright_task_seconds_count"][("check",)] == 5


def test_jobs_and_workers_are_counted_by_state(client: Client, grade: dict[str, str], solver: ShopSolver) -> None:
    client.post(f"/grades/{grade['id']}/layouts", json={}, headers={"Prefer": "wait=20"})
    solver.held = True
    later = {"Prefer": "respond-async"}
    client.post(f"/grades/{grade['id']}/layouts", json={"settings": {"effort": "slow search"}}, headers=later)
    found = _measures(client)
    states = {state: count for (state,), count in found["sizewright_jobs"].items()}
    assert states == {"waiting": 1, "done": 1, "failed": 0, "cancelled": 0}
    assert set(found["sizewright_workers"]) == {("busy",), ("idle",)}
    assert found["sizewright_tasks_waiting"][()] == 0
    solver.held = False


def test_no_measure_is_labelled_with_what_belongs_to_somebody(
    client: Client, grade: dict[str, str], pattern: dict[str, str]
) -> None:
    client.get(f"/patterns/{pattern['id']}")
    content = client.get("/metrics").text
    for word in (pattern["id"], pattern["head"], grade["id"], "pouch", "mini"):
        assert word not in content.lower()


def test_measures_need_their_token_where_there_is_one(settings: Settings) -> None:
    with signed_in(replace(settings, metrics_token=TOKEN), ScriptedSolver()) as client:
        assert _measures(client, Authorization=f"Bearer {TOKEN}")
        for headers in ({"Authorization": ""}, {"Authorization": f"Bearer {TOKEN}x"}, {}, {"Authorization": "ü"}):
            answer = client.get("/metrics", headers={name.encode(): value.encode() for name, value in headers.items()})
            assert (answer.status_code, answer.json()["type"]) == (401, "/problems/no-key")
    assert TOKEN not in repr(replace(settings, metrics_token=TOKEN))


def test_a_server_that_others_can_reach_gives_no_measures_without_a_token(settings: Settings) -> None:
    with signed_in(settings, ScriptedSolver()):
        """The first key is made while nobody else can reach it."""
    with signed_in(replace(settings, host="0.0.0.0"), ScriptedSolver()) as client:
        assert client.get("/metrics").status_code == 404


def test_a_server_with_all_that_it_needs_is_ready(client: Client) -> None:
    answer = client.get("/ready")
    parts = {"database": "ok", "migrations": "ok", "workers": "ok"}
    assert (answer.status_code, answer.json()) == (200, {"status": "ready", "version": "0.1.0", **parts})


async def _down(database: Database) -> None:
    async with database.transaction() as session:
        await session.execute(text("UPDATE alembic_version SET version_num = '0001'"))


def test_what_is_missing_is_told_all_at_once(client: Client, settings: Settings) -> None:
    async def never() -> bool:
        return False

    client.app.state.executor.ready = never
    with client.portal() as portal:
        portal.call(_down, client.app.state.bench.database)
    answer = client.get("/ready")
    assert (answer.status_code, answer.json()["type"]) == (503, "/problems/not-ready")
    assert [fault["path"] for fault in answer.json()["faults"]] == ["migrations", "workers"]
    assert int(answer.headers["retry-after"]) > 0


def test_a_server_without_its_database_is_alive_and_not_ready(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    gone = Database("sqlite+aiosqlite:////nowhere/at/all/x.db")
    client.app.state.bench = replace(client.app.state.bench, database=gone)
    assert client.get("/health").json() == {"status": "ok", "version": "0.1.0"}
    answer = client.get("/ready")
    assert answer.status_code == 503
    assert answer.json()["faults"][0]["path"] == "database"


def test_what_nobody_is_there_to_do_may_be_asked_again(client: Client) -> None:
    answer = client.post("/checks", json={"document": pattern_document("nobody")})
    assert (answer.status_code, answer.json()["type"]) == (503, "/problems/no-workers")
    assert int(answer.headers["retry-after"]) > 0


def test_a_server_with_no_room_says_so_and_still_tells_how_it_is(settings: Settings) -> None:
    solver = ScriptedSolver(held=True)
    with signed_in(replace(settings, requests=1), solver) as client:
        stored = client.post("/patterns", json={"document": pattern_document()}).json()
        grades = f"/patterns/{stored['id']}/revisions/{stored['head']}/grades"
        grade = client.post(grades, json={"size": "mini"}).json()["id"]
        body, wait = {"settings": {"effort": "slow search"}}, {"Prefer": "wait=60"}
        answers: list[int] = []
        asking = threading.Thread(
            target=lambda: answers.append(client.post(f"/grades/{grade}/layouts", json=body, headers=wait).status_code)
        )
        asking.start()
        while not any(task == "layouts" for task, _ in solver.asked):
            threading.Event().wait(0.01)
        full = client.get("/patterns")
        assert (full.status_code, full.json()["type"]) == (503, "/problems/busy")
        assert int(full.headers["retry-after"]) > 0
        assert full.headers["content-type"] == "application/problem+json"
        assert full.headers["x-content-type-options"] == "nosniff"
        assert full.headers["x-request-id"]
        assert [client.get(address).status_code for address in ("/health", "/ready", "/metrics")] == [200, 200, 200]
        solver.held = False
        asking.join(20)
        assert answers == [201]
        assert client.get("/patterns").status_code == 200


def test_a_server_that_is_to_stop_answers_those_who_wait_for_a_job_at_once(settings: Settings) -> None:
    solver = ScriptedSolver(held=True)
    with signed_in(settings, solver) as client:
        stored = client.post("/patterns", json={"document": pattern_document()}).json()
        grades = f"/patterns/{stored['id']}/revisions/{stored['head']}/grades"
        grade = client.post(grades, json={"size": "mini"}).json()["id"]
        body, wait = {"settings": {"effort": "slow search"}}, {"Prefer": "wait=60"}
        answers: list[Any] = []
        asking = threading.Thread(
            target=lambda: answers.append(client.post(f"/grades/{grade}/layouts", json=body, headers=wait))
        )
        asking.start()
        while not any(task == "layouts" for task, _ in solver.asked):
            threading.Event().wait(0.01)
        with client.portal() as portal:
            portal.call(client.app.state.jobs.stop_waiting)
        asking.join(20)
        assert answers[0].status_code == 202
        job = answers[0].headers["location"]
    with signed_in(settings, ScriptedSolver()) as after:
        while (state := after.get(job).json()["state"]) in ("waiting", "working"):
            threading.Event().wait(0.01)
        assert state == "done"
