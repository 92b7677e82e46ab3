"""Which server works at which job, across all workshops: taken, renewed, given back.

A lease is taken by one statement that changes a row only while it is free, so that of several servers one has it. The
servers' clocks must agree within a small part of a lease.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import or_, select, update

from api.storage.jobs import WAITING
from api.storage.tables import JobRow

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import ColumnElement
    from sqlalchemy.ext.asyncio import AsyncSession


@dataclass(frozen=True)
class Lease:
    """A server by a name of its own, and the seconds for which a job is its alone unless it renews them."""

    owner: str
    seconds: float

    def until(self, now: datetime) -> datetime:
        """When a lease that is taken or renewed now ends."""
        return now + timedelta(seconds=self.seconds)


@dataclass(frozen=True)
class Taken:
    """A job that this server has taken up; `request` is JSON text."""

    id: str
    workshop: str
    grade: str
    request: str


async def take(session: AsyncSession, lease: Lease, most: int) -> tuple[Taken, ...]:
    """Takes up to so many jobs that have not ended and are nobody's, or whose server has not been heard of in time."""
    now = datetime.now(UTC)
    chosen = select(JobRow.id).where(*_free(now)).order_by(JobRow.created_at, JobRow.id).limit(most)
    names = (await session.execute(chosen)).scalars().all()
    if not names:
        return ()
    taken = await session.execute(
        update(JobRow)
        .where(JobRow.id.in_(names), *_free(now))
        .values(owner=lease.owner, held_until=lease.until(now))
        .returning(JobRow.id)
        .execution_options(synchronize_session=False)
    )
    rows = select(JobRow).where(JobRow.id.in_(taken.scalars().all())).order_by(JobRow.created_at, JobRow.id)
    found = (await session.execute(rows)).scalars()
    return tuple(Taken(row.id, row.workshop_id, row.grade_id, row.request) for row in found)


async def renew(session: AsyncSession, lease: Lease, progress: Mapping[str, str]) -> frozenset[str]:
    """Renews the leases of these jobs and notes how far each has come; gives those that are still this server's."""
    held: set[str] = set()
    until = lease.until(datetime.now(UTC))
    for name in sorted(progress):
        renewed = await session.execute(
            update(JobRow)
            .where(JobRow.id == name, JobRow.state == WAITING, JobRow.owner == lease.owner)
            .values(held_until=until, progress=progress[name])
            .returning(JobRow.id)
            .execution_options(synchronize_session=False)
        )
        held.update(renewed.scalars())
    return frozenset(held)


async def give_back(session: AsyncSession, lease: Lease) -> None:
    """Lets every job go that is this server's and has not ended, for whoever takes it up next."""
    await session.execute(
        update(JobRow)
        .where(JobRow.state == WAITING, JobRow.owner == lease.owner)
        .values(owner=None, held_until=None)
        .execution_options(synchronize_session=False)
    )


def _free(now: datetime) -> tuple[ColumnElement[bool], ...]:
    return JobRow.state == WAITING, or_(JobRow.owner.is_(None), JobRow.held_until < now)
