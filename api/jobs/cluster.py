"""Long work on a Dask cluster: layouts go to its workers whole, batches in parts.

Everything else stays in the pool on this machine, where it is sooner done than sent. What is sent and comes back is
JSON within Dask's own messages, which are trusted: the cluster must be one's own, on a network of its own or with TLS.

A part whose worker is lost is done again by another; under one name, so that its answer is there once.
"""

from __future__ import annotations

import asyncio
import time
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from distributed import Client
from distributed.client import FutureCancelledError
from distributed.scheduler import KilledWorker, NoValidWorkerError

from api import VERSION
from api.jobs.executor import Load, NoWorkers, OutOfTime, QueueFull, WorkerFailed, value_of
from api.jobs.messages import UnreadableMessage, decode, written
from api.jobs.remote import perform
from api.jobs.splitting import merged, parts

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable, Sequence

    from api.jobs.executor import Executor

    Json = dict[str, Any]

BATCH = "batch"
MAKE_CLIENT: Any = Client
"""Dask's own types stop here: most of its methods have none."""
CONNECT_SECONDS = 5.0
GRACE_SECONDS = 2.0


@dataclass(frozen=True)
class ClusterSettings:
    """Where the scheduler is; requests that may wait beside those at work; seconds a batch and a job."""

    scheduler: str
    queue: int = 16
    time_limit: float = 30.0
    job_time: float = 600.0


@dataclass(eq=False)
class _Told:
    """Who hears of a task, under its name."""

    begun: Callable[[], None]
    heard: Callable[[Any], None]


class Cluster:
    """Runs batches and long tasks on a cluster, all else in a pool; belongs to one event loop."""

    def __init__(self, settings: ClusterSettings, pool: Executor) -> None:
        self._settings, self._pool = settings, pool
        self._topic = f"sizewright-{uuid4().hex}"
        self._connecting = asyncio.Lock()
        self._client: Any = None
        self._told: dict[str, _Told] = {}
        self._threads = self._sent = self._in_hand = 0

    async def run(self, task: str, **arguments: Any) -> Any:
        """The task's value; a batch is spread over the cluster. Raises as `Solver.run` says."""
        if task != BATCH:
            return await self._pool.run(task, **arguments)
        asked = list(parts(arguments, max(1, self._threads)))
        if len(asked) == 1:
            return await self._pool.run(task, **arguments)
        async with self._room() as client:
            messages = [self._message(str(uuid4()), task, part, self._settings.time_limit) for part in asked]
            try:
                async with asyncio.timeout(self._settings.time_limit + GRACE_SECONDS):
                    answers = await self._answered(client, messages)
            except TimeoutError as error:
                raise OutOfTime from error
        return value_of(merged(asked, answers))

    async def run_long(
        self, task: str, begun: Callable[[], None], heard: Callable[[Any], None], **arguments: Any
    ) -> Any:
        """The same for a task that may take as long as a job; its time begins when a worker takes it up."""
        name, loop = str(uuid4()), asyncio.get_running_loop()
        async with self._room() as client:
            try:
                async with asyncio.timeout(None) as limit:

                    def taken_up() -> None:
                        limit.reschedule(loop.time() + self._settings.job_time + GRACE_SECONDS)
                        begun()

                    self._told[name] = _Told(taken_up, heard)
                    message = self._message(name, task, arguments, self._settings.job_time)
                    (answer,) = await self._answered(client, [message])
            except TimeoutError as error:
                raise OutOfTime from error
            finally:
                self._told.pop(name, None)
        return value_of(answer)

    async def warm(self) -> None:
        """Prepares the pool; workers of a cluster load what they need with their first task."""
        await self._pool.warm()

    async def ready(self) -> bool:
        """Whether the pool is, and the cluster has workers."""
        try:
            await self._connected()
        except NoWorkers:
            return False
        return await self._pool.ready()

    def load(self) -> Load:
        """The pool's load and the cluster's together; a thread of the cluster counts as a worker."""
        near = self._pool.load()
        busy = min(self._sent, self._threads)
        return Load(near.busy + busy, near.idle + self._threads - busy, near.waiting + self._sent - busy)

    async def close(self) -> None:
        """Lets go of the cluster, which drops what this server asked for, and ends the pool."""
        if self._client is not None:
            with suppress(OSError, TimeoutError):
                await self._client.close()
        await self._pool.close()

    @asynccontextmanager
    async def _room(self) -> AsyncIterator[Any]:
        """The cluster, for one request; raises QueueFull and NoWorkers."""
        client = await self._connected()
        if self._in_hand >= self._threads + self._settings.queue:
            raise QueueFull
        self._in_hand += 1
        try:
            yield client
        finally:
            self._in_hand -= 1

    def _message(self, name: str, task: str, arguments: Json, seconds: float) -> Json:
        message = {"task": task, "seconds": seconds, "arguments": arguments}
        until = arguments.get("until")
        # Clocks that only run forward differ from machine to machine; that of the day is the same.
        by_day = None if until is None else time.time() + until - time.monotonic()
        return {**message, "name": name, "topic": self._topic, "version": VERSION, "until": by_day}

    async def _answered(self, client: Any, messages: Sequence[Json]) -> list[Json]:
        """The answers in the order of the messages; what is not answered when it ends is dropped."""
        futures: list[Any] = []
        self._sent += len(messages)
        try:
            for message in messages:
                key = f"sizewright-{message['name']}"
                futures.append(client.submit(perform, written(message), key=key, pure=False))
            return [decode(answer) for answer in await asyncio.gather(*(future.result() for future in futures))]
        except (FutureCancelledError, OSError, NoValidWorkerError) as error:
            raise NoWorkers from error
        except (KilledWorker, UnreadableMessage) as error:
            raise WorkerFailed("A worker of the cluster failed again and again.") from error
        except Exception as error:
            raise WorkerFailed(f"The cluster failed with {type(error).__qualname__}.") from error
        finally:
            self._sent -= len(messages)
            for future in futures:
                if not future.done():
                    with suppress(Exception):
                        await future.cancel()
                future.release()

    async def _connected(self) -> Any:
        """A connection to the scheduler of a cluster that has workers; raises NoWorkers."""
        async with self._connecting:
            try:
                if self._client is None or self._client.status != "running":
                    self._client = await self._connect()
                threads: dict[str, int] = await self._client.nthreads()
            except (OSError, TimeoutError, ValueError, FutureCancelledError) as error:
                raise NoWorkers from error
        self._threads = sum(threads.values())
        if not self._threads:
            raise NoWorkers
        return self._client

    async def _connect(self) -> Any:
        if self._client is not None:
            await self._client.close()
        client = await MAKE_CLIENT(
            self._settings.scheduler, asynchronous=True, timeout=CONNECT_SECONDS, set_as_default=False
        )
        client.subscribe_topic(self._topic, self._hear)
        return client

    def _hear(self, event: tuple[float, Json]) -> None:
        _, said = event
        told = self._told.get(said["name"])
        if told is None:
            return
        if "progress" in said:
            told.heard(said["progress"])
        else:
            told.begun()
