"""A bounded number of worker processes, started when needed, ended when idle, replaced when they hang."""

from __future__ import annotations

import asyncio
import math
import os
import sys
import time
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from api.jobs.executor import Load, OutOfTime, QueueFull, TaskRefused, WorkerFailed, value_of
from api.jobs.messages import HEADER, UnreadableMessage, decode, encode, length
from api.jobs.worker import MEMORY_VARIABLE

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

WORKER = (sys.executable, "-P", "-m", "api.jobs")
PACKAGES = Path(__file__).parents[2]
START_SECONDS = 60.0
GRACE_SECONDS = 2.0
LEAVING_SECONDS = 2.0
TRUSTED_SECONDS = 600.0
"""How long a worker that has started shows that others can be."""
HEAVY = frozenset({"layouts", "picture", "supplies", "bulk", "packet", "price", "substitute", "warm"})
"""Tasks that need what takes long to load; they go to workers that have loaded it, where one is idle."""
# One thread each: the pool already has as many processes as may work at once, and threads cost memory.
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}


@dataclass(frozen=True)
class PoolSettings:
    """Bounds of a pool: processes, requests that may wait, seconds a task and a job, seconds idle, bytes a process."""

    workers: int = 2
    queue: int = 16
    time_limit: float = 30.0
    job_time: float = 600.0
    idle: float = 60.0
    memory: int | None = None
    command: tuple[str, ...] = WORKER


def _nothing(*_: Any) -> None:
    """What is told to nobody."""


@dataclass(frozen=True)
class _Asked:
    """What a worker is to do, in how many seconds, and who is told how far it has come."""

    task: str
    arguments: dict[str, Any]
    seconds: float
    heard: Callable[[Any], None] = _nothing

    @property
    def is_heavy(self) -> bool:
        """Whether it needs what takes long to load."""
        return self.task in HEAVY


@dataclass(eq=False)
class _Worker:
    process: asyncio.subprocess.Process
    is_warm: bool = False
    """Whether it has loaded what heavy tasks need."""
    retirement: asyncio.TimerHandle | None = field(default=None)

    async def ask(self, message: dict[str, Any], heard: Callable[[Any], None]) -> dict[str, Any]:
        incoming = self.process.stdin
        if incoming is None:
            raise WorkerFailed("The worker has no pipes.")
        incoming.write(encode(message))
        await incoming.drain()
        while "progress" in (answer := await self.hear()):
            heard(answer["progress"])
        return answer

    async def hear(self) -> dict[str, Any]:
        outgoing = self.process.stdout
        if outgoing is None:
            raise WorkerFailed("The worker has no pipes.")
        header = await outgoing.readexactly(HEADER)
        return decode(await outgoing.readexactly(length(header)))

    async def leave(self) -> None:
        """Waits a little for a process that has closed its pipes, so that its own exit code is known; then ends it."""
        with suppress(TimeoutError):
            await asyncio.wait_for(self.process.wait(), LEAVING_SECONDS)
        await self.end()

    async def end(self) -> None:
        if self.retirement is not None:
            self.retirement.cancel()
        if self.process.returncode is None:
            with suppress(ProcessLookupError):
                self.process.kill()
        if self.process.stdin is not None:
            self.process.stdin.close()
        await self.process.wait()


