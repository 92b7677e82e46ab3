"""Long work on a cluster of two worker processes, of which one is killed in the middle of it."""

from __future__ import annotations

import asyncio
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest

from api.jobs.batching import unpacked
from api.jobs.cluster import Cluster, ClusterSettings
from api.jobs.executor import NoWorkers, QueueFull, TaskRefused, WorkerFailed
from api.jobs.pool import PoolSettings, WorkerPool
from api.settings import Settings
from tests.api.support import signed_in
from tests.jobs.conftest import ROOT, LocalCluster

TOTE = (ROOT / "demo_requests" / "patterns" / "market_tote.json").read_text(encoding="utf-8")
PATIENCE = 240
ROWS, PARTS = 50_000, 10
"""Parts of the most rows that a part has, 5000."""
LATER = {"Prefer": "respond-async"}


class Observed(Cluster):
    """A cluster that remembers which process began what."""

    begun: list[tuple[int, str]]

    def _hear(self, event: tuple[float, dict[str, Any]]) -> None:
        said = event[1]
        if "begun" in said:
            self.begun.append((said["begun"], said["name"]))
        super()._hear(event)


@asynccontextmanager
async def _server_of(address: str, workers: int = 2, **changes: Any) -> AsyncIterator[Observed]:
    settings = {"time_limit": PATIENCE, "job_time": PATIENCE, **changes}
    executor = Observed(ClusterSettings(address, **settings), WorkerPool(PoolSettings(time_limit=PATIENCE)))
    executor.begun = []
    try:
        async with asyncio.timeout(PATIENCE):
            while workers and executor.load().idle < workers:
                await executor.ready()
                await asyncio.sleep(0.05)
        yield executor
    finally:
        await executor.close()


def _batch(rows: int) -> dict[str, str]:
    listed = [[300 + place % 100 * 0.5, 380 + place % 37] for place in range(rows)]
    return {"document": TOTE, "request": json.dumps({"columns": ["width", "height"], "rows": listed})}


def _lines(text: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in b"".join(unpacked(text)).splitlines()]


async def _until(holds: Callable[[], bool]) -> None:
    async with asyncio.timeout(PATIENCE):
        while not holds():
            await asyncio.sleep(0.002)


async def _kill_at_work(executor: Observed) -> int:
    """Kills the worker that has begun the last part, while it has it in hand; gives its process."""
    victim = executor.begun[-1][0]
    os.kill(victim, signal.SIGSTOP)
    held: dict[str, tuple[str, ...]] = await executor._client.processing()
    assert len([keys for keys in held.values() if keys]) == 2, "the worker was at nothing any more"
    os.kill(victim, signal.SIGKILL)
    return victim


async def test_a_batch_is_spread_and_comes_out_as_from_one_worker(cluster: LocalCluster) -> None:
    async with _server_of(cluster.address) as executor:
        spread = await executor.run("batch", **_batch(4000))
        assert len({process for process, _ in executor.begun}) == 2
        near = await executor._pool.run("batch", **_batch(4000))
        assert _lines(spread) == _lines(near)
        faulty = json.loads(_batch(4000)["request"])
        faulty["rows"][3], faulty["rows"][3900] = ["wide", 380], [300, -1]
        asked = {"document": TOTE, "request": json.dumps(faulty)}
        refusals = []
        for solver in (executor, executor._pool):
            with pytest.raises(TaskRefused) as refused:
                await solver.run("batch", **asked)
            refusals.append(refused.value.content)
        assert refusals[0] == refusals[1]
        assert [fault["path"] for fault in refusals[0]["faults"]] == ["rows.3.0", "rows.3900.1"]
        assert executor.load().busy == executor.load().waiting == 0


async def test_when_a_worker_is_killed_no_row_is_lost_or_doubled(cluster: LocalCluster) -> None:
    async with _server_of(cluster.address) as executor:
        whole = asyncio.create_task(executor.run("batch", **_batch(ROWS)))
        await _until(lambda: len(executor.begun) >= 4)
        victim = await _kill_at_work(executor)
        assert not whole.done()
        lines = _lines(await whole)
        assert [line["row"] for line in lines] == list(range(ROWS))
        assert all(line["consistent"] for line in lines)
        begun = [name for _, name in executor.begun]
        assert len(set(begun)) == PARTS
        assert len(begun) > PARTS, "what the lost worker had in hand was begun again"
        assert victim not in {process for process, _ in executor.begun[-2:]}
        near = _lines(await executor._pool.run("batch", **_batch(ROWS)))
        assert [line["dimensions"] for line in lines] == [line["dimensions"] for line in near]


def _ended(client: Any, address: str) -> dict[str, Any]:
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        job: dict[str, Any] = client.get(address).json()
        if job["state"] not in {"waiting", "working"}:
            return job
        time.sleep(0.05)
    pytest.fail("The job does not end.")


