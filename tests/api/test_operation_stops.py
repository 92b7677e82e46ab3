"""A server that is told to stop, and one that is killed: what is in hand is answered, or done by the next."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from api.settings import Settings
from tests.api.support import authorization

ROOT = Path(__file__).parents[2]
TOTE = json.loads((ROOT / "demo_requests" / "patterns" / "market_tote.json").read_text(encoding="utf-8"))
START = (
    "import sys; from api.server import serve; from api.settings import Settings; serve(Settings.from_environment())"
)
PATIENCE = 120


@dataclass
class Running:
    """A server as a process of its own, with one database through all its starts."""

    folder: Path
    port: int
    process: subprocess.Popen[bytes] | None = None
    logs: list[Path] = field(default_factory=list)

    @property
    def database(self) -> str:
        return f"sqlite:///{self.folder / 'x.db'}"

    def start(self, **more: str) -> None:
        surroundings = {**os.environ, "DATABASE_URL": self.database, "SIZEWRIGHT_PORT": str(self.port), **more}
        self.logs.append(self.folder / f"{len(self.logs)}.log")
        with self.logs[-1].open("wb") as log:
            self.process = subprocess.Popen([sys.executable, "-c", START], cwd=ROOT, env=surroundings, stderr=log)
        self.until(self.is_open)

    def is_open(self) -> bool:
        with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", self.port), 1):
            return True
        return False

    def until(self, holds: Callable[[], bool]) -> None:
        deadline = time.monotonic() + PATIENCE
        while not holds():
            assert time.monotonic() < deadline
            time.sleep(0.02)

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> tuple[int, dict[str, str], bytes]:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        key = authorization(Settings(database_url=self.database))
        sent = {**key, "Content-Type": "application/json", **headers}
        with contextlib.closing(connection):
            connection.request(method, path, None if body is None else json.dumps(body), sent)
            answer = connection.getresponse()
            return answer.status, {name.lower(): value for name, value in answer.getheaders()}, answer.read()

    def stored(self) -> str:
        made = json.loads(self.ask("POST", "/patterns", {"document": TOTE})[2])
        return f"/patterns/{made['id']}/revisions/{made['head']}"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Running]:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        running = Running(tmp_path, probe.getsockname()[1])
    try:
        yield running
    finally:
        if running.process is not None:
            running.process.kill()
            running.process.wait(20)


def test_a_request_in_hand_is_answered_in_full_and_no_other_is_taken(server: Running) -> None:
    server.start(SIZEWRIGHT_STOP_TIME="100", SIZEWRIGHT_TIME_LIMIT="100")
    address = server.stored()
    rows = [[300 + place % 100 * 0.5, 380 + place % 37] for place in range(60_000)]
    answers: list[tuple[int, dict[str, str], bytes]] = []
    body = {"columns": ["width", "height"], "rows": rows}
    asking = threading.Thread(target=lambda: answers.append(server.ask("POST", f"{address}/batches", body)))
    asking.start()

    def at_work() -> bool:
        return b"sizewright_requests_in_hand 1.0" in server.ask("GET", "/metrics")[2]

    server.until(at_work)
    assert server.process is not None
    server.process.terminate()
    server.until(lambda: not server.is_open())
    asking.join(PATIENCE)
    status, _, content = answers[0]
    assert status == 200
    assert [json.loads(line)["row"] for line in content.splitlines()] == list(range(60_000))
    assert server.process.wait(PATIENCE) in (0, -15)
    lines = [json.loads(line) for line in server.logs[0].read_text().splitlines()]
    assert {line["level"] for line in lines} <= {"info", "warning"}
    assert [line["status"] for line in lines if line.get("operation") == "solveBatch"] == ["200"]
    key = authorization(Settings(database_url=server.database))["Authorization"]
    assert key.removeprefix("Bearer ") not in server.logs[0].read_text()


def test_a_job_of_a_server_that_was_killed_is_done_by_the_next(server: Running) -> None:
    server.start(SIZEWRIGHT_JOB_LEASE="3")
    grade = json.loads(server.ask("POST", f"{server.stored()}/grades", {"size": "base"})[2])["id"]
    body = {"settings": {"effort": "quick"}}
    status, headers, _ = server.ask("POST", f"/grades/{grade}/layouts", body, Prefer="respond-async")
    assert status == 202
    assert server.process is not None
    server.process.kill()
    server.process.wait(20)
    server.start(SIZEWRIGHT_JOB_LEASE="3")

    def state() -> dict[str, Any]:
        job: dict[str, Any] = json.loads(server.ask("GET", headers["location"])[2])
        return job

    server.until(lambda: state()["state"] not in ("waiting", "working"))
    assert state()["state"] == "done"
    assert server.ask("GET", state()["result"])[0] == 200


def test_a_variable_that_is_not_known_keeps_the_server_from_starting(tmp_path: Path) -> None:
    surroundings = {**os.environ, "DATABASE_URL": f"sqlite:///{tmp_path / 'x.db'}", "SIZEWRIGHT_WORKRES": "4"}
    command = [sys.executable, "-m", "api.command", "serve"]
    told = subprocess.run(
        command, cwd=ROOT, env=surroundings, capture_output=True, text=True, timeout=PATIENCE, check=False
    )
    assert told.returncode != 0
    assert "SIZEWRIGHT_WORKRES is not known; SIZEWRIGHT_WORKERS is the nearest that is." in told.stderr
    assert "Traceback" not in told.stderr
