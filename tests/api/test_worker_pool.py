from __future__ import annotations

import asyncio
import sys
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import psutil
import pytest

from api.jobs.executor import OutOfTime, QueueFull, TaskRefused, WorkerFailed
from api.jobs.pool import PoolSettings, WorkerPool

STRANGE = PoolSettings(
    workers=1,
    queue=4,
    time_limit=20,
    idle=600,
    command=(sys.executable, str(Path(__file__).with_name("strange_worker.py"))),
)


@asynccontextmanager
async def _pool(**changes: Any) -> AsyncIterator[WorkerPool]:
    pool = WorkerPool(replace(STRANGE, **changes))
    try:
        yield pool
    finally:
        await pool.close()


async def _until(holds: Callable[[], bool]) -> None:
    async with asyncio.timeout(20):
        while not holds():
            await asyncio.sleep(0.01)


async def test_nothing_is_started_before_it_is_needed() -> None:
    async with _pool() as pool:
        assert pool.idle_processes == ()
        await pool.run("echo")
        assert len(pool.idle_processes) == 1


async def test_a_worker_does_one_task_after_another() -> None:
    async with _pool() as pool:
        text = "½ \u2028 " * 100_000
        first, second = await pool.run("echo", text=text), await pool.run("echo", number=0.1)
    assert first["pid"] == second["pid"]
    assert (first["arguments"], second["arguments"]) == ({"text": text}, {"number": 0.1})


async def test_no_more_workers_than_allowed_run_at_once() -> None:
    async with _pool(workers=2, queue=10) as pool:
        workers = await asyncio.gather(*(pool.run("sleep", seconds=0.05) for _ in range(6)))
    assert len(set(workers)) == 2


async def test_a_full_queue_refuses() -> None:
    async with _pool(queue=1) as pool:
        await pool.run("echo")
        working = asyncio.create_task(pool.run("sleep", seconds=1))
        waiting = asyncio.create_task(pool.run("echo"))
        await asyncio.sleep(0)
        with pytest.raises(QueueFull):
            await pool.run("echo")
        await asyncio.gather(working, waiting)
        await pool.run("echo")


