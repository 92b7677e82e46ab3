"""Reads and writes drafts within one workshop."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import delete, func, select, update

from api.storage.records import Page
from api.storage.tables import DraftRow, DraftStateRow

if TYPE_CHECKING:
    from sqlalchemy import ScalarSelect
    from sqlalchemy.ext.asyncio import AsyncSession


@dataclass(frozen=True)
class DraftRecord:
    """A draft in one state; `document` is JSON text, `undo` and `redo` the states on either side, if there are any."""

    id: str
    pattern: str | None
    base: str | None
    name: str
    version: int
    at: int
    says: str
    document: str
    undo: int | None
    redo: int | None
    created_at: datetime
    changed_at: datetime


@dataclass(frozen=True)
class DraftEntry:
    """A draft in a list, without its document."""

    id: str
    pattern: str | None
    base: str | None
    name: str
    version: int
    created_at: datetime
    changed_at: datetime


@dataclass(frozen=True)
class DraftState:
    """A state in the history of a draft, without its document; `before` is the state that it was made from."""

    number: int
    before: int | None
    says: str
    created_at: datetime


@dataclass(frozen=True)
class Change:
    """A document that takes the place of the one before, its name, and what was changed in words."""

    document: str
    name: str
    says: str


class DraftStore:
    """The drafts of one workshop, within one transaction."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop

    async def create(self, draft: str, first: Change, pattern: str | None, base: str | None) -> None:
        """Writes a new draft with its first state."""
        now = datetime.now(UTC)
        row = DraftRow(
            id=draft,
            workshop_id=self._workshop,
            pattern_id=pattern,
            base=base,
            name=first.name,
            version=1,
            at=1,
            created_at=now,
            changed_at=now,
        )
        self._session.add(row)
        await self._session.flush()
        await self._add_state(draft, 1, None, first)

    async def draft(self, draft: str) -> DraftRecord | None:
        """The draft with its document, or None when this workshop has none of that name."""
        chosen = (
            select(DraftRow, DraftStateRow)
            .join(DraftStateRow, (DraftStateRow.draft_id == DraftRow.id) & (DraftStateRow.number == DraftRow.at))
            .where(DraftRow.id == draft, DraftRow.workshop_id == self._workshop)
        )
        found = (await self._session.execute(chosen)).one_or_none()
        if found is None:
            return None
        row, state = found
        return DraftRecord(
            id=row.id,
            pattern=row.pattern_id,
            base=row.base,
            name=row.name,
            version=row.version,
            at=row.at,
            says=state.says,
            document=state.document,
            undo=state.before,
            redo=await self._after(draft, row.at),
            created_at=row.created_at,
            changed_at=row.changed_at,
        )

    async def drafts(self, limit: int, offset: int) -> Page[DraftEntry]:
        """Drafts without their documents, the last changed first."""
        owned = DraftRow.workshop_id == self._workshop
        ordered = select(DraftRow).where(owned).order_by(DraftRow.changed_at.desc(), DraftRow.id)
        found = await self._session.execute(ordered.limit(limit).offset(offset))
        counted = await self._session.execute(select(func.count()).select_from(DraftRow).where(owned))
        return Page(tuple(_entry(row) for row in found.scalars()), counted.scalar_one())

    async def states(self, draft: str, limit: int, offset: int) -> Page[DraftState]:
        """The history of a draft by number, the last first, without documents."""
        fields = (DraftStateRow.number, DraftStateRow.before, DraftStateRow.says, DraftStateRow.created_at)
        of_draft = (DraftStateRow.draft_id == draft, DraftStateRow.workshop_id == self._workshop)
        ordered = select(*fields).where(*of_draft).order_by(DraftStateRow.number.desc()).limit(limit).offset(offset)
        found = await self._session.execute(ordered)
        counted = await self._session.execute(select(func.count()).select_from(DraftStateRow).where(*of_draft))
        return Page(tuple(DraftState(*row) for row in found.all()), counted.scalar_one())

    async def change(self, held: DraftRecord, change: Change) -> bool:
        """Puts a new state after the held one; False, and nothing changed, when the draft has moved on."""
        number = await self._move(held, self._next(held.id), change.name)
        if number is None:
            return False
        await self._add_state(held.id, number, held.at, change)
        return True

    async def go(self, held: DraftRecord, number: int, name: str) -> bool:
        """Goes to another state that is there; False, and nothing changed, when the draft has moved on."""
        return await self._move(held, number, name) is not None

    async def document(self, draft: str, number: int) -> str | None:
        """The document of one state, as JSON text."""
        chosen = select(DraftStateRow.document).where(
            DraftStateRow.draft_id == draft, DraftStateRow.number == number, DraftStateRow.workshop_id == self._workshop
        )
        return (await self._session.execute(chosen)).scalar_one_or_none()

    async def publish(self, held: DraftRecord, pattern: str, base: str) -> bool:
        """Notes where it was published; False, and nothing changed, when the draft has moved on."""
        return await self._move(held, held.at, held.name, pattern_id=pattern, base=base) is not None

    async def remove(self, held: DraftRecord) -> bool:
        """Takes a draft away with all of its states; False, and nothing changed, when it has moved on."""
        removed = await self._session.execute(
            delete(DraftRow)
            .where(DraftRow.id == held.id, DraftRow.workshop_id == self._workshop, DraftRow.version == held.version)
            .returning(DraftRow.id)
        )
        return removed.scalar_one_or_none() is not None

    async def _move(self, held: DraftRecord, at: int | ScalarSelect[int], name: str, **more: str) -> int | None:
        """The state that the draft is in then; None when it has moved on. Nothing is read before it is written."""
        moved = await self._session.execute(
            update(DraftRow)
            .where(DraftRow.id == held.id, DraftRow.workshop_id == self._workshop, DraftRow.version == held.version)
            .values(at=at, name=name, version=held.version + 1, changed_at=datetime.now(UTC), **more)
            .returning(DraftRow.at)
        )
        return moved.scalar_one_or_none()

    def _next(self, draft: str) -> ScalarSelect[int]:
        """The number of the next state."""
        of_draft = (DraftStateRow.draft_id == draft, DraftStateRow.workshop_id == self._workshop)
        return select(func.max(DraftStateRow.number) + 1).where(*of_draft).scalar_subquery()

    async def _after(self, draft: str, number: int) -> int | None:
        """Of the states made from this one the newest: what redoing leads to."""
        found = await self._session.execute(
            select(func.max(DraftStateRow.number)).where(
                DraftStateRow.draft_id == draft,
                DraftStateRow.before == number,
                DraftStateRow.workshop_id == self._workshop,
            )
        )
        return found.scalar_one()

    async def _add_state(self, draft: str, number: int, before: int | None, change: Change) -> None:
        row = DraftStateRow(
            draft_id=draft,
            number=number,
            workshop_id=self._workshop,
            before=before,
            says=change.says,
            document=change.document,
            created_at=datetime.now(UTC),
        )
        self._session.add(row)
        await self._session.flush()


def _entry(row: DraftRow) -> DraftEntry:
    return DraftEntry(row.id, row.pattern_id, row.base, row.name, row.version, row.created_at, row.changed_at)
