"""Reads and writes grades within one workshop."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import select

from api.storage.records import GradeRecord
from api.storage.tables import GradeRow, RevisionRow

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession


@dataclass(frozen=True)
class NewGrade:
    """A grade to be written down; `request`, `document`, `proof` and `answer` are JSON texts."""

    id: str
    revision: str
    engine: str
    request: str
    document: str
    proof: str
    cut_list_csv: str
    answer: str | None = None


class GradeStore:
    """The grades of one workshop, within one transaction."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop

    async def grade(self, grade: str) -> GradeRecord | None:
        """The grade, or None when this workshop has none of that name."""
        chosen = (
            select(GradeRow, RevisionRow.pattern_id)
            .join(RevisionRow, GradeRow.revision_id == RevisionRow.id)
            .where(GradeRow.id == grade, GradeRow.workshop_id == self._workshop)
        )
        found = (await self._session.execute(chosen)).one_or_none()
        return None if found is None else _grade(found[0], found[1])

    async def add(self, new: NewGrade) -> None:
        """Writes a grade down; raises SQLAlchemy's IntegrityError at commit when it is there already."""
        self._session.add(
            GradeRow(
                id=new.id,
                workshop_id=self._workshop,
                revision_id=new.revision,
                engine=new.engine,
                request=new.request,
                document=new.document,
                proof=new.proof,
                cut_list_csv=new.cut_list_csv,
                created_at=datetime.now(UTC),
                answer=new.answer,
            )
        )
        await self._session.flush()


def _grade(row: GradeRow, pattern: str) -> GradeRecord:
    return GradeRecord(
        id=row.id,
        pattern=pattern,
        revision=row.revision_id,
        engine=row.engine,
        request=row.request,
        document=row.document,
        proof=row.proof,
        cut_list_csv=row.cut_list_csv,
        created_at=row.created_at,
        answer=row.answer,
    )
