"""The workshops: the house's own, which every database has, and those that were made beside it."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import select
from sqlalchemy.dialects.postgresql import insert as postgresql_insert
from sqlalchemy.dialects.sqlite import insert as sqlite_insert

from api.storage.records import WorkshopRecord
from api.storage.tables import WorkshopRow

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession

HOUSE = "00000000-0000-4000-8000-000000000001"
HOUSE_NAME = "This workshop"


async def ensure_house(session: AsyncSession) -> None:
    """Writes the house's own workshop down if it is not there yet.

    Of several servers that do it at once all but one wait until the transaction of that one has ended.
    """
    values = {"id": HOUSE, "name": HOUSE_NAME, "created_at": datetime.now(UTC)}
    insert = sqlite_insert if session.get_bind().dialect.name == "sqlite" else postgresql_insert
    await session.execute(insert(WorkshopRow).values(**values).on_conflict_do_nothing())
    await session.execute(select(WorkshopRow.id).where(WorkshopRow.id == HOUSE).with_for_update())


async def add_workshop(session: AsyncSession, workshop: str, name: str) -> None:
    """Writes a workshop down."""
    session.add(WorkshopRow(id=workshop, name=name, created_at=datetime.now(UTC)))
    await session.flush()


async def workshop(session: AsyncSession, name: str) -> WorkshopRecord | None:
    """The workshop of that id, or None."""
    row = await session.get(WorkshopRow, name)
    return None if row is None else _workshop(row)


async def workshops(session: AsyncSession) -> tuple[WorkshopRecord, ...]:
    """All workshops in the order in which they were made, for who has the database at hand."""
    found = await session.execute(select(WorkshopRow).order_by(WorkshopRow.created_at, WorkshopRow.id))
    return tuple(_workshop(row) for row in found.scalars())


def _workshop(row: WorkshopRow) -> WorkshopRecord:
    return WorkshopRecord(row.id, row.name, row.created_at)
