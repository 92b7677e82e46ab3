"""Graded sizes, and what testers tell of them; neither changes once written."""

from __future__ import annotations

from datetime import datetime

from advanced_alchemy.base import DefaultBase
from advanced_alchemy.types import DateTimeUTC
from sqlalchemy import ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from api.storage.tables.lengths import HASH_LENGTH, NAME_LENGTH, SIZE_LENGTH, UUID_LENGTH


class GradeRow(DefaultBase):
    """What one size request made of one revision, with its proof, exactly as it is sent out."""

    __tablename__ = "grades"
    __table_args__ = (
        Index("ix_grades_workshop_id", "workshop_id"),
        Index("ix_grades_revision_id", "revision_id"),
    )

    id: Mapped[str] = mapped_column(String(HASH_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_grades_workshop_id_workshops"))
    revision_id: Mapped[str] = mapped_column(
        ForeignKey("revisions.id", name="fk_grades_revision_id_revisions", ondelete="CASCADE")
    )
    engine: Mapped[str] = mapped_column(String(NAME_LENGTH))
    request: Mapped[str] = mapped_column(Text)
    document: Mapped[str] = mapped_column(Text)
    proof: Mapped[str] = mapped_column(Text)
    cut_list_csv: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
    answer: Mapped[str | None] = mapped_column(Text)


class TesterRecordRow(DefaultBase):
    """What a tester sent in of one size of a revision."""

    __tablename__ = "tester_records"
    __table_args__ = (
        Index("ix_tester_records_workshop_id", "workshop_id"),
        Index("ix_tester_records_revision_id_created_at", "revision_id", "created_at", "id"),
    )

    id: Mapped[str] = mapped_column(String(UUID_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_tester_records_workshop_id_workshops"))
    revision_id: Mapped[str] = mapped_column(
        ForeignKey("revisions.id", name="fk_tester_records_revision_id_revisions", ondelete="CASCADE")
    )
    size: Mapped[str] = mapped_column(String(SIZE_LENGTH))
    cloth: Mapped[str] = mapped_column(Text)
    content: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
