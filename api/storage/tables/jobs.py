"""Work that may outlast a request."""

from __future__ import annotations

from datetime import datetime

from advanced_alchemy.base import DefaultBase
from advanced_alchemy.types import DateTimeUTC
from sqlalchemy import CheckConstraint, ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from api.storage.tables.lengths import HASH_LENGTH, NAME_LENGTH, UUID_LENGTH, WORD_LENGTH


class JobRow(DefaultBase):
    """Work on a grade that may outlast a request; a job that is neither done, failed nor cancelled is begun again.

    It is at most one server's, its owner's, until a time that the owner puts off while it works.
    """

    __tablename__ = "jobs"
    __table_args__ = (
        CheckConstraint("state IN ('waiting', 'done', 'failed', 'cancelled')", name="known_state"),
        Index("ix_jobs_workshop_id_state", "workshop_id", "state"),
        Index("ix_jobs_grade_id", "grade_id"),
        Index("ix_jobs_state_held_until", "state", "held_until"),
    )

    id: Mapped[str] = mapped_column(String(UUID_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_jobs_workshop_id_workshops"))
    grade_id: Mapped[str] = mapped_column(ForeignKey("grades.id", name="fk_jobs_grade_id_grades", ondelete="CASCADE"))
    kind: Mapped[str] = mapped_column(String(WORD_LENGTH))
    engine: Mapped[str] = mapped_column(String(NAME_LENGTH))
    request: Mapped[str] = mapped_column(Text)
    state: Mapped[str] = mapped_column(String(WORD_LENGTH))
    progress: Mapped[str] = mapped_column(Text)
    result: Mapped[str | None] = mapped_column(String(HASH_LENGTH))
    problem: Mapped[str | None] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
    owner: Mapped[str | None] = mapped_column(String(UUID_LENGTH))
    held_until: Mapped[datetime | None] = mapped_column(DateTimeUTC(timezone=True))
