"""Reads and writes jobs within one workshop."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import delete, func, select, update

from api.storage.records import JobRecord
from api.storage.tables import JobRow

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession

WAITING, DONE, FAILED, CANCELLED = "waiting", "done", "failed", "cancelled"


@dataclass(frozen=True)
class NewJob:
    """A job to be written down; `request` is JSON text. It is its owner's until a time; without one it is nobody's."""

    id: str
    grade: str
    kind: str
    engine: str
    request: str
    owner: str | None = None
    held_until: datetime | None = None


@dataclass(frozen=True)
class Ending:
    """How a job ended; `progress` and `problem` are JSON texts, `result` the name of what it made."""

    state: str
    progress: str = "{}"
    result: str | None = None
    problem: str | None = None


class JobStore:
    """The jobs of one workshop, within one transaction."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop

    async def add(self, new: NewJob) -> None:
        """Writes a job down that is about to be begun."""
        row = JobRow(
            id=new.id,
            workshop_id=self._workshop,
            grade_id=new.grade,
            kind=new.kind,
            engine=new.engine,
            request=new.request,
            state=WAITING,
            progress="{}",
            created_at=datetime.now(UTC),
            owner=new.owner,
            held_until=new.held_until,
        )
        self._session.add(row)
        await self._session.flush()

    async def job(self, name: str) -> JobRecord | None:
        """The job, or None when this workshop has none of that name."""
        chosen = select(JobRow).where(JobRow.id == name, JobRow.workshop_id == self._workshop)
        row = (await self._session.execute(chosen)).scalar_one_or_none()
        return None if row is None else _job(row)

    async def alike(self, new: NewJob, state: str) -> JobRecord | None:
        """The newest job in this state by which the same was asked of the same grade, if there is one."""
        chosen = select(JobRow).where(
            JobRow.grade_id == new.grade,
            JobRow.workshop_id == self._workshop,
            JobRow.kind == new.kind,
            JobRow.engine == new.engine,
            JobRow.request == new.request,
            JobRow.state == state,
        )
        found = await self._session.execute(chosen.order_by(JobRow.created_at.desc(), JobRow.id).limit(1))
        row = found.scalar_one_or_none()
        return None if row is None else _job(row)

    async def end(self, name: str, ending: Ending, owner: str | None = None) -> bool:
        """Writes down how a job ended; False, and nothing changed, when it had ended already, or is not `owner`'s."""
        whose = () if owner is None else (JobRow.owner == owner,)
        ended = await self._session.execute(
            update(JobRow)
            .where(JobRow.id == name, JobRow.workshop_id == self._workshop, JobRow.state == WAITING, *whose)
            .values(state=ending.state, progress=ending.progress, result=ending.result, problem=ending.problem)
            .returning(JobRow.id)
        )
        return ended.scalar_one_or_none() is not None

    async def forget(self, name: str) -> None:
        """Takes a job out of the table of which nobody has been told."""
        await self._session.execute(delete(JobRow).where(JobRow.id == name, JobRow.workshop_id == self._workshop))


async def counted_by_state(session: AsyncSession) -> dict[str, int]:
    """How many jobs of all workshops are in each state."""
    found = await session.execute(select(JobRow.state, func.count()).group_by(JobRow.state))
    counted = dict(found.tuples().all())
    return {state: counted.get(state, 0) for state in (WAITING, DONE, FAILED, CANCELLED)}


def _job(row: JobRow) -> JobRecord:
    return JobRecord(
        id=row.id,
        grade=row.grade_id,
        kind=row.kind,
        engine=row.engine,
        request=row.request,
        state=row.state,
        progress=row.progress,
        result=row.result,
        problem=row.problem,
        created_at=row.created_at,
    )
