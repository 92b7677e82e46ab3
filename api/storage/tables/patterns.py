"""Patterns and their revisions, which never change once written."""

from __future__ import annotations

from datetime import datetime

from advanced_alchemy.base import DefaultBase
from advanced_alchemy.types import DateTimeUTC
from sqlalchemy import CheckConstraint, ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from api.storage.tables.lengths import HASH_LENGTH, UUID_LENGTH


class PatternRow(DefaultBase):
    """A pattern: a name that lasts while its head moves from revision to revision."""

    __tablename__ = "patterns"
    __table_args__ = (Index("ix_patterns_workshop_id_created_at", "workshop_id", "created_at", "id"),)

    id: Mapped[str] = mapped_column(String(UUID_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_patterns_workshop_id_workshops"))
    name: Mapped[str] = mapped_column(Text)
    head: Mapped[str] = mapped_column(String(HASH_LENGTH))
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))


class RevisionRow(DefaultBase):
    """One state of a pattern document, named by its content within its pattern."""

    __tablename__ = "revisions"
    __table_args__ = (
        UniqueConstraint("pattern_id", "number", name="uq_revisions_pattern_id_number"),
        CheckConstraint("number >= 1", name="number_from_one"),
        Index("ix_revisions_workshop_id", "workshop_id"),
    )

    id: Mapped[str] = mapped_column(String(HASH_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_revisions_workshop_id_workshops"))
    pattern_id: Mapped[str] = mapped_column(
        ForeignKey("patterns.id", name="fk_revisions_pattern_id_patterns", ondelete="CASCADE")
    )
    number: Mapped[int]
    document: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
