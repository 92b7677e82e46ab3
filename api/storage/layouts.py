"""Reads and writes layouts within one workshop."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import select

from api.storage.records import LayoutsRecord
from api.storage.tables import LayoutsRow

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession


@dataclass(frozen=True)
class NewLayouts:
    """Layouts to be written down; `document` is JSON text."""

    id: str
    grade: str
    engine: str
    document: str
    pieces_csv: str


class LayoutsStore:
    """The layouts of one workshop, within one transaction."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop

    async def layouts(self, name: str) -> LayoutsRecord | None:
        """The layouts, or None when this workshop has none of that name."""
        chosen = select(LayoutsRow).where(LayoutsRow.id == name, LayoutsRow.workshop_id == self._workshop)
        row = (await self._session.execute(chosen)).scalar_one_or_none()
        if row is None:
            return None
        return LayoutsRecord(row.id, row.grade_id, row.engine, row.document, row.pieces_csv, row.created_at)

    async def add(self, new: NewLayouts) -> None:
        """Writes layouts down; raises SQLAlchemy's IntegrityError when they are there already."""
        row = LayoutsRow(
            id=new.id,
            workshop_id=self._workshop,
            grade_id=new.grade,
            engine=new.engine,
            document=new.document,
            pieces_csv=new.pieces_csv,
            created_at=datetime.now(UTC),
        )
        self._session.add(row)
        await self._session.flush()
