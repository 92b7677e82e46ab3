"""`sizewright backup` and `sizewright restore`: the whole database of DATABASE_URL in one file, and back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import func, select

from api.command.files import Unreadable
from api.command.stored import settings, with_database
from api.settings import sqlite_file
from api.storage.archive.rows import tables
from api.storage.backup import on_postgresql, on_sqlite
from api.storage.backup.faults import BackupError, not_empty

if TYPE_CHECKING:
    from argparse import Namespace
    from pathlib import Path

    from api.storage.database import Database


def run(options: Namespace) -> int:
    """Makes a backup, or puts one back."""
    url = settings().database_url
    try:
        if options.command == "backup":
            _backup(url, options.file, options.replace)
            print(f"Everything is in {options.file}; keep it where others cannot read it.")
        else:
            _restore(options.file, url, options.replace)
            print("The database is as it was when the backup was made.")
    except (BackupError, OSError) as error:
        raise Unreadable(str(error)) from error
    return 0


def _backup(url: str, file: Path, replace: bool) -> None:
    database = sqlite_file(url)
    if database is None:
        on_postgresql.backup(url, file, replace=replace)
    else:
        on_sqlite.backup(database, file, replace=replace)


def _restore(file: Path, url: str, replace: bool) -> None:
    database = sqlite_file(url)
    ours, other = (on_postgresql, on_sqlite) if database is None else (on_sqlite, on_postgresql)
    if other.is_backup(file):
        raise BackupError(
            f"{file} is a backup of the other kind of database. Between SQLite and PostgreSQL, use sizewright export "
            "and sizewright import."
        )
    if not ours.is_backup(file):
        raise BackupError(f"{file} is no backup.")
    if database is not None:
        on_sqlite.restore(file, database, replace=replace)
    else:
        if not replace:
            with_database(url, _ensure_empty)
        on_postgresql.restore(file, url)
    with_database(url, _reached)


async def _ensure_empty(database: Database) -> None:
    async with database.transaction() as session:
        for table in tables():
            count = (await session.execute(select(func.count()).select_from(table))).scalar_one()
            if count:
                raise not_empty(table.name, count)


async def _reached(database: Database) -> None:
    """An older backup has been migrated when this is called."""
    await database.ping()