class WorkerPool:
    """Runs tasks in worker processes; one pool belongs to one event loop."""

    def __init__(self, settings: PoolSettings) -> None:
        self._settings = settings
        self._slots = asyncio.Semaphore(settings.workers)
        self._waiting = 0
        # Long tasks leave a worker to requests, where there is more than one.
        self._long = asyncio.Semaphore(max(1, settings.workers - 1))
        self._long_waiting = 0
        self._idle: list[_Worker] = []
        self._busy: set[_Worker] = set()
        self._ending: set[asyncio.Task[None]] = set()
        self._starting = asyncio.Lock()
        self._shown = -math.inf

    async def run(self, task: str, **arguments: Any) -> Any:
        """The task's value. Raises TaskRefused, QueueFull, OutOfTime and WorkerFailed."""
        if self._slots.locked() and self._waiting >= self._settings.queue:
            raise QueueFull
        self._waiting += 1
        try:
            await self._slots.acquire()
        finally:
            self._waiting -= 1
        try:
            return value_of(await self._asked(_Asked(task, arguments, self._settings.time_limit)))
        finally:
            self._slots.release()

    async def run_long(
        self, task: str, begun: Callable[[], None], heard: Callable[[Any], None], **arguments: Any
    ) -> Any:
        """The same for a task that may take as long as a job: `begun` is told its start, `heard` its progress.

        Such tasks wait in a queue of their own, and never take all workers where there are several. Cancelling it ends
        its worker.
        """
        if self._long.locked() and self._long_waiting >= self._settings.queue:
            raise QueueFull
        self._long_waiting += 1
        try:
            await self._long.acquire()
        finally:
            self._long_waiting -= 1
        try:
            async with self._slots:
                begun()
                return value_of(await self._asked(_Asked(task, arguments, self._settings.job_time, heard)))
        finally:
            self._long.release()

    async def warm(self) -> None:
        """Has a worker beside the others load what long tasks need; until it has, they wait. Gives up quietly."""
        async with self._long:
            with suppress(OutOfTime, WorkerFailed, TaskRefused):
                await self._asked(_Asked("warm", {}, self._settings.job_time))

    async def ready(self) -> bool:
        """Whether workers can be started: one is there, or was started not long ago, or one can be now."""
        async with self._starting:
            if self._busy or self._idle or time.monotonic() < self._shown + TRUSTED_SECONDS:
                return True
            try:
                worker = await self._new_worker()
            except (WorkerFailed, OSError):
                return False
            self._rest(worker)
            return True

    def load(self) -> Load:
        """Workers at work and at rest, and tasks that wait for one."""
        return Load(len(self._busy), len(self._idle), self._waiting + self._long_waiting)

    async def close(self) -> None:
        """Ends every worker, also those at work."""
        workers, self._idle = [*self._idle, *self._busy], []
        for worker in workers:
            await worker.end()
        if self._ending:
            await asyncio.wait(self._ending)

    @property
    def idle_processes(self) -> tuple[int, ...]:
        """The process ids of the workers that are waiting for a task."""
        return tuple(worker.process.pid for worker in self._idle)

    async def _asked(self, asked: _Asked) -> dict[str, Any]:
        worker = await self._ready_worker(asked)
        self._busy.add(worker)
        try:
            return await self._answered(worker, asked)
        finally:
            self._busy.discard(worker)

    async def _answered(self, worker: _Worker, asked: _Asked) -> dict[str, Any]:
        message = {"task": asked.task, "seconds": asked.seconds, "arguments": asked.arguments}
        try:
            answer = await asyncio.wait_for(worker.ask(message, asked.heard), asked.seconds + GRACE_SECONDS)
        except TimeoutError as error:
            await worker.end()
            raise OutOfTime from error
        except (asyncio.IncompleteReadError, ConnectionError, UnreadableMessage) as error:
            await worker.leave()
            raise WorkerFailed(f"The worker ended with {worker.process.returncode} at {asked.task}.") from error
        except BaseException:
            await worker.end()
            raise
        worker.is_warm = worker.is_warm or asked.is_heavy
        self._rest(worker)
        return answer

    async def _ready_worker(self, asked: _Asked) -> _Worker:
        """An idle worker if there is one: for heavy tasks rather a warm one, for others rather one that is not."""
        while self._idle:
            worker = next((each for each in reversed(self._idle) if each.is_warm is asked.is_heavy), self._idle[-1])
            self._idle.remove(worker)
            if worker.retirement is not None:
                worker.retirement.cancel()
            if worker.process.returncode is None:
                return worker
            await worker.end()
        return await self._new_worker()

    async def _new_worker(self) -> _Worker:
        self._shown = -math.inf
        worker = await _started(self._settings)
        self._shown = time.monotonic()
        return worker

    def _rest(self, worker: _Worker) -> None:
        loop = asyncio.get_running_loop()
        worker.retirement = loop.call_later(self._settings.idle, self._retire, worker)
        self._idle.append(worker)

    def _retire(self, worker: _Worker) -> None:
        if worker in self._idle:
            self._idle.remove(worker)
            ending = asyncio.get_running_loop().create_task(worker.end())
            self._ending.add(ending)
            ending.add_done_callback(self._ending.discard)


async def _started(settings: PoolSettings) -> _Worker:
    worker = _Worker(await _process(settings.command, settings.memory))
    try:
        ready = await asyncio.wait_for(worker.hear(), START_SECONDS)
    except (TimeoutError, asyncio.IncompleteReadError, UnreadableMessage) as error:
        await worker.end()
        raise WorkerFailed("The worker did not start.") from error
    except BaseException:
        await worker.end()
        raise
    if ready != {"ready": True}:
        await worker.end()
        raise WorkerFailed("The worker did not say that it is ready.")
    return worker


async def _process(command: Sequence[str], memory: int | None) -> asyncio.subprocess.Process:
    searched = [str(PACKAGES), *filter(None, [os.environ.get("PYTHONPATH")])]
    surroundings = {**os.environ, **ONE_THREAD, "PYTHONPATH": os.pathsep.join(searched)}
    if memory is not None:
        surroundings[MEMORY_VARIABLE] = str(memory)
    pipe = asyncio.subprocess.PIPE
    return await asyncio.create_subprocess_exec(*command, stdin=pipe, stdout=pipe, env=surroundings)
