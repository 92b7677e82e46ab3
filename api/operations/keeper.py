"""Jobs at work: taken up, begun, heard of, cancelled, and let go for another server."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from api.storage.database import DatabaseUnavailable
from api.storage.jobs import CANCELLED, DONE, FAILED, Ending, JobStore
from api.storage.leases import Lease, Taken, give_back, renew, take

if TYPE_CHECKING:
    from api.storage.database import Database

WAITING, WORKING = "waiting", "working"
MOST_IN_HAND = 8
"""Jobs in hand beyond which a server takes up no others' jobs: more servers may be there."""


@dataclass(frozen=True)
class Outcome:
    """What a job has made: its name, and whether it was not there before."""

    name: str
    new: bool


@dataclass(eq=False)
class Live:
    """A job that this server has in hand; `announced` once anybody has been told its name."""

    name: str
    workshop: str
    state: str = WAITING
    progress: dict[str, Any] = field(default_factory=dict)
    announced: bool = False
    task: asyncio.Task[Outcome] = field(init=False)

    def begun(self) -> None:
        """Notes that a worker has taken it up."""
        self.state = WORKING

    def heard(self, progress: dict[str, Any]) -> None:
        """Notes how far the parts named have come."""
        self.progress.update(progress)


Work = Callable[[Live], Awaitable[Outcome]]


class JobKeeper:
    """The jobs of one server, whose ends are written down. It works at the jobs of all workshops of a database.

    `tell` writes what an error means for the client, as JSON text. Several servers may share a database: a job is the
    server's that holds its lease; the jobs of one that has not renewed them for `lease` seconds others take up.
    """

    def __init__(self, database: Database, tell: Callable[[Exception], str], lease: float = 15.0) -> None:
        self._database, self._tell = database, tell
        self._lease = Lease(str(uuid4()), lease)
        self._live: dict[str, Live] = {}
        self._stopping = asyncio.Event()

    def live(self, name: str, workshop: str) -> Live | None:
        """The job, if it is in hand and the workshop's."""
        live = self._live.get(name)
        return live if live is not None and live.workshop == workshop else None

    def begin(self, name: str, workshop: str, work: Work) -> Live:
        """Takes up a job of a workshop that has been written down; it goes on whether anybody waits for it or not."""
        live = Live(name, workshop)
        live.task = asyncio.get_running_loop().create_task(self._done(live, work))
        live.task.add_done_callback(_looked_at)
        self._live[name] = live
        return live

    def leased(self) -> dict[str, Any]:
        """What is written down of a job that this server is about to begin: that it is its own, and until when."""
        return {"owner": self._lease.owner, "held_until": self._lease.until(datetime.now(UTC))}

    @property
    def round(self) -> float:
        """Seconds after which leases are to be renewed: one renewal may fail, and the next is still in time."""
        return self._lease.seconds / 3

    async def renew(self) -> None:
        """Renews the leases of the jobs in hand, and lets go of those that have been cancelled or taken elsewhere."""
        if not self._live:
            return
        progress = {live.name: _text(live) for live in self._live.values()}
        async with self._database.transaction() as session:
            held = await renew(session, self._lease, progress)
        for name in progress.keys() - held:
            if (lost := self._live.get(name)) is not None:
                await _ended(lost)

    async def take(self) -> tuple[Taken, ...]:
        """Takes up jobs that are nobody's any more, as many as there is room for; they are to be begun."""
        room = MOST_IN_HAND - len(self._live)
        if room <= 0:
            return ()
        async with self._database.transaction() as session:
            return await take(session, self._lease, room)

    async def cancel(self, name: str, workshop: str) -> None:
        """Ends a job of a workshop for good; nothing of it is kept. One that has ended stays as it is."""
        async with self._database.transaction() as session:
            await JobStore(session, workshop).end(name, Ending(CANCELLED))
        live = self.live(name, workshop)
        if live is not None:
            await _ended(live)

    async def ended(self, live: Live, seconds: float) -> bool:
        """Waits for a job to end, at most so long, and no longer than until the server is to stop; whether it has."""
        stopping = asyncio.create_task(self._stopping.wait())
        try:
            await asyncio.wait({live.task, stopping}, timeout=seconds, return_when=asyncio.FIRST_COMPLETED)
        finally:
            stopping.cancel()
        return live.task.done() and not live.task.cancelled()

    @property
    def stopping(self) -> bool:
        """Whether the server is about to stop."""
        return self._stopping.is_set()

    def stop_waiting(self) -> None:
        """Has nobody wait for jobs any more: the server is about to stop."""
        self._stopping.set()

    async def close(self) -> None:
        """Lets go of every job; those that have not ended are begun again by the next server, or another one."""
        for live in list(self._live.values()):
            await _ended(live)
        with suppress(DatabaseUnavailable):
            async with self._database.transaction() as session:
                await give_back(session, self._lease)

    async def _done(self, live: Live, work: Work) -> Outcome:
        try:
            outcome = await work(live)
        except DatabaseUnavailable:
            raise
        except Exception as error:
            await self._end(live, Ending(FAILED, _text(live), problem=self._tell(error)))
            raise
        else:
            await self._end(live, Ending(DONE, _text(live), result=outcome.name))
            return outcome
        finally:
            self._live.pop(live.name, None)

    async def _end(self, live: Live, ending: Ending) -> None:
        async with self._database.transaction() as session:
            await JobStore(session, live.workshop).end(live.name, ending, self._lease.owner)


def _text(live: Live) -> str:
    return json.dumps(live.progress, ensure_ascii=False)


def _looked_at(task: asyncio.Task[Outcome]) -> None:
    """An error has been written down already; nobody else need ask for it."""
    if not task.cancelled():
        task.exception()


async def _ended(live: Live) -> None:
    live.task.cancel()
    await asyncio.wait({live.task})
