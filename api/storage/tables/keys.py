"""Keys of workshops, and the tokens of order forms. Of a secret only its hash is kept."""

from __future__ import annotations

from datetime import datetime

from advanced_alchemy.base import DefaultBase
from advanced_alchemy.types import DateTimeUTC
from sqlalchemy import ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from api.storage.tables.lengths import HASH_LENGTH, KEY_NAME_LENGTH, NAME_LENGTH, ORIGIN_LENGTH, UUID_LENGTH


class KeyRow(DefaultBase):
    """A key: its public name, the hash of its secret, what it may do (scopes with spaces between) and until when."""

    __tablename__ = "keys"
    __table_args__ = (Index("ix_keys_workshop_id_created_at", "workshop_id", "created_at", "id"),)

    id: Mapped[str] = mapped_column(String(KEY_NAME_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_keys_workshop_id_workshops"))
    says: Mapped[str] = mapped_column(String(NAME_LENGTH))
    scopes: Mapped[str] = mapped_column(Text)
    secret_hash: Mapped[str] = mapped_column(String(HASH_LENGTH))
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
    expires_at: Mapped[datetime | None] = mapped_column(DateTimeUTC(timezone=True))
    revoked_at: Mapped[datetime | None] = mapped_column(DateTimeUTC(timezone=True))
    successor: Mapped[str | None] = mapped_column(String(KEY_NAME_LENGTH))


class FormRow(DefaultBase):
    """An order form of one pattern, open to everybody who has its token."""

    __tablename__ = "forms"
    __table_args__ = (
        Index("ix_forms_workshop_id", "workshop_id"),
        Index("ix_forms_pattern_id_created_at", "pattern_id", "created_at", "id"),
    )

    id: Mapped[str] = mapped_column(String(KEY_NAME_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_forms_workshop_id_workshops"))
    pattern_id: Mapped[str] = mapped_column(
        String(UUID_LENGTH), ForeignKey("patterns.id", name="fk_forms_pattern_id_patterns", ondelete="CASCADE")
    )
    says: Mapped[str] = mapped_column(String(NAME_LENGTH))
    secret_hash: Mapped[str] = mapped_column(String(HASH_LENGTH))
    created_at: Mapped[datetime] = mapped_column(DateTimeUTC(timezone=True))
    revoked_at: Mapped[datetime | None] = mapped_column(DateTimeUTC(timezone=True))


class FormOriginRow(DefaultBase):
    """An origin whose pages may use the token of a form."""

    __tablename__ = "form_origins"
    __table_args__ = (
        Index("ix_form_origins_workshop_id", "workshop_id"),
        Index("ix_form_origins_origin", "origin"),
    )

    form_id: Mapped[str] = mapped_column(
        ForeignKey("forms.id", name="fk_form_origins_form_id_forms", ondelete="CASCADE"), primary_key=True
    )
    origin: Mapped[str] = mapped_column(String(ORIGIN_LENGTH), primary_key=True)
    workshop_id: Mapped[str] = mapped_column(ForeignKey("workshops.id", name="fk_form_origins_workshop_id_workshops"))
