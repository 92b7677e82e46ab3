"""PostgreSQL is ended by the system while the server writes; the server stays, and goes on when it is back."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import asyncpg
import psutil
import pytest

from tests import postgresql as found
from tests.faults.server import Served, served
from tests.faults.writers import Book, Findings, Writers, looked_through
from tests.postgresql import LONGEST_START, Server

pytestmark = pytest.mark.skipif(found.programs() is None, reason=found.MISSING)
DATABASE = "sizewright"
WRITING_SECONDS = 0.4


@pytest.fixture
def server() -> Iterator[Server]:
    """One of its own, which waits until what it was told lies on the disk, as it does unless told otherwise."""
    started = Server({})
    try:
        started.create()
        started.start()
        started.run("postgres", f"CREATE DATABASE {DATABASE}")
        yield started
    finally:
        started.stop()
        started.remove()


def _answering(api: Served) -> None:
    until = time.monotonic() + LONGEST_START
    while api.ask("GET", "/patterns").status != 200:
        assert time.monotonic() < until
        time.sleep(0.05)


def _started_again(server: Server) -> None:
    """Starts it once the processes of the one before have noticed that it is gone."""
    until = time.monotonic() + LONGEST_START
    while True:
        try:
            server.start()
        except (OSError, asyncpg.PostgresError):
            assert time.monotonic() < until
            time.sleep(0.1)
        else:
            return


def _one_connection_killed(server: Server) -> None:
    """Ends a process that serves a connection: PostgreSQL then ends all of them and recovers."""
    assert server.process is not None
    serving = [
        child
        for child in psutil.Process(server.process.pid).children()
        if DATABASE in " ".join(child.cmdline()) and "[local]" in " ".join(child.cmdline())
    ]
    assert serving
    serving[0].kill()


def test_nothing_accepted_is_lost_or_doubled_when_postgresql_is_killed(server: Server, tmp_path: Path) -> None:
    url = server.url(DATABASE)
    book, findings = Book(), Findings()
    with served(tmp_path, url) as api:
        for kill in (server.kill, lambda: _one_connection_killed(server)):
            writers = Writers(api, book, seed=7)
            writers.begin()
            time.sleep(WRITING_SECONDS)
            kill()
            time.sleep(WRITING_SECONDS)
            assert api.ask("GET", "/health").status == 200
            if server.process is not None and server.process.poll() is not None:
                assert api.ask("GET", "/patterns").json()["type"] == "/problems/storage-unavailable"
                _started_again(server)
            _answering(api)
            writers.join()
            looked_through(api, book, url, findings)
    assert findings.accepted > 0
    assert findings.orders > 0
    assert findings.faults == []
    assert set(book.statuses) <= {200, 201, 503}
