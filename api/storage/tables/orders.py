"""Order forms as they were worked out, quotes, orders with their history, and the keys that keep an order single."""

from __future__ import annotations

from datetime import datetime

from advanced_alchemy.base import DefaultBase
from advanced_alchemy.types import DateTimeUTC
from sqlalchemy import CheckConstraint, ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from api.storage.tables.lengths import (
    HASH_LENGTH,
    IDEMPOTENCY_KEY_LENGTH,
    KEY_NAME_LENGTH,
    NAME_LENGTH,
    UUID_LENGTH,
    WORD_LENGTH,
)


class OfferRow(DefaultBase):
    """What a revision offers to customers, as an engine has worked it out; it never changes."""

    __tablename__ = "offers"
    __table_args__ = (Index("ix_offers_workshop_id", "workshop_id"),)

    revision_id: Mapped[str] = mapped_column(
        ForeignKey("revisions.id", name="fk_offers_revision_id_revisions", ondelete="CASCADE"), primary_key=True
    )
    engine: Mapped[str] = mapped_column(String(NAME_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_offers_workshop_id_workshops"))
    document: Mapped[str] = mapped_column(Text)


class QuoteRow(DefaultBase):
    """What was wished of one revision, what was made of it, and its price until a time; it never changes.

    Nothing that it was made from can be deleted while it is there.
    """

    __tablename__ = "quotes"
    __table_args__ = (
        Index("ix_quotes_workshop_id", "workshop_id"),
        Index("ix_quotes_revision_id", "revision_id"),
        Index("ix_quotes_grade_id", "grade_id"),
        Index("ix_quotes_layouts_id", "layouts_id"),
    )

    id: Mapped[str] = mapped_column(String(UUID_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_quotes_workshop_id_workshops"))
    revision_id: Mapped[str] = mapped_column(ForeignKey("revisions.id", name="fk_quotes_revision_id_revisions"))
    grade_id: Mapped[str] = mapped_column(ForeignKey("grades.id", name="fk_quotes_grade_id_grades"))
    layouts_id: Mapped[str] = mapped_column(ForeignKey("layouts.id", name="fk_quotes_layouts_id_layouts"))
    engine: Mapped[str] = mapped_column(String(NAME_LENGTH))
    wish: Mapped[str] = mapped_column(Text)
    supplies: Mapped[str] = mapped_column(Text)
    price: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
    valid_until: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))


class OrderRow(DefaultBase):
    """An order of one quote. Its state moves, and with every change its version."""

    __tablename__ = "orders"
    __table_args__ = (
        UniqueConstraint("quote_id", name="uq_orders_quote_id"),
        CheckConstraint("version >= 1", name="version_from_one"),
        Index("ix_orders_workshop_id_created_at", "workshop_id", "created_at", "id"),
    )

    id: Mapped[str] = mapped_column(String(UUID_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_orders_workshop_id_workshops"))
    quote_id: Mapped[str] = mapped_column(ForeignKey("quotes.id", name="fk_orders_quote_id_quotes"))
    state: Mapped[str] = mapped_column(String(WORD_LENGTH))
    version: Mapped[int]
    customer: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
    changed_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))


class OrderEventRow(DefaultBase):
    """One entry of an order's history: a state that it came into, or a note."""

    __tablename__ = "order_events"
    __table_args__ = (Index("ix_order_events_workshop_id", "workshop_id"),)

    order_id: Mapped[str] = mapped_column(
        ForeignKey("orders.id", name="fk_order_events_order_id_orders", ondelete="CASCADE"), primary_key=True
    )
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_order_events_workshop_id_workshops"))
    kind: Mapped[str] = mapped_column(String(WORD_LENGTH))
    state: Mapped[str] = mapped_column(String(WORD_LENGTH))
    says: Mapped[str] = mapped_column(Text)
    at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))


class IdempotencyKeyRow(DefaultBase):
    """A key by which an order was placed, and what was answered: the same key places no second one.

    `holder` keeps the keys of each order form, and those of the workshop itself (empty), apart.
    """

    __tablename__ = "idempotency_keys"

    workshop_id: Mapped[str] = mapped_column(
        ForeignKey("workshops.id", name="fk_idempotency_keys_workshop_id_workshops"), primary_key=True
    )
    holder: Mapped[str] = mapped_column(String(KEY_NAME_LENGTH), primary_key=True)
    key: Mapped[str] = mapped_column(String(IDEMPOTENCY_KEY_LENGTH), primary_key=True)
    fingerprint: Mapped[str] = mapped_column(String(HASH_LENGTH))
    order_id: Mapped[str] = mapped_column(String(UUID_LENGTH))
    answer: Mapped[str] = mapped_column(Text)
