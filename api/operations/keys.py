"""Making, reading, replacing and revoking keys."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from api.access import secrets
from api.access.refusals import ScopeMissing
from api.access.scopes import in_order
from api.operations.errors import Fault, Missing, RequestRefused
from api.storage.keys import KeyStore, NewKey

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession

    from api.access.caller import Caller
    from api.operations.bench import Bench
    from api.storage.records import KeyRecord, Page


@dataclass(frozen=True)
class Wanted:
    """A key as it is asked for; `life` is how long it shall work, None for ever."""

    scopes: frozenset[str]
    says: str = ""
    life: timedelta | None = None

    @classmethod
    def for_days(cls, scopes: frozenset[str], says: str, days: int | None) -> Wanted:
        """A key that works for so many days, or for ever."""
        return cls(scopes, says, None if days is None else timedelta(days=days))


@dataclass(frozen=True)
class Shown:
    """A new key with its text, which is never to be had again."""

    key: KeyRecord
    text: str


async def issue(session: AsyncSession, workshop: str, wanted: Wanted) -> Shown:
    """Writes a new key of a workshop down, within a transaction of the caller's."""
    credential = secrets.new(secrets.WORKSHOP_KEY)
    expires_at = None if wanted.life is None else datetime.now(UTC) + wanted.life
    new = NewKey(credential.name, wanted.says, in_order(wanted.scopes), credential.digest(), expires_at)
    return Shown(await KeyStore(session, workshop).add(new), credential.written())


async def make(bench: Bench, caller: Caller, wanted: Wanted) -> Shown:
    """A new key of the caller's workshop. Raises ScopeMissing for a scope that the caller has not."""
    _entitled(caller, wanted.scopes)
    async with bench.database.transaction() as session:
        return await issue(session, bench.workshop, wanted)


async def read(bench: Bench, name: str) -> KeyRecord:
    """The key; raises Missing."""
    async with bench.database.transaction() as session:
        return await _there(session, bench.workshop, name)


async def keys(bench: Bench, limit: int, offset: int) -> Page[KeyRecord]:
    """Keys in the order in which they were made, also those that work no more."""
    async with bench.database.transaction() as session:
        return await KeyStore(session, bench.workshop).keys(limit, offset)


async def revoke(bench: Bench, name: str) -> None:
    """Ends a key now; raises Missing. One that has been revoked stays as it is."""
    async with bench.database.transaction() as session:
        await _there(session, bench.workshop, name)
        await KeyStore(session, bench.workshop).revoke(name)


async def succeed(bench: Bench, caller: Caller, name: str, days: int) -> Shown:
    """A new key with the scopes of an old one, and as long a life; the old one ends in `days`, if not before.

    Raises Missing, ScopeMissing for scopes that the caller has not, and RequestRefused where the old one works no more
    or has a successor: its end is not what it was made with any more.
    """
    now = datetime.now(UTC)
    async with bench.database.transaction() as session:
        old = await _there(session, bench.workshop, name)
        _entitled(caller, old.scopes)
        if not old.works(now):
            raise RequestRefused([Fault("key_id", "This key works no more.", "Make a new key in its place.")])
        if old.successor is not None:
            raise RequestRefused([Fault("key_id", "This key has a successor.", f"Replace that one, {old.successor}.")])
        life = None if old.expires_at is None else old.expires_at - old.created_at
        shown = await issue(session, bench.workshop, Wanted(old.scopes, old.says, life))
        await KeyStore(session, bench.workshop).succeed(name, shown.key.id, now + timedelta(days=days))
        return shown


def _entitled(caller: Caller, scopes: frozenset[str]) -> None:
    for scope in in_order(scopes - caller.scopes):
        raise ScopeMissing(scope, in_order(caller.scopes))


async def _there(session: AsyncSession, workshop: str, name: str) -> KeyRecord:
    found = await KeyStore(session, workshop).key(name)
    if found is None:
        raise Missing("key", name)
    return found
