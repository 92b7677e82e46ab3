"""Reads and writes endpoints and notifications, and hands out those that are due."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import uuid4

from sqlalchemy import and_, delete, func, or_, select, update

from api.storage.records import Page
from api.storage.tables import EndpointRow, NotificationRow

if TYPE_CHECKING:
    from datetime import timedelta

    from sqlalchemy import ColumnElement
    from sqlalchemy.ext.asyncio import AsyncSession

WAITING, SENT, DEAD = "waiting", "sent", "dead"
ENABLED, ASKED, GONE = "", "asked", "gone"
"""Why an endpoint is disabled: it is not, somebody asked for it, or it answered that it is gone."""


@dataclass(frozen=True)
class EndpointRecord:
    """An endpoint without its secrets; `old_until` is until when the secret before its own still signs."""

    id: str
    url: str
    events: tuple[str, ...]
    says: str
    disabled_because: str
    old_until: datetime | None
    created_at: datetime


@dataclass(frozen=True)
class NewEndpoint:
    """An endpoint to be written down."""

    id: str
    url: str
    events: tuple[str, ...]
    says: str
    secret: str
    created_at: datetime


@dataclass(frozen=True)
class NotificationRecord:
    """A notification as it stands: `status` and `says` are of its last try; `body` is what is sent."""

    id: str
    endpoint: str
    event: str
    body: str
    state: str
    tries: int
    due_at: datetime
    status: int | None
    says: str
    created_at: datetime
    ended_at: datetime | None


@dataclass(frozen=True)
class Taken:
    """A notification that somebody has taken up to send it: its try, where to, and the secrets that sign."""

    id: str
    endpoint: str
    body: str
    tries: int
    url: str
    secret: str
    old_secret: str | None
    old_until: datetime | None

    def secrets(self, now: datetime) -> tuple[str, ...]:
        """The secrets that sign at this time, the newest first."""
        old = self.old_secret if self.old_until is not None and self.old_until > now else None
        return (self.secret,) if old is None else (self.secret, old)


class EndpointStore:
    """The endpoints of one workshop, within one transaction."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop

    async def add(self, new: NewEndpoint) -> EndpointRecord:
        """Writes an endpoint down."""
        row = EndpointRow(
            id=new.id,
            workshop_id=self._workshop,
            url=new.url,
            events=" ".join(new.events),
            says=new.says,
            secret=new.secret,
            old_secret=None,
            old_until=None,
            disabled_because=ENABLED,
            created_at=new.created_at,
        )
        self._session.add(row)
        await self._session.flush()
        return _endpoint(row)

    async def endpoint(self, name: str) -> EndpointRecord | None:
        """The endpoint, or None when this workshop has none of that name."""
        chosen = select(EndpointRow).where(EndpointRow.id == name, EndpointRow.workshop_id == self._workshop)
        row = (await self._session.execute(chosen)).scalar_one_or_none()
        return None if row is None else _endpoint(row)

    async def endpoints(self, limit: int, offset: int) -> Page[EndpointRecord]:
        """Endpoints in the order in which they were made."""
        own = EndpointRow.workshop_id == self._workshop
        chosen = select(EndpointRow).where(own).order_by(EndpointRow.created_at, EndpointRow.id)
        rows = (await self._session.execute(chosen.limit(limit).offset(offset))).scalars()
        total = await self._session.execute(select(func.count()).select_from(EndpointRow).where(own))
        return Page(tuple(_endpoint(row) for row in rows), total.scalar_one())

    async def replace_secret(self, name: str, secret: str, old_until: datetime) -> None:
        """Signs with another secret from now on, and with the one before until then."""
        await self._session.execute(
            update(EndpointRow)
            .where(EndpointRow.id == name, EndpointRow.workshop_id == self._workshop)
            .values(secret=secret, old_secret=EndpointRow.secret, old_until=old_until)
        )

    async def disable(self, name: str, because: str) -> None:
        """Notifies an endpoint no more, or with ENABLED again."""
        await self._session.execute(
            update(EndpointRow)
            .where(EndpointRow.id == name, EndpointRow.workshop_id == self._workshop)
            .values(disabled_because=because)
        )

    async def remove(self, name: str) -> None:
        """Deletes an endpoint and its notifications."""
        own = (EndpointRow.id == name, EndpointRow.workshop_id == self._workshop)
        await self._session.execute(delete(EndpointRow).where(*own))


