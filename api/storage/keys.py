"""Reads and writes keys."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import func, or_, select, update

from api.storage.records import KeyRecord, Page
from api.storage.tables import KeyRow

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession
    from sqlalchemy.sql.elements import ColumnElement


@dataclass(frozen=True)
class NewKey:
    """A key to be written down; `digest` is the hash of its secret."""

    id: str
    says: str
    scopes: tuple[str, ...]
    digest: str
    expires_at: datetime | None = None


@dataclass(frozen=True)
class Held:
    """A key with the hash of its secret."""

    key: KeyRecord
    digest: str


class KeyStore:
    """The keys of one workshop, within one transaction."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop

    async def add(self, new: NewKey) -> KeyRecord:
        """Writes a key down."""
        row = KeyRow(
            id=new.id,
            workshop_id=self._workshop,
            says=new.says,
            scopes=" ".join(new.scopes),
            secret_hash=new.digest,
            created_at=datetime.now(UTC),
            expires_at=new.expires_at,
            revoked_at=None,
            successor=None,
        )
        self._session.add(row)
        await self._session.flush()
        return _key(row)

    async def key(self, name: str) -> KeyRecord | None:
        """The key, or None when this workshop has none of that name."""
        chosen = select(KeyRow).where(KeyRow.id == name, KeyRow.workshop_id == self._workshop)
        row = (await self._session.execute(chosen)).scalar_one_or_none()
        return None if row is None else _key(row)

    async def keys(self, limit: int, offset: int) -> Page[KeyRecord]:
        """Keys in the order in which they were made, also those that work no more."""
        own = KeyRow.workshop_id == self._workshop
        ordered = select(KeyRow).where(own).order_by(KeyRow.created_at, KeyRow.id)
        found = await self._session.execute(ordered.limit(limit).offset(offset))
        counted = await self._session.execute(select(func.count()).select_from(KeyRow).where(own))
        return Page(tuple(_key(row) for row in found.scalars()), counted.scalar_one())

    async def revoke(self, name: str) -> None:
        """Ends a key now; one that has been revoked stays as it is."""
        chosen = (KeyRow.id == name, KeyRow.workshop_id == self._workshop, KeyRow.revoked_at.is_(None))
        await self._session.execute(update(KeyRow).where(*chosen).values(revoked_at=datetime.now(UTC)))

    async def succeed(self, name: str, successor: str, end: datetime) -> None:
        """Names the successor of a key, and lets the key end then, unless it ends sooner."""
        chosen = (KeyRow.id == name, KeyRow.workshop_id == self._workshop)
        await self._session.execute(update(KeyRow).where(*chosen).values(successor=successor))
        later = or_(KeyRow.expires_at.is_(None), KeyRow.expires_at > end)
        await self._session.execute(update(KeyRow).where(*chosen, later).values(expires_at=end))


async def held_key(session: AsyncSession, name: str, now: datetime) -> Held | None:
    """The key of any workshop that has this name and works at this time."""
    row = (await session.execute(select(KeyRow).where(KeyRow.id == name, _works(now)))).scalar_one_or_none()
    return None if row is None else Held(_key(row), row.secret_hash)


async def any_key(session: AsyncSession, now: datetime) -> bool:
    """Whether any workshop has a key that works at this time."""
    return (await session.execute(select(KeyRow.id).where(_works(now)).limit(1))).scalar_one_or_none() is not None


async def all_keys(session: AsyncSession) -> tuple[KeyRecord, ...]:
    """The keys of all workshops, for who has the database at hand."""
    found = await session.execute(select(KeyRow).order_by(KeyRow.workshop_id, KeyRow.created_at, KeyRow.id))
    return tuple(_key(row) for row in found.scalars())


def _works(now: datetime) -> ColumnElement[bool]:
    return KeyRow.revoked_at.is_(None) & or_(KeyRow.expires_at.is_(None), KeyRow.expires_at > now)


def _key(row: KeyRow) -> KeyRecord:
    return KeyRecord(
        id=row.id,
        workshop=row.workshop_id,
        says=row.says,
        scopes=frozenset(row.scopes.split()),
        created_at=row.created_at,
        expires_at=row.expires_at,
        revoked_at=row.revoked_at,
        successor=row.successor,
    )
