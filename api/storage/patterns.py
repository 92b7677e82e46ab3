"""Reads and writes patterns and their revisions within one workshop."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from advanced_alchemy.filters import LimitOffset
from advanced_alchemy.repository import SQLAlchemyAsyncRepository
from sqlalchemy import func, select, update

from api.storage.records import Page, PatternRecord, RevisionEntry, RevisionRecord
from api.storage.tables import PatternRow, RevisionRow

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession


class _Patterns(SQLAlchemyAsyncRepository[PatternRow]):
    model_type = PatternRow


class _Revisions(SQLAlchemyAsyncRepository[RevisionRow]):
    model_type = RevisionRow


class PatternStore:
    """The patterns of one workshop, within one transaction."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop
        self._patterns = _Patterns(session=session, wrap_exceptions=False)
        self._revisions = _Revisions(session=session, wrap_exceptions=False)

    async def create(self, pattern: str, name: str, revision: str, document: str) -> PatternRecord:
        """Writes a new pattern with its first revision."""
        now = datetime.now(UTC)
        row = PatternRow(id=pattern, workshop_id=self._workshop, name=name, head=revision, created_at=now)
        await self._patterns.add(row)
        await self._add_revision(pattern, revision, 1, document)
        return PatternRecord(pattern, name, revision, 1, now)

    async def pattern(self, pattern: str) -> PatternRecord | None:
        """The pattern, or None when this workshop has none of that name."""
        row = await self._patterns.get_one_or_none(id=pattern, workshop_id=self._workshop)
        return None if row is None else _pattern(row, await self._count(pattern))

    async def patterns(self, limit: int, offset: int) -> Page[PatternRecord]:
        """Patterns in the order in which they were stored."""
        rows, total = await self._patterns.get_many_and_count(
            LimitOffset(limit, offset),
            workshop_id=self._workshop,
            order_by=[("created_at", False), ("id", False)],
        )
        counts = await self._counts([row.id for row in rows])
        return Page(tuple(_pattern(row, counts[row.id]) for row in rows), total)

    async def revision(self, pattern: str, revision: str) -> RevisionRecord | None:
        """The revision with its document, or None."""
        row = await self._revisions.get_one_or_none(id=revision, pattern_id=pattern, workshop_id=self._workshop)
        if row is None:
            return None
        return RevisionRecord(row.id, row.pattern_id, row.number, row.created_at, row.document)

    async def revisions(self, pattern: str, limit: int, offset: int) -> Page[RevisionEntry]:
        """Revisions by number; documents are left where they are."""
        fields = (RevisionRow.id, RevisionRow.pattern_id, RevisionRow.number, RevisionRow.created_at)
        chosen = select(*fields).where(RevisionRow.pattern_id == pattern, RevisionRow.workshop_id == self._workshop)
        found = await self._session.execute(chosen.order_by(RevisionRow.number).limit(limit).offset(offset))
        return Page(tuple(RevisionEntry(*row) for row in found.all()), await self._count(pattern))

    async def move_head(self, pattern: str, held: str, revision: str, name: str) -> bool:
        """Moves the head from `held` to the revision; False, and nothing changed, when it was elsewhere already."""
        moved = await self._session.execute(
            update(PatternRow)
            .where(PatternRow.id == pattern, PatternRow.workshop_id == self._workshop, PatternRow.head == held)
            .values(head=revision, name=name)
            .returning(PatternRow.id)
        )
        return moved.scalar_one_or_none() is not None

    async def add_revision(self, pattern: str, revision: str, document: str) -> RevisionRecord:
        """Writes the next revision of a pattern; call it after `move_head`, which holds the pattern."""
        return await self._add_revision(pattern, revision, await self._count(pattern) + 1, document)

    async def _add_revision(self, pattern: str, revision: str, number: int, document: str) -> RevisionRecord:
        now = datetime.now(UTC)
        row = RevisionRow(
            id=revision,
            workshop_id=self._workshop,
            pattern_id=pattern,
            number=number,
            document=document,
            created_at=now,
        )
        await self._revisions.add(row)
        return RevisionRecord(revision, pattern, number, now, document)

    async def _count(self, pattern: str) -> int:
        return (await self._counts([pattern])).get(pattern, 0)

    async def _counts(self, patterns: list[str]) -> dict[str, int]:
        counted = (
            select(RevisionRow.pattern_id, func.count())
            .where(RevisionRow.pattern_id.in_(patterns), RevisionRow.workshop_id == self._workshop)
            .group_by(RevisionRow.pattern_id)
        )
        return dict((await self._session.execute(counted)).tuples().all())


def _pattern(row: PatternRow, revisions: int) -> PatternRecord:
    return PatternRecord(row.id, row.name, row.head, revisions, row.created_at)