class NotificationStore:
    """The notifications of one workshop, within one transaction."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop

    async def announce(self, event: str, body: str, at: datetime) -> None:
        """Writes an event down for every endpoint that listens to it. Nothing is sent before the transaction ends."""
        listening = select(EndpointRow).where(
            EndpointRow.workshop_id == self._workshop, EndpointRow.disabled_because == ENABLED
        )
        # Held until the end, so that no endpoint is deleted or disabled in between.
        found = await self._session.execute(listening.with_for_update(read=True))
        for endpoint in found.scalars():
            if event in endpoint.events.split():
                self._session.add(self._row(endpoint.id, event, body, at))
        await self._session.flush()

    async def notification(self, name: str) -> NotificationRecord | None:
        """The notification, or None when this workshop has none of that name."""
        chosen = select(NotificationRow).where(
            NotificationRow.id == name, NotificationRow.workshop_id == self._workshop
        )
        row = (await self._session.execute(chosen)).scalar_one_or_none()
        return None if row is None else _notification(row)

    async def notifications(
        self, limit: int, before: NotificationRecord | None, state: str | None
    ) -> tuple[NotificationRecord, ...]:
        """Notifications in a state, or all, the newest first: those that are older than `before`."""
        chosen = select(NotificationRow).where(NotificationRow.workshop_id == self._workshop)
        if state is not None:
            chosen = chosen.where(NotificationRow.state == state)
        if before is not None:
            same = and_(NotificationRow.created_at == before.created_at, NotificationRow.id < before.id)
            chosen = chosen.where(or_(NotificationRow.created_at < before.created_at, same))
        ordered = chosen.order_by(NotificationRow.created_at.desc(), NotificationRow.id.desc()).limit(limit)
        return tuple(_notification(row) for row in (await self._session.execute(ordered)).scalars())

    async def send_again(self, name: str, at: datetime) -> None:
        """Has a notification wait to be sent at once, with all of its tries before it."""
        await self._session.execute(
            update(NotificationRow)
            .where(NotificationRow.id == name, NotificationRow.workshop_id == self._workshop)
            .values(state=WAITING, tries=0, due_at=at, ended_at=None)
        )

    def _row(self, endpoint: str, event: str, body: str, at: datetime) -> NotificationRow:
        return NotificationRow(
            id=str(uuid4()),
            workshop_id=self._workshop,
            endpoint_id=endpoint,
            event=event,
            body=body,
            state=WAITING,
            tries=0,
            due_at=at,
            status=None,
            says="",
            created_at=at,
            ended_at=None,
        )


async def take(session: AsyncSession, now: datetime, lease: timedelta, most: int) -> tuple[Taken, ...]:
    """Takes up notifications of all workshops that are due; nobody else is given them while `lease` lasts.

    On PostgreSQL rows that another server is just taking are passed over; SQLite has one writer at a time.
    """
    due = (NotificationRow.state == WAITING, NotificationRow.due_at <= now)
    first = select(NotificationRow.id).where(*due).order_by(NotificationRow.due_at).limit(most)
    if (await session.execute(first.limit(1))).first() is None:
        return ()
    taken = await session.execute(
        update(NotificationRow)
        .where(NotificationRow.id.in_(first.with_for_update(skip_locked=True)), *due)
        .values(due_at=now + lease, tries=NotificationRow.tries + 1)
        .returning(NotificationRow.id)
        .execution_options(synchronize_session=False)
    )
    names = list(taken.scalars())
    chosen = (
        select(NotificationRow, EndpointRow)
        .join(EndpointRow, NotificationRow.endpoint_id == EndpointRow.id)
        .where(NotificationRow.id.in_(names))
        .order_by(NotificationRow.created_at, NotificationRow.id)
    )
    return tuple(_taken(row, endpoint) for row, endpoint in (await session.execute(chosen)).tuples())


@dataclass(frozen=True)
class Ended:
    """What came of a try: the state that the notification is now in, and when it is due again or was done with."""

    state: str
    at: datetime
    status: int | None
    says: str


async def tried(session: AsyncSession, taken: Taken, ended: Ended) -> None:
    """Writes down what came of a try, unless another one has been begun, or the notification has ended."""
    when = {"due_at": ended.at} if ended.state == WAITING else {"ended_at": ended.at}
    own = (NotificationRow.id == taken.id, NotificationRow.tries == taken.tries, NotificationRow.state == WAITING)
    await session.execute(
        update(NotificationRow)
        .where(*own)
        .values(state=ended.state, status=ended.status, says=ended.says, **when)
        .execution_options(synchronize_session=False)
    )


async def gone(session: AsyncSession, endpoint: str) -> None:
    """Disables an endpoint that has answered that it is gone."""
    await session.execute(update(EndpointRow).where(EndpointRow.id == endpoint).values(disabled_because=GONE))


async def give_up(session: AsyncSession, endpoint: str, says: str, at: datetime) -> None:
    """Ends every notification that waits for an endpoint."""
    await session.execute(
        update(NotificationRow)
        .where(NotificationRow.endpoint_id == endpoint, NotificationRow.state == WAITING)
        .values(state=DEAD, says=says, ended_at=at)
    )


async def forget_sent(session: AsyncSession, before: datetime) -> None:
    """Deletes notifications that were sent before that time."""
    old: ColumnElement[bool] = and_(NotificationRow.state == SENT, NotificationRow.ended_at < before)
    await session.execute(delete(NotificationRow).where(old).execution_options(synchronize_session=False))


def _endpoint(row: EndpointRow) -> EndpointRecord:
    return EndpointRecord(
        id=row.id,
        url=row.url,
        events=tuple(row.events.split()),
        says=row.says,
        disabled_because=row.disabled_because,
        old_until=row.old_until,
        created_at=row.created_at,
    )


def _notification(row: NotificationRow) -> NotificationRecord:
    return NotificationRecord(
        id=row.id,
        endpoint=row.endpoint_id,
        event=row.event,
        body=row.body,
        state=row.state,
        tries=row.tries,
        due_at=row.due_at,
        status=row.status,
        says=row.says,
        created_at=row.created_at,
        ended_at=row.ended_at,
    )


def _taken(row: NotificationRow, endpoint: EndpointRow) -> Taken:
    return Taken(
        id=row.id,
        endpoint=endpoint.id,
        body=row.body,
        tries=row.tries,
        url=endpoint.url,
        secret=endpoint.secret,
        old_secret=endpoint.old_secret,
        old_until=endpoint.old_until,
    )
