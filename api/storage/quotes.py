"""Reads and writes offers and quotes within one workshop; neither is ever changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import select

from api.storage.tables import OfferRow, QuoteRow, RevisionRow

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession


@dataclass(frozen=True)
class NewQuote:
    """A quote to be written down; `wish`, `supplies` and `price` are JSON texts."""

    id: str
    revision: str
    grade: str
    layouts: str
    engine: str
    wish: str
    supplies: str
    price: str
    created_at: datetime
    valid_until: datetime


@dataclass(frozen=True)
class QuoteRecord(NewQuote):
    """A quote as it was written down, with its pattern."""

    pattern: str


class QuoteStore:
    """The offers and quotes of one workshop, within one transaction."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop

    async def offer(self, revision: str, engine: str) -> str | None:
        """What a revision offers, if this engine has worked it out before."""
        chosen = select(OfferRow.document).where(
            OfferRow.revision_id == revision, OfferRow.engine == engine, OfferRow.workshop_id == self._workshop
        )
        return (await self._session.execute(chosen)).scalar_one_or_none()

    async def add_offer(self, revision: str, engine: str, document: str) -> None:
        """Writes an offer down; raises SQLAlchemy's IntegrityError when it is there already."""
        self._session.add(OfferRow(revision_id=revision, engine=engine, workshop_id=self._workshop, document=document))
        await self._session.flush()

    async def quote(self, name: str) -> QuoteRecord | None:
        """The quote, or None when this workshop has none of that name."""
        chosen = (
            select(QuoteRow, RevisionRow.pattern_id)
            .join(RevisionRow, QuoteRow.revision_id == RevisionRow.id)
            .where(QuoteRow.id == name, QuoteRow.workshop_id == self._workshop)
        )
        found = (await self._session.execute(chosen)).one_or_none()
        return None if found is None else quote_record(found[0], found[1])

    async def add(self, new: NewQuote) -> None:
        """Writes a quote down."""
        row = QuoteRow(
            id=new.id,
            workshop_id=self._workshop,
            revision_id=new.revision,
            grade_id=new.grade,
            layouts_id=new.layouts,
            engine=new.engine,
            wish=new.wish,
            supplies=new.supplies,
            price=new.price,
            created_at=new.created_at,
            valid_until=new.valid_until,
        )
        self._session.add(row)
        await self._session.flush()


def quote_record(row: QuoteRow, pattern: str) -> QuoteRecord:
    """A row and its pattern as a record."""
    return QuoteRecord(
        id=row.id,
        revision=row.revision_id,
        grade=row.grade_id,
        layouts=row.layouts_id,
        engine=row.engine,
        wish=row.wish,
        supplies=row.supplies,
        price=row.price,
        created_at=row.created_at,
        valid_until=row.valid_until,
        pattern=pattern,
    )