async def test_a_worker_that_hangs_is_killed_and_replaced(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("api.jobs.pool.GRACE_SECONDS", 0.1)
    async with _pool(time_limit=0.2) as pool:
        hanging = (await pool.run("echo"))["pid"]
        with pytest.raises(OutOfTime):
            await pool.run("sleep", seconds=60)
        assert not psutil.pid_exists(hanging)
        assert (await pool.run("echo"))["pid"] != hanging


async def test_a_task_that_looks_at_the_clock_keeps_its_worker() -> None:
    async with _pool(time_limit=0.2) as pool:
        worker = (await pool.run("echo"))["pid"]
        with pytest.raises(TaskRefused) as refused:
            await pool.run("work_until_stopped")
        assert refused.value.kind == "stopped"
        assert (await pool.run("echo"))["pid"] == worker


async def test_a_worker_that_dies_is_replaced() -> None:
    async with _pool() as pool:
        with pytest.raises(WorkerFailed, match="ended with 3"):
            await pool.run("die")
        assert (await pool.run("echo"))["arguments"] == {}


async def test_a_worker_that_dies_while_idle_is_replaced() -> None:
    async with _pool() as pool:
        worker = psutil.Process((await pool.run("echo"))["pid"])
        worker.kill()
        await _until(lambda: not worker.is_running() or worker.status() == psutil.STATUS_ZOMBIE)
        await asyncio.sleep(0.05)
        assert (await pool.run("echo"))["pid"] != worker.pid


async def test_a_task_that_fails_keeps_its_worker() -> None:
    async with _pool() as pool:
        worker = (await pool.run("echo"))["pid"]
        with pytest.raises(WorkerFailed, match="ZeroDivisionError"):
            await pool.run("fail")
        assert (await pool.run("echo"))["pid"] == worker


async def test_what_a_library_prints_is_no_answer() -> None:
    async with _pool() as pool:
        assert await pool.run("chatter") == "unharmed"


@pytest.mark.skipif(sys.platform == "win32", reason="only POSIX bounds the memory of a process")
async def test_a_task_cannot_take_all_memory() -> None:
    async with _pool(memory=300 * 1024 * 1024) as pool:
        with pytest.raises(WorkerFailed, match="MemoryError"):
            await pool.run("swell", bytes=600 * 1024 * 1024)
        assert await pool.run("swell", bytes=1024) == 1024


async def test_a_long_task_tells_its_start_and_its_progress_in_order() -> None:
    told: list[Any] = []
    async with _pool() as pool:
        await pool.run_long("count", lambda: told.append("begun"), told.append, most=3)
    assert told == ["begun", {"number": 0}, {"number": 1}, {"number": 2}]


async def test_long_tasks_leave_a_worker_to_requests() -> None:
    begun: list[int] = []
    async with _pool(workers=2) as pool:
        long = [
            asyncio.create_task(pool.run_long("count", lambda: begun.append(1), begun.append, most=0, seconds=60))
            for _ in range(2)
        ]
        await _until(lambda: bool(begun))
        assert (await pool.run("echo", number=1))["arguments"] == {"number": 1}
        assert len(begun) == 1
        for each in long:
            each.cancel()
        await asyncio.wait(long)


async def test_a_long_task_may_take_longer_than_a_request(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("api.jobs.pool.GRACE_SECONDS", 0.1)
    async with _pool(time_limit=0.1, job_time=20) as pool:
        assert await pool.run_long("count", _forget, _forget, most=0, seconds=0.5)


async def test_a_long_task_that_is_cancelled_ends_its_worker() -> None:
    begun: list[int] = []
    async with _pool() as pool:
        worker = (await pool.run("echo"))["pid"]
        long = asyncio.create_task(pool.run_long("count", lambda: begun.append(1), _forget, most=0, seconds=60))
        await _until(lambda: bool(begun))
        long.cancel()
        await asyncio.wait({long})
        assert long.cancelled()
        assert not psutil.pid_exists(worker)
        assert (await pool.run("echo"))["pid"] != worker


async def test_heavy_tasks_go_to_the_worker_that_has_done_one_before() -> None:
    async with _pool(workers=2) as pool:
        working = asyncio.create_task(pool.run("sleep", seconds=0.3))
        warm = await pool.run("bulk")
        other = await working
        assert other != warm
        for _ in range(2):
            assert (await pool.run("echo"))["pid"] == other
            assert await pool.run("bulk") == warm


async def test_loading_leaves_every_worker_to_requests() -> None:
    async with _pool(workers=1) as pool:
        loading = asyncio.create_task(pool.warm())
        await asyncio.sleep(0)
        assert (await pool.run("echo"))["arguments"] == {}
        await loading
        assert len(pool.idle_processes) == 2


async def test_a_full_queue_of_long_tasks_refuses_but_lets_requests_through() -> None:
    async with _pool(workers=2, queue=0) as pool:
        long = asyncio.create_task(pool.run_long("count", _forget, _forget, most=0, seconds=60))
        await asyncio.sleep(0)
        with pytest.raises(QueueFull):
            await pool.run_long("count", _forget, _forget, most=0)
        assert (await pool.run("echo"))["arguments"] == {}
        long.cancel()
        await asyncio.wait({long})


def _forget(*told: Any) -> None:
    """Nobody is told."""


async def test_an_idle_worker_is_ended_and_started_again_when_needed() -> None:
    async with _pool(idle=0.05) as pool:
        worker = (await pool.run("echo"))["pid"]
        await _until(lambda: not psutil.pid_exists(worker))
        assert pool.idle_processes == ()
        assert (await pool.run("echo"))["pid"] != worker


async def test_closing_ends_workers_at_work_too() -> None:
    async with _pool() as pool:
        idle = (await pool.run("echo"))["pid"]
        working = asyncio.create_task(pool.run("sleep", seconds=60))
        await asyncio.sleep(0.1)
        await pool.close()
        with pytest.raises(WorkerFailed):
            await working
        assert not psutil.pid_exists(idle)


async def test_a_command_that_is_no_worker_is_a_failure() -> None:
    async with _pool(command=(sys.executable, "-c", "print('hello, this is no worker at all')")) as pool:
        with pytest.raises(WorkerFailed):
            await pool.run("echo")
