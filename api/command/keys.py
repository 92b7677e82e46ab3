"""`sizewright keys`: keys to the API, made, listed and revoked in the database itself."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from api.access.scopes import in_order
from api.access.secrets import read as read_key
from api.command.files import Unreadable
from api.command.stored import settings, with_database
from api.command.tables import Alignment, printable, table, terminal_width
from api.operations.keys import Wanted, issue
from api.storage.keys import KeyStore, all_keys
from api.storage.workshops import HOUSE, ensure_house, workshop

if TYPE_CHECKING:
    from argparse import Namespace

    from api.operations.keys import Shown
    from api.storage.database import Database
    from api.storage.records import KeyRecord

COLUMNS = ("key", "workshop", "scopes", "made", "works", "says")
ALIGNED: tuple[Alignment, ...] = ("left", "left", "left", "left", "left", "left")


def run(options: Namespace) -> int:
    """Makes, lists or revokes; a new key is the only line on the standard output."""
    url = settings().database_url
    if options.action == "new":
        print(with_database(url, lambda database: _new(database, options)).text)
    elif options.action == "revoke":
        with_database(url, lambda database: _revoke(database, options.key))
        print("It works no more.")
    else:
        print(report(with_database(url, _all), datetime.now(UTC), terminal_width()))
    return 0


def report(keys: tuple[KeyRecord, ...], now: datetime, width: int | None) -> str:
    """The keys as a table."""
    rows = [
        [
            key.id,
            key.workshop,
            ", ".join(in_order(key.scopes)),
            f"{key.created_at:%Y-%m-%d}",
            _works(key, now),
            printable(key.says),
        ]
        for key in keys
    ]
    return table(COLUMNS, ALIGNED, rows, width) if rows else "There is no key yet."


def _works(key: KeyRecord, now: datetime) -> str:
    if key.revoked_at is not None:
        return f"revoked {key.revoked_at:%Y-%m-%d}"
    if key.expires_at is None:
        return "yes"
    return f"{'until' if key.works(now) else 'ended'} {key.expires_at:%Y-%m-%d}"


async def _new(database: Database, options: Namespace) -> Shown:
    async with database.transaction() as session:
        await ensure_house(session)
        owner = options.workshop or HOUSE
        if await workshop(session, owner) is None:
            raise Unreadable(f"There is no workshop {printable(owner)!r}; sizewright workshops list tells their ids.")
        return await issue(session, owner, Wanted.for_days(options.scopes, options.says, options.days))


async def _revoke(database: Database, text: str) -> None:
    credential = read_key(text)
    name = text if credential is None else credential.name
    async with database.transaction() as session:
        found = [key for key in await all_keys(session) if key.id == name]
        if not found:
            raise Unreadable(f"There is no key {printable(name)!r}; sizewright keys list tells their ids.")
        await KeyStore(session, found[0].workshop).revoke(name)


async def _all(database: Database) -> tuple[KeyRecord, ...]:
    async with database.transaction() as session:
        return await all_keys(session)
