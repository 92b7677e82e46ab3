"""Layouts, which never change once written."""

from __future__ import annotations

from datetime import datetime

from advanced_alchemy.base import DefaultBase
from advanced_alchemy.types import DateTimeUTC
from sqlalchemy import ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from api.storage.tables.lengths import HASH_LENGTH, NAME_LENGTH


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
