"""The owners."""

from __future__ import annotations

from datetime import datetime

from advanced_alchemy.base import DefaultBase
from advanced_alchemy.types import DateTimeUTC
from sqlalchemy import String
from sqlalchemy.orm import Mapped, mapped_column

from api.storage.tables.lengths import NAME_LENGTH, UUID_LENGTH


class WorkshopRow(DefaultBase):
    """Who owns patterns and all that comes of them."""

    __tablename__ = "workshops"

    id: Mapped[str] = mapped_column(String(UUID_LENGTH), primary_key=True)
    name: Mapped[str] = mapped_column(String(NAME_LENGTH))
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