def test_when_a_worker_is_killed_every_job_has_its_one_result(
    cluster: LocalCluster, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun: list[int] = []
    hear = Cluster._hear

    def heard(executor: Cluster, event: tuple[float, dict[str, Any]]) -> None:
        begun.extend([event[1]["begun"]] if "begun" in event[1] else [])
        hear(executor, event)

    monkeypatch.setattr(Cluster, "_hear", heard)
    settings = Settings(database_url=f"sqlite+aiosqlite:///{tmp_path / 'x.db'}", scheduler=cluster.address)
    with signed_in(settings) as client:
        while client.app.state.executor.load().idle < 2:
            client.get("/ready")
            time.sleep(0.05)
        stored = client.post("/patterns", json={"document": json.loads(TOTE)}).json()
        grades = f"/patterns/{stored['id']}/revisions/{stored['head']}/grades"
        grade = client.post(grades, json={"size": "base"}).json()["id"]
        jobs = []
        for seed in range(4):
            body = {"settings": {"effort": "quick", "seed": seed}}
            jobs.append(client.post(f"/grades/{grade}/layouts", json=body, headers=LATER).headers["location"])
        while len(set(begun)) < 2:
            time.sleep(0.005)
        os.kill(begun[-1], signal.SIGKILL)
        ended = [_ended(client, job) for job in jobs]
        assert [job["state"] for job in ended] == ["done"] * 4
        assert len(begun) > 4, "what the lost worker had in hand was begun again"
        assert ended[0]["progress"], "it was told how far it had come"
        with_seeds = [client.get(job["result"]).json()["settings"]["seed"] for job in ended]
        assert with_seeds == [0, 1, 2, 3]
        assert client.get("/metrics").text.count('sizewright_jobs{state="done"} 4.0') == 1


async def test_a_job_that_is_cancelled_leaves_its_worker_to_others(cluster: LocalCluster) -> None:
    async with _server_of(cluster.address) as executor:
        grade = await executor._pool.run("grade", document=TOTE, size="base", request=None, ruler=None)
        arguments = {"document": TOTE, "size": "base", "request": None, "ruler": None, "grade": grade["document"]}
        settings = {"effort": "thorough"}
        told: list[str] = []
        work = executor.run_long(
            "layouts", lambda: told.append("begun"), lambda _: None, **arguments, settings=settings, until=None
        )
        job = asyncio.create_task(work)
        await _until(lambda: bool(told))
        job.cancel()
        await asyncio.wait({job})
        assert job.cancelled()
        async with asyncio.timeout(PATIENCE):
            while any((await executor._client.processing()).values()):
                await asyncio.sleep(0.05)
        assert all(worker.poll() is None for worker in cluster.workers)
        assert len(_lines(await executor.run("batch", **_batch(4000)))) == 4000


async def test_a_cluster_without_anybody_refuses_and_one_that_comes_back_is_found(cluster: LocalCluster) -> None:
    address = cluster.address
    async with _server_of(address) as executor:
        assert len(_lines(await executor.run("batch", **_batch(4000)))) == 4000
        cluster.close()
        with pytest.raises(NoWorkers):
            await executor.run("batch", **_batch(4000))
        assert not await executor.ready()
        assert len(_lines(await executor.run("batch", **_batch(4)))) == 4, "a small one needs no cluster"
        cluster.workers.clear()
        cluster.file.unlink(missing_ok=True)
        cluster.start_scheduler(int(address.rpartition(":")[2]))
        cluster.start_worker()
        async with asyncio.timeout(PATIENCE):
            while not await executor.ready():
                await asyncio.sleep(0.1)
        assert len(_lines(await executor.run("batch", **_batch(4000)))) == 4000


async def test_more_than_may_wait_are_refused(cluster: LocalCluster) -> None:
    async with _server_of(cluster.address, queue=0) as executor:
        asked = [asyncio.create_task(executor.run("batch", **_batch(4000))) for _ in range(3)]
        answers = await asyncio.gather(*asked, return_exceptions=True)
        assert [type(answer) for answer in answers] == [str, str, QueueFull]


async def test_a_worker_of_another_version_does_nothing(cluster: LocalCluster, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("api.jobs.cluster.VERSION", "9.9.9")
    async with _server_of(cluster.address) as executor:
        with pytest.raises(WorkerFailed, match=r"the server 9\.9\.9"):
            await executor.run("batch", **_batch(4000))


def test_a_server_without_a_cluster_never_loads_what_it_needs() -> None:
    code = "import sys, api.server; print('distributed' in sys.modules, 'dask' in sys.modules)"
    told = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert told.stdout.split() == ["False", "False"]
