"""Notifications: listed, read, sent again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.operations.errors import Fault, Missing, RequestRefused
from api.storage.notifications import ENABLED, EndpointStore, NotificationRecord, NotificationStore

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.ext.asyncio import AsyncSession

    from api.operations.bench import Bench


async def read(bench: Bench, name: str) -> NotificationRecord:
    """The notification; raises Missing."""
    async with bench.database.transaction() as session:
        return await _there(session, bench.workshop, name)


async def notifications(
    bench: Bench, limit: int, after: str | None, state: str | None
) -> tuple[NotificationRecord, ...]:
    """Notifications in a state, or all, the newest first, from the one after `after` on. Raises RequestRefused."""
    async with bench.database.transaction() as session:
        store = NotificationStore(session, bench.workshop)
        before = None if after is None else await store.notification(after)
        if after is not None and before is None:
            fault = Fault("query.after", "there is no such notification", "take it from `next` of the last page")
            raise RequestRefused([fault])
        return await store.notifications(limit, before, state)


async def replay(bench: Bench, name: str, now: datetime) -> NotificationRecord:
    """Has a notification sent again at once, under the same id, with all of its tries before it.

    Raises Missing, and RequestRefused where its endpoint is disabled.
    """
    async with bench.database.transaction() as session:
        found = await _there(session, bench.workshop, name)
        endpoint = await EndpointStore(session, bench.workshop).endpoint(found.endpoint)
        if endpoint is None or endpoint.disabled_because != ENABLED:
            remedy = f"Enable it first: POST /endpoints/{found.endpoint}/states."
            raise RequestRefused([Fault("notification_id", "Its endpoint is disabled.", remedy)])
        await NotificationStore(session, bench.workshop).send_again(name, now)
        session.expire_all()
        return await _there(session, bench.workshop, name)


async def _there(session: AsyncSession, workshop: str, name: str) -> NotificationRecord:
    found = await NotificationStore(session, workshop).notification(name)
    if found is None:
        raise Missing("notification", name)
    return found
