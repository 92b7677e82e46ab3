"""Jobs at work: begun, heard of, cancelled, and begun again after a crash."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from api.storage.database import DatabaseUnavailable
from api.storage.jobs import CANCELLED, DONE, FAILED, Ending, JobStore

if TYPE_CHECKING:
    from api.storage.database import Database

WAITING, WORKING = "waiting", "working"


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
    """The jobs of one server, whose ends are written down. One server works at the jobs of all workshops of a database.

    `tell` writes what an error means for the client, as JSON text.
    """

    def __init__(self, database: Database, tell: Callable[[Exception], str]) -> None:
        self._database, self._tell = database, tell
        self._live: dict[str, Live] = {}

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

    async def cancel(self, name: str, workshop: str) -> None:
        """Ends a job of a workshop for good; nothing of it is kept. One that has ended stays as it is."""
        async with self._database.transaction() as session:
            await JobStore(session, workshop).end(name, Ending(CANCELLED))
        live = self.live(name, workshop)
        if live is not None:
            await _ended(live)

    async def close(self) -> None:
        """Lets go of every job; those that have not ended are begun again by the next server."""
        for live in list(self._live.values()):
            await _ended(live)

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
            await JobStore(session, live.workshop).end(live.name, ending)


def _text(live: Live) -> str:
    return json.dumps(live.progress, ensure_ascii=False)


def _looked_at(task: asyncio.Task[Outcome]) -> None:
    """An error has been written down already; nobody else need ask for it."""
    if not task.cancelled():
        task.exception()


async def _ended(live: Live) -> None:
    live.task.cancel()
    await asyncio.wait({live.task})
