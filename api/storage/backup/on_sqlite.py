"""Backups of SQLite, page by page through a second connection, while others read and write."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

from api.storage import migrate
from api.storage.backup.drafts import draft_of
from api.storage.backup.faults import BackupError, none_of_ours, not_empty, of_other_version
from api.storage.tables import PatternRow

if TYPE_CHECKING:
    from pathlib import Path

MAGIC = b"SQLite format 3\x00"
"""How every database of SQLite begins (sqlite.org/fileformat.html, 1.3.1)."""
WAIT_SECONDS = 10.0


def is_backup(file: Path) -> bool:
    """Whether a file says that it is a database of SQLite."""
    with file.open("rb") as opened:
        return opened.read(len(MAGIC)) == MAGIC


def backup(database: Path, file: Path, *, replace: bool = False) -> None:
    """Copies a database as it is at one moment into a new file. Raises BackupError, and OSError."""
    if not database.is_file():
        raise BackupError(f"There is no database {database} yet.")
    with draft_of(file, replace=replace) as draft:
        try:
            opened = sqlite3.connect(database, timeout=WAIT_SECONDS)
            with closing(opened) as source, closing(sqlite3.connect(draft)) as target:
                source.backup(target)
                # One file, without a log beside it.
                target.execute("PRAGMA journal_mode = DELETE")
            ensure_whole(draft)
        except sqlite3.Error as error:
            raise BackupError(f"{database} cannot be copied: {error}. {file} has not been written.") from error


def restore(file: Path, database: Path, *, replace: bool = False) -> None:
    """Puts a backup into a database that is new or empty, or, if told so, in the place of what is there.

    The backup is read whole first. Raises BackupError, and OSError; then the database is as it was.
    """
    try:
        ensure_whole(file)
        if not replace and database.is_file() and database.stat().st_size:
            ensure_empty(database)
        fresh = not database.exists()
        database.parent.mkdir(parents=True, exist_ok=True)
        if fresh:
            os.close(os.open(database, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        with (
            closing(sqlite3.connect(file)) as source,
            closing(sqlite3.connect(database, timeout=WAIT_SECONDS)) as target,
        ):
            source.backup(target)
    except sqlite3.Error as error:
        raise BackupError(f"{file} cannot be put back into {database}: {error}. Nothing in it has changed.") from error


def ensure_whole(file: Path) -> None:
    """Raises BackupError unless every page of a backup is as it should be, and its tables are ours."""
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)) as opened:
            found = [row[0] for row in opened.execute("PRAGMA integrity_check(1)")]
            if found != ["ok"]:
                raise BackupError(f"{file} is damaged: {' '.join(' '.join(found).split())}.")
            _ensure_ours(opened)
    except sqlite3.DatabaseError as error:
        raise BackupError(f"{file} is damaged, or no backup: {error}.") from error


def ensure_empty(database: Path) -> None:
    """Raises BackupError when a table of ours has a row."""
    with closing(sqlite3.connect(database, timeout=WAIT_SECONDS)) as opened:
        there = {row[0] for row in opened.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        for table in PatternRow.metadata.sorted_tables:
            if table.name in there:
                count = opened.execute(f'SELECT count(*) FROM "{table.name}"').fetchone()[0]  # noqa: S608
                if count:
                    raise not_empty(table.name, count)


def _ensure_ours(opened: sqlite3.Connection) -> None:
    try:
        versions = [row[0] for row in opened.execute("SELECT version_num FROM alembic_version")]
    except sqlite3.OperationalError as error:
        raise none_of_ours() from error
    for version in versions:
        if version not in migrate.known():
            raise of_other_version(version)
