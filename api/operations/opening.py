"""What a server needs before it opens: a workshop, and a key to it."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from ipaddress import ip_address
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

from api.access.scopes import KEY_SCOPES
from api.operations.keys import Wanted, issue
from api.settings import sqlite_file
from api.storage.keys import any_key
from api.storage.workshops import HOUSE, add_workshop, ensure_house

if TYPE_CHECKING:
    from api.operations.keys import Shown
    from api.settings import Settings
    from api.storage.database import Database

FIRST_KEY = Wanted(frozenset(KEY_SCOPES), "The first key")
KEY_FILE = "sizewright.key"
LOCALHOST = "localhost"


class NoKeyYet(Exception):
    """A server that others could reach, to which nobody has a key; the text says how to make one."""

    def __init__(self, host: str) -> None:
        super().__init__(
            f"There is no key yet, and {host} can be reached from other machines. Make one first, with the same "
            "DATABASE_URL: sizewright keys new --scopes read,order,design,keys"
        )


async def prepare(database: Database, settings: Settings) -> Path | None:
    """Writes the house's workshop down, and where no key works yet, on loopback, makes the first one.

    The first key has all scopes. It is written into a file that only its owner may read; gives that file, or None
    where no key was made. Raises NoKeyYet where others could reach the server, and OSError where the file cannot be
    written; then no key is made.
    """
    async with database.transaction() as session:
        await ensure_house(session)
        if await any_key(session, datetime.now(UTC)):
            return None
        if not on_loopback(settings.host):
            raise NoKeyYet(settings.host)
        shown = await issue(session, HOUSE, FIRST_KEY)
        file = key_file(settings.database_url)
        _write_secretly(file, shown.text)
        return file


async def new_workshop(database: Database, name: str) -> Shown:
    """A new workshop, and its first key, which has all scopes."""
    async with database.transaction() as session:
        await ensure_house(session)
        workshop = str(uuid4())
        await add_workshop(session, workshop, name)
        return await issue(session, workshop, FIRST_KEY)


def key_file(database_url: str) -> Path:
    """Where the first key is written: beside the file of the database, else in the working folder."""
    file = sqlite_file(database_url)
    return (Path(KEY_FILE) if file is None else file.with_suffix(".key")).absolute()


def on_loopback(host: str) -> bool:
    """Whether a server at this address can be reached from its own machine only."""
    if host == LOCALHOST:
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def _write_secretly(file: Path, text: str) -> None:
    # Written beside it first: nobody reads half a key, and an old file with wider rights is not written into.
    draft = file.with_name(f".{file.name}.{uuid4().hex}")
    try:
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as opened:
            opened.write(f"{text}\n")
        draft.replace(file)
    finally:
        draft.unlink(missing_ok=True)
