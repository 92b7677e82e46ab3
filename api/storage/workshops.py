"""The workshops. There is one as long as nobody signs in: the house's own."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from api.storage.tables import WorkshopRow

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession

HOUSE = "00000000-0000-4000-8000-000000000001"
HOUSE_NAME = "This workshop"


async def ensure_house(session: AsyncSession) -> None:
    """Writes the one workshop down if it is not there yet."""
    if await session.get(WorkshopRow, HOUSE) is None:
        session.add(WorkshopRow(id=HOUSE, name=HOUSE_NAME, created_at=datetime.now(UTC)))
