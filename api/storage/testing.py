"""Reads and writes testers' records within one workshop."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from api.storage.records import Page, TesterRecord
from api.storage.tables import TesterRecordRow

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession


@dataclass(frozen=True)
class NewTesterRecord:
    """A record to be written down; `content` is JSON text: measures, minutes, remarks."""

    id: str
    revision: str
    size: str
    cloth: str
    content: str


class TesterStore:
    """The testers' records of one workshop, within one transaction; none is ever changed."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop

    async def add(self, pattern: str, new: NewTesterRecord) -> TesterRecord:
        """Writes a record down."""
        row = TesterRecordRow(
            id=new.id,
            workshop_id=self._workshop,
            revision_id=new.revision,
            size=new.size,
            cloth=new.cloth,
            content=new.content,
            created_at=datetime.now(UTC),
        )
        self._session.add(row)
        await self._session.flush()
        return _record(row, pattern)

    async def records(self, pattern: str, revision: str, limit: int, offset: int) -> Page[TesterRecord]:
        """The records of a revision in the order in which they came in."""
        of_revision = (TesterRecordRow.revision_id == revision, TesterRecordRow.workshop_id == self._workshop)
        ordered = select(TesterRecordRow).where(*of_revision).order_by(TesterRecordRow.created_at, TesterRecordRow.id)
        found = await self._session.execute(ordered.limit(limit).offset(offset))
        counted = await self._session.execute(select(func.count()).select_from(TesterRecordRow).where(*of_revision))
        return Page(tuple(_record(row, pattern) for row in found.scalars()), counted.scalar_one())


def _record(row: TesterRecordRow, pattern: str) -> TesterRecord:
    return TesterRecord(row.id, pattern, row.revision_id, row.size, row.cloth, row.content, row.created_at)
