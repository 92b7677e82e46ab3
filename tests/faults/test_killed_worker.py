"""A process that calculates is killed: the request is answered, nothing is kept, and the next one finds another."""

from __future__ import annotations

import json
import signal
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import psutil
import pytest

from tests.benchmarks import demo
from tests.faults.server import REAL, Answer, Served, served, sqlite_in
from tests.storage.support import rows

LONGEST = 90.0
SMALLEST = "market_tote"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("workers")


@pytest.fixture(scope="module")
def server(folder: Path) -> Iterator[Served]:
    with served(folder, command=REAL, SIZEWRIGHT_WORKERS="2") as started:
        yield started


@pytest.fixture(scope="module")
def revision(server: Served) -> str:
    """The address of a pattern's revision, once every worker has loaded what it needs."""
    answer = server.ask("POST", "/patterns", {"document": demo.document(SMALLEST)})
    assert answer.status == 201, answer.content
    stored = answer.json()
    return f"/patterns/{stored['id']}/revisions/{stored['head']}"


def _workers(server: Served) -> list[psutil.Process]:
    return psutil.Process(server.process.pid).children()


def _until(fulfilled: Callable[[], Any]) -> Any:
    until = time.monotonic() + LONGEST
    while not (found := fulfilled()):
        assert time.monotonic() < until
        time.sleep(0.02)
    return found


def _count(folder: Path, table: str) -> int:
    return int(rows(sqlite_in(folder), f"SELECT count(*) FROM {table}")[0][0])


def _busy(server: Served) -> int:
    """Workers with a task in hand, as the server tells."""
    lines = server.ask("GET", "/metrics").content.decode().splitlines()
    return int(float(next(line for line in lines if line.startswith('sizewright_workers{state="busy"}')).split()[-1]))


def test_a_request_whose_worker_is_killed_is_answered_and_leaves_nothing(
    server: Served, folder: Path, revision: str
) -> None:
    _until(lambda: _busy(server) == 0)
    stopped = _workers(server)
    for worker in stopped:
        worker.send_signal(signal.SIGSTOP)
    answers: list[Answer] = []
    asking = threading.Thread(target=lambda: answers.append(server.ask("POST", f"{revision}/grades", {"size": "mini"})))
    asking.start()
    _until(lambda: _busy(server) == 1)
    for worker in stopped:
        worker.kill()
    asking.join(LONGEST)
    assert answers[0].status == 500
    assert answers[0].json()["type"] == "/problems/unexpected"
    assert b"Traceback" not in answers[0].content
    assert _count(folder, "grades") == 0
    for worker in stopped:
        worker.wait(LONGEST)
    time.sleep(0.5)
    again = server.ask("POST", f"{revision}/grades", {"size": "mini"})
    assert again.status == 201
    assert _count(folder, "grades") == 1


def test_a_job_whose_worker_is_killed_ends_and_may_be_asked_again(server: Served, folder: Path, revision: str) -> None:
    grade = server.ask("POST", f"{revision}/grades", {"size": "mini"}).json()["id"]
    body = {"settings": {"effort": "thorough", "widths": []}}
    begun = server.ask("POST", f"/grades/{grade}/layouts", body, Prefer="respond-async")
    assert begun.status == 202, begun.content
    job = begun.headers["location"]
    _until(lambda: server.ask("GET", job).json()["state"] == "working")
    for worker in _workers(server):
        worker.kill()
    ended = _until(lambda: _ended(server, job))
    assert ended["state"] in ("failed", "done")
    assert (ended["state"] == "failed") == (ended.get("problem") is not None)
    assert _count(folder, "layouts") == (ended["state"] == "done")
    quick = {"settings": {"effort": "quick", "widths": []}}
    laid = server.ask("POST", f"/grades/{grade}/layouts", quick, Prefer="wait=60")
    assert laid.status in (200, 201), laid.content
    assert json.loads(server.ask("GET", laid.headers["location"]).content)["kind"] == "layouts"


def _ended(server: Served, job: str) -> Any:
    told = server.ask("GET", job).json()
    return told if told["state"] not in ("waiting", "working") else None
