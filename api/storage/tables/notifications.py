"""Where a workshop's notifications go, and each notification on its way there."""

from __future__ import annotations

from datetime import datetime

from advanced_alchemy.base import DefaultBase
from advanced_alchemy.types import DateTimeUTC
from sqlalchemy import CheckConstraint, ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from api.storage.tables.lengths import NAME_LENGTH, UUID_LENGTH, WORD_LENGTH


class EndpointRow(DefaultBase):
    """An address that is notified. Its secrets are kept as they are, since every notification is signed with them.

    `events` has spaces between; the `old_secret` signs too until `old_until`. `disabled_because` is empty while it is
    enabled.
    """

    __tablename__ = "endpoints"
    __table_args__ = (Index("ix_endpoints_workshop_id_created_at", "workshop_id", "created_at", "id"),)

    id: Mapped[str] = mapped_column(String(UUID_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_endpoints_workshop_id_workshops"))
    url: Mapped[str] = mapped_column(Text)
    events: Mapped[str] = mapped_column(Text)
    says: Mapped[str] = mapped_column(String(NAME_LENGTH))
    secret: Mapped[str] = mapped_column(String(NAME_LENGTH))
    old_secret: Mapped[str | None] = mapped_column(String(NAME_LENGTH))
    old_until: Mapped[datetime | None] = mapped_column(DateTimeUTC(timezone=True))
    disabled_because: Mapped[str] = mapped_column(String(WORD_LENGTH))
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))


class NotificationRow(DefaultBase):
    """One event on its way to one endpoint, with the very body that is sent.

    While it waits, `due_at` is when it may be sent next; whoever takes it up puts that off, and is known by the number
    of its try. What a server that has crashed had taken up is due again by itself.
    """

    __tablename__ = "notifications"
    __table_args__ = (
        CheckConstraint("tries >= 0", name="tries_from_none"),
        Index("ix_notifications_state_due_at", "state", "due_at"),
        Index("ix_notifications_workshop_id_created_at", "workshop_id", "created_at", "id"),
        Index("ix_notifications_endpoint_id", "endpoint_id"),
    )

    id: Mapped[str] = mapped_column(String(UUID_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_notifications_workshop_id_workshops"))
    endpoint_id: Mapped[str] = mapped_column(
        ForeignKey("endpoints.id", name="fk_notifications_endpoint_id_endpoints", ondelete="CASCADE")
    )
    event: Mapped[str] = mapped_column(String(WORD_LENGTH))
    body: Mapped[str] = mapped_column(Text)
    state: Mapped[str] = mapped_column(String(WORD_LENGTH))
    tries: Mapped[int]
    due_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
    status: Mapped[int | None]
    says: Mapped[str] = mapped_column(String(NAME_LENGTH))
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
    ended_at: Mapped[datetime | None] = mapped_column(DateTimeUTC(timezone=True))
