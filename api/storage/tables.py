"""The tables. Every one has its owner, a workshop; revisions, grades, layouts and records never change once written."""

from __future__ import annotations

from datetime import datetime

from advanced_alchemy.base import DefaultBase
from advanced_alchemy.types import DateTimeUTC
from sqlalchemy import CheckConstraint, ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

UUID_LENGTH = 36
HASH_LENGTH = 64
NAME_LENGTH = 200
SIZE_LENGTH = 60
WORD_LENGTH = 20


class WorkshopRow(DefaultBase):
    """Who owns patterns and all that comes of them."""

    __tablename__ = "workshops"

    id: Mapped[str] = mapped_column(String(UUID_LENGTH), primary_key=True)
    name: Mapped[str] = mapped_column(String(NAME_LENGTH))
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))


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


class LayoutsRow(DefaultBase):
    """How the pieces of a grade are laid on every cloth, named by its content within its grade."""

    __tablename__ = "layouts"
    __table_args__ = (
        Index("ix_layouts_workshop_id", "workshop_id"),
        Index("ix_layouts_grade_id", "grade_id"),
    )

    id: Mapped[str] = mapped_column(String(HASH_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_layouts_workshop_id_workshops"))
    grade_id: Mapped[str] = mapped_column(
        ForeignKey("grades.id", name="fk_layouts_grade_id_grades", ondelete="CASCADE")
    )
    engine: Mapped[str] = mapped_column(String(NAME_LENGTH))
    document: Mapped[str] = mapped_column(Text)
    pieces_csv: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))


class JobRow(DefaultBase):
    """Work on a grade that may outlast a request; a job that is neither done, failed nor cancelled is begun again."""

    __tablename__ = "jobs"
    __table_args__ = (
        CheckConstraint("state IN ('waiting', 'done', 'failed', 'cancelled')", name="known_state"),
        Index("ix_jobs_workshop_id_state", "workshop_id", "state"),
        Index("ix_jobs_grade_id", "grade_id"),
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
