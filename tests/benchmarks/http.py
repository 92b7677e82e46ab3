"""The service over HTTP beside what the machine could do without it, each ratio taken side by side in one run.

- `stored_ratio`: answers a second to a stored grade, over those of a bare Litestar handler that returns the same bytes
  with the same server; the two take turns, each with the whole machine.
- `light_p99_ms`: the wait for light requests (a grade, an order form's health, a list), sent at an even pace, while all
  workers grade.
- `fresh_ratio`: grades a second that have not been made before, over what the same worker processes reach alone, asked
  through their pipes by as many callers.
"""

from __future__ import annotations

import asyncio
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from math import ceil
from pathlib import Path
from typing import Any

import uvicorn
from litestar import Litestar, Response, get

from api.jobs.pool import PoolSettings, WorkerPool
from tests.benchmarks import demo
from tests.faults.server import REAL, Served, free_port, served, wait_for

PATTERN = demo.LARGEST
WORKERS = 2
CONNECTIONS = 4
SECONDS, TURNS = 2.0, 5
PACE = 0.02
"""Seconds between two light requests."""
GRADES, FRESH_TURNS = 24, 4
JSON_TYPE = "application/json"


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Run all three against one server with its own SQLite file."""
    turns, fresh_turns, grades = (1, 1, 6) if quick else (TURNS, FRESH_TURNS, GRADES)
    with tempfile.TemporaryDirectory() as folder, served(Path(folder), command=REAL, **_settings()) as server:
        stored = server.ask("POST", "/patterns", {"document": demo.document(PATTERN)}).json()
        made = f"/patterns/{stored['id']}/revisions/{stored['head']}/grades"
        grade = f"/grades/{server.ask('POST', made, {'size': 'mini'}).json()['id']}"
        content = server.ask("GET", grade).content
        (Path(folder) / "same").write_bytes(content)
        with _bare(Path(folder) / "same") as bare:
            ours, theirs = _in_turns(server, bare, grade, turns)
        light = asyncio.run(_light(server, grade, made, 3.0 if quick else 20.0))
        fresh, alone = _fresh(server, made, fresh_turns, grades)
    stored_ratio = statistics.median(ours) / statistics.median(theirs)
    return {
        "pattern": PATTERN,
        "bytes": len(content),
        "stored_per_s": round(statistics.median(ours)),
        "bare_per_s": round(statistics.median(theirs)),
        "stored_ratio": round(stored_ratio, 3),
        "light_requests": len(light),
        "light_p50_ms": round(1000 * _percentile(light, 50), 1),
        "light_p99_ms": round(1000 * _percentile(light, 99), 1),
        "fresh_per_s": round(statistics.median(fresh), 2),
        "alone_per_s": round(statistics.median(alone), 2),
        "fresh_ratio": round(statistics.median(fresh) / statistics.median(alone), 3),
    }


def _settings() -> dict[str, str]:
    return {"SIZEWRIGHT_WORKERS": str(WORKERS)}


@contextmanager
def _bare(file: Path) -> Iterator[Served]:
    """A server of the bare handler, started as ours is."""
    port = free_port()
    process = subprocess.Popen([sys.executable, "-m", "tests.benchmarks.http", str(file), str(port)])
    bare = Served(process, port, "none")
    try:
        wait_for(bare)
        yield bare
    finally:
        bare.stop()


def _in_turns(server: Served, bare: Served, grade: str, turns: int) -> tuple[list[float], list[float]]:
    """Answers a second of both, one after the other, after a turn each that is not counted."""
    ours, theirs = [], []
    for turn in range(turns + 1):
        found = asyncio.run(_rate(server, grade)), asyncio.run(_rate(bare, "/same"))
        if turn:
            ours.append(found[0])
            theirs.append(found[1])
            demo.note(f"stored: {found[0]:.0f} a second, bare: {found[1]:.0f}")
    return ours, theirs


@dataclass
class _Connection:
    """A connection that is kept, for one request after the other."""

    incoming: asyncio.StreamReader
    outgoing: asyncio.StreamWriter
    authorization: str

    async def ask(self, path: str, body: bytes | None = None) -> int:
        method, length = ("GET", "") if body is None else ("POST", f"Content-Length: {len(body)}\r\n")
        head = (
            f"{method} {path} HTTP/1.1\r\nHost: localhost\r\nAuthorization: {self.authorization}\r\n"
            f"Content-Type: {JSON_TYPE}\r\n{length}\r\n"
        )
        self.outgoing.write(head.encode() + (body or b""))
        answer = await self.incoming.readuntil(b"\r\n\r\n")
        await self.incoming.readexactly(_length(answer))
        return int(answer.split(b" ", 2)[1])


def _length(head: bytes) -> int:
    lines = head.lower().split(b"\r\n")
    return int(next(line.partition(b":")[2] for line in lines if line.startswith(b"content-length:")))


async def _connected(server: Served) -> _Connection:
    incoming, outgoing = await asyncio.open_connection("127.0.0.1", server.port, limit=2**24)
    return _Connection(incoming, outgoing, server.authorization)


def _closed(connections: list[_Connection]) -> None:
    for connection in connections:
        connection.outgoing.close()


async def _rate(server: Served, path: str) -> float:
    connections = [await _connected(server) for _ in range(CONNECTIONS)]
    until, answered = time.perf_counter() + SECONDS, [0] * CONNECTIONS

    async def go_on(number: int) -> None:
        while time.perf_counter() < until:
            if await connections[number].ask(path) != 200:
                raise AssertionError(f"{path} is not answered with 200")
            answered[number] += 1

    started = time.perf_counter()
    await asyncio.gather(*(go_on(number) for number in range(CONNECTIONS)))
    _closed(connections)
    return sum(answered) / (time.perf_counter() - started)


async def _light(server: Served, grade: str, made: str, seconds: float) -> list[float]:
    """Seconds that each light request took while every worker has a grade in hand, and one more waits."""
    done = asyncio.Event()
    waits: list[float] = []

    async def keep_grading(number: int) -> None:
        connection, size = await _connected(server), 0
        while not done.is_set():
            size += 1
            body = b'{"request": {"scale": "%d/100000"}}' % (90_000 + 1000 * number + size)
            if await connection.ask(made, body) != 201:
                raise AssertionError("a grade was not made")

    async def ask_evenly() -> None:
        connections, paths = [await _connected(server) for _ in range(CONNECTIONS)], (grade, "/health", "/patterns")
        asking = [asyncio.Lock() for _ in connections]
        started, tasks = time.perf_counter(), []

        async def one(number: int, due: float) -> None:
            async with asking[number % CONNECTIONS]:
                await connections[number % CONNECTIONS].ask(paths[number % len(paths)])
            waits.append(time.perf_counter() - due)

        for number in range(int(seconds / PACE)):
            due = started + number * PACE
            await asyncio.sleep(max(0.0, due - time.perf_counter()))
            tasks.append(asyncio.create_task(one(number, due)))
        await asyncio.gather(*tasks)
        done.set()

    grading = [asyncio.create_task(keep_grading(number)) for number in range(WORKERS + 1)]
    await asyncio.sleep(1.0)
    await ask_evenly()
    await asyncio.gather(*grading)
    return waits


def _fresh(server: Served, made: str, turns: int, grades: int) -> tuple[list[float], list[float]]:
    """Grades a second by the server and by its workers alone, in turns, after one that is not counted."""
    document = (demo.PATTERNS / f"{PATTERN}.json").read_text(encoding="utf-8")
    fresh: list[float] = []
    alone: list[float] = []

    async def work() -> None:
        pool = WorkerPool(PoolSettings(workers=WORKERS))
        connections: list[_Connection] = []

        async def through_http(number: int, scale: str) -> None:
            body = b'{"request": {"scale": "%s"}}' % scale.encode()
            if await connections[number].ask(made, body) != 201:
                raise AssertionError("a grade was not made")

        async def through_pipes(_: int, scale: str) -> None:
            await pool.run("grade", document=document, size=None, request={"scale": scale}, ruler=None)

        for turn in range(turns + 1):
            scales = [f"{72_000 + turn * 1000 + number}/100000" for number in range(grades if turn else WORKERS)]
            # Anew in each turn: the server ends a connection on which nothing is asked for some seconds.
            connections[:] = [await _connected(server) for _ in range(WORKERS)]
            by_http, by_pipes = await _shared(scales, through_http), await _shared(scales, through_pipes)
            _closed(connections)
            if turn:
                fresh.append(by_http)
                alone.append(by_pipes)
                demo.note(f"fresh: {by_http:.2f} a second, alone: {by_pipes:.2f}")
        await pool.close()

    asyncio.run(work())
    return fresh, alone


async def _shared(scales: list[str], made: Callable[[int, str], Awaitable[None]]) -> float:
    """Grades a second when as many callers as workers take these scales one by one."""
    waiting = list(scales)

    async def go_on(number: int) -> None:
        while waiting:
            await made(number, waiting.pop())

    started = time.perf_counter()
    await asyncio.gather(*(go_on(number) for number in range(WORKERS)))
    return len(scales) / (time.perf_counter() - started)


def _percentile(values: list[float], percent: int) -> float:
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, ceil(percent / 100 * len(ordered)) - 1)]


def _serve_bare(file: str, port: str) -> None:
    content = Path(file).read_bytes()

    @get("/same", sync_to_thread=False)
    def same() -> Response[bytes]:
        return Response(content, media_type=JSON_TYPE)

    @get("/health", sync_to_thread=False)
    def health() -> str:
        return "ok"

    app = Litestar([same, health], openapi_config=None, logging_config=None)
    uvicorn.run(app, port=int(port), server_header=False, access_log=False, log_config=None, log_level="warning")


if __name__ == "__main__":
    _serve_bare(*sys.argv[1:])
