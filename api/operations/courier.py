"""The courier: takes up notifications that are due, sends them, and writes down what came of it.

Every notification is sent at least once, and more than once where a server stops between sending and writing down; its
id stays the same, so that the receiver can drop what it has had. Nothing is promised of their order.
"""

from __future__ import annotations

import asyncio
import random
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from api.logs import logger
from api.notifying.schedule import delay
from api.notifying.signing import headers
from api.storage.notifications import DEAD, SENT, WAITING, Ended, Taken, forget_sent, give_up, gone, take, tried

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.notifying.sending import Reply, Sender
    from api.storage.database import Database

LOG = logger()
LEASE = timedelta(minutes=2)
"""How long a notification is nobody else's: longer than any try takes."""
AT_ONCE = 20
PAUSE = 1.0
KEPT = timedelta(days=30)
SWEEP = timedelta(hours=1)
GONE = 410
ENDPOINT_GONE = "The endpoint answered that it is gone."


def _now() -> datetime:
    return datetime.now(UTC)


@dataclass
class Courier:
    """Sends the notifications of all workshops; several servers may each have one at the same database.

    `clock` tells the time, `chance` a number from 0 to below 1, which spreads the tries.
    """

    database: Database
    sender: Sender
    clock: Callable[[], datetime] = _now
    chance: Callable[[], float] = random.random
    pause: float = PAUSE
    _swept: datetime | None = field(default=None, init=False)
    _task: asyncio.Task[None] | None = field(default=None, init=False)

    def begin(self) -> None:
        """Works from now on, until it is closed."""
        self._task = asyncio.get_running_loop().create_task(self._work())

    async def close(self) -> None:
        """Stops; what it had taken up is due again when its lease is over."""
        if self._task is not None:
            self._task.cancel()
            with suppress(asyncio.CancelledError):
                await self._task

    async def round(self) -> int:
        """Sends what is due now, all at once, at most AT_ONCE; how many those were."""
        async with self.database.transaction() as session:
            taken = await take(session, self.clock(), LEASE, AT_ONCE)
        ended = await asyncio.gather(*(self._deliver(each) for each in taken), return_exceptions=True)
        for error in ended:
            if error is not None:
                raise error
        return len(taken)

    async def sweep(self) -> None:
        """Deletes notifications that were sent long ago, once in a while."""
        now = self.clock()
        if self._swept is None or now - self._swept >= SWEEP:
            self._swept = now
            async with self.database.transaction() as session:
                await forget_sent(session, now - KEPT)

    async def _work(self) -> None:
        broken = False
        while True:
            try:
                await self.sweep()
                while await self.round() == AT_ONCE:
                    pass
                broken = False
            except Exception as error:
                # Told once, not every second: whatever it is, it may be over soon.
                if not broken:
                    LOG.error("notifications are not sent", exc_info=error)
                broken = True
            await asyncio.sleep(self.pause)

    async def _deliver(self, taken: Taken) -> None:
        body, now = taken.body.encode(), self.clock()
        reply = await self.sender.send(taken.url, headers(taken.secrets(now), taken.id, now, body), body)
        now = self.clock()
        ended = self._ended(taken, reply, now)
        async with self.database.transaction() as session:
            if reply.status == GONE:
                await gone(session, taken.endpoint)
            await tried(session, taken, ended)
            if reply.status == GONE:
                await give_up(session, taken.endpoint, ENDPOINT_GONE, now)
        if ended.state == DEAD:
            LOG.warning("a notification was given up", notification=taken.id, endpoint=taken.endpoint)

    def _ended(self, taken: Taken, reply: Reply, now: datetime) -> Ended:
        if reply.status == GONE:
            return Ended(DEAD, now, reply.status, ENDPOINT_GONE)
        if reply.taken:
            return Ended(SENT, now, reply.status, "")
        wait = delay(taken.tries, self.chance, reply.wait)
        if wait is None:
            return Ended(DEAD, now, reply.status, reply.says)
        return Ended(WAITING, now + wait, reply.status, reply.says)
