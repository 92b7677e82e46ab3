"""Drafts: pattern documents in work, with every state that they have been in."""

from __future__ import annotations

from datetime import datetime

from advanced_alchemy.base import DefaultBase
from advanced_alchemy.types import DateTimeUTC
from sqlalchemy import CheckConstraint, ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from api.storage.tables.lengths import HASH_LENGTH, UUID_LENGTH


class DraftRow(DefaultBase):
    """A document in work: `at` is the state that it is in, `version` counts every change, also undoing one."""

    __tablename__ = "drafts"
    __table_args__ = (
        CheckConstraint("version >= 1", name="version_from_one"),
        Index("ix_drafts_workshop_id_changed_at", "workshop_id", "changed_at", "id"),
        Index("ix_drafts_pattern_id", "pattern_id"),
    )

    id: Mapped[str] = mapped_column(String(UUID_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_drafts_workshop_id_workshops"))
    pattern_id: Mapped[str | None] = mapped_column(
        ForeignKey("patterns.id", name="fk_drafts_pattern_id_patterns", ondelete="CASCADE")
    )
    base: Mapped[str | None] = mapped_column(String(HASH_LENGTH))
    name: Mapped[str] = mapped_column(Text)
    version: Mapped[int]
    at: Mapped[int]
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
    changed_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))


class DraftStateRow(DefaultBase):
    """One state of a draft and the state before it; it never changes, and stays when its change is undone."""

    __tablename__ = "draft_states"
    __table_args__ = (Index("ix_draft_states_workshop_id", "workshop_id"),)

    draft_id: Mapped[str] = mapped_column(
        ForeignKey("drafts.id", name="fk_draft_states_draft_id_drafts", ondelete="CASCADE"), primary_key=True
    )
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_draft_states_workshop_id_workshops"))
    before: Mapped[int | None]
    says: Mapped[str] = mapped_column(Text)
    document: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
