"""Reads and writes order forms and the origins that their tokens are bound to."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import func, select, update

from api.storage.records import FormRecord, Page
from api.storage.tables import FormOriginRow, FormRow

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sqlalchemy.ext.asyncio import AsyncSession


@dataclass(frozen=True)
class NewForm:
    """A form to be written down; `digest` is the hash of its token's secret."""

    id: str
    pattern: str
    says: str
    origins: tuple[str, ...]
    digest: str


@dataclass(frozen=True)
class HeldForm:
    """A form with the hash of its token's secret, and its workshop."""

    form: FormRecord
    workshop: str
    digest: str


class FormStore:
    """The order forms of one workshop, within one transaction."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop

    async def add(self, new: NewForm) -> FormRecord:
        """Writes a form down; raises SQLAlchemy's IntegrityError where its pattern is none."""
        row = FormRow(
            id=new.id,
            workshop_id=self._workshop,
            pattern_id=new.pattern,
            says=new.says,
            secret_hash=new.digest,
            created_at=datetime.now(UTC),
            revoked_at=None,
        )
        self._session.add(row)
        await self._session.flush()
        self._session.add_all(
            FormOriginRow(form_id=new.id, origin=origin, workshop_id=self._workshop) for origin in new.origins
        )
        await self._session.flush()
        return _form(row, new.origins)

    async def form(self, pattern: str, name: str) -> FormRecord | None:
        """The form, or None when this pattern of this workshop has none of that name."""
        chosen = select(FormRow).where(
            FormRow.id == name, FormRow.pattern_id == pattern, FormRow.workshop_id == self._workshop
        )
        row = (await self._session.execute(chosen)).scalar_one_or_none()
        return None if row is None else _form(row, (await _origins(self._session, [row.id]))[row.id])

    async def forms(self, pattern: str, limit: int, offset: int) -> Page[FormRecord]:
        """The forms of a pattern in the order in which they were made, also those that are closed."""
        own = (FormRow.pattern_id == pattern, FormRow.workshop_id == self._workshop)
        ordered = select(FormRow).where(*own).order_by(FormRow.created_at, FormRow.id)
        rows = (await self._session.execute(ordered.limit(limit).offset(offset))).scalars().all()
        counted = await self._session.execute(select(func.count()).select_from(FormRow).where(*own))
        origins = await _origins(self._session, [row.id for row in rows])
        return Page(tuple(_form(row, origins[row.id]) for row in rows), counted.scalar_one())

    async def revoke(self, name: str) -> None:
        """Closes a form now; one that is closed stays as it is."""
        chosen = (FormRow.id == name, FormRow.workshop_id == self._workshop, FormRow.revoked_at.is_(None))
        await self._session.execute(update(FormRow).where(*chosen).values(revoked_at=datetime.now(UTC)))


async def held_form(session: AsyncSession, name: str) -> HeldForm | None:
    """The open form of any workshop that has this name."""
    chosen = select(FormRow).where(FormRow.id == name, FormRow.revoked_at.is_(None))
    row = (await session.execute(chosen)).scalar_one_or_none()
    if row is None:
        return None
    return HeldForm(_form(row, (await _origins(session, [row.id]))[row.id]), row.workshop_id, row.secret_hash)


async def bound(session: AsyncSession, origin: str, pattern: str | None) -> bool:
    """Whether any open form, of this pattern where one is given, is bound to this origin."""
    chosen = select(FormRow.id).join(FormOriginRow, FormOriginRow.form_id == FormRow.id)
    chosen = chosen.where(FormOriginRow.origin == origin, FormRow.revoked_at.is_(None))
    if pattern is not None:
        chosen = chosen.where(FormRow.pattern_id == pattern)
    return (await session.execute(chosen.limit(1))).scalar_one_or_none() is not None


async def _origins(session: AsyncSession, forms: Iterable[str]) -> dict[str, tuple[str, ...]]:
    names = list(forms)
    chosen = select(FormOriginRow).where(FormOriginRow.form_id.in_(names)).order_by(FormOriginRow.origin)
    found: dict[str, list[str]] = {name: [] for name in names}
    for row in (await session.execute(chosen)).scalars():
        found[row.form_id].append(row.origin)
    return {name: tuple(origins) for name, origins in found.items()}


def _form(row: FormRow, origins: tuple[str, ...]) -> FormRecord:
    return FormRecord(
        id=row.id,
        pattern=row.pattern_id,
        says=row.says,
        origins=origins,
        created_at=row.created_at,
        revoked_at=row.revoked_at,
    )
