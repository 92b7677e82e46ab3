"""Backups of PostgreSQL by its own programs pg_dump, pg_restore and psql."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy.engine import make_url

from api.storage import migrate
from api.storage.backup.drafts import draft_of
from api.storage.backup.faults import BackupError, none_of_ours, of_other_version
from api.storage.tables import PatternRow

if TYPE_CHECKING:
    from collections.abc import Mapping

MAGIC = b"PGDMP"
"""How an archive in pg_dump's custom format begins."""
PLACES = Path("/usr/lib/postgresql")
VERSION = re.compile(rb"^COPY public\.alembic_version \(version_num\) FROM stdin;\n(.+)\n", re.MULTILINE)
SETTINGS = {"host": "PGHOST", "port": "PGPORT", "ssl": "PGSSLMODE", "sslmode": "PGSSLMODE"}
"""Words of an address that the programs read from the environment, where no other user sees them."""


def is_backup(file: Path) -> bool:
    """Whether a file says that it was written by pg_dump, in its custom format."""
    with file.open("rb") as opened:
        return opened.read(len(MAGIC)) == MAGIC


def backup(url: str, file: Path, *, replace: bool = False) -> None:
    """Writes a database as it is at one moment into a new file. Raises BackupError, and OSError."""
    program = _program("pg_dump")
    with draft_of(file, replace=replace) as draft:
        _run([program, "--format=custom", "--no-owner", "--no-privileges", f"--file={draft}"], url)
        _read_whole(draft)


def restore(file: Path, url: str) -> None:
    """Puts a backup in the place of what is in a database, all of it or nothing.

    The backup is read whole first. Raises BackupError, and OSError; then the database is as it was. Whether anything
    in the database would be lost has been looked at before.
    """
    program = _program("psql")
    with tempfile.TemporaryDirectory(prefix="sizewright-restore-") as folder:
        away, back = Path(folder) / "away.sql", Path(folder) / "back.sql"
        tables = [*(table.name for table in PatternRow.metadata.sorted_tables), "alembic_version"]
        away.write_text(f"DROP TABLE IF EXISTS {', '.join(tables)} CASCADE;\n")
        back.write_bytes(_read_whole(file))
        together = ["--single-transaction", "--set=ON_ERROR_STOP=1", "--no-psqlrc", "--quiet", "--output=/dev/null"]
        _run([program, *together, f"--file={away}", f"--file={back}"], url)


def _read_whole(file: Path) -> bytes:
    """A backup as statements, which shows that it can be read to its end. Raises BackupError."""
    statements = _run([_program("pg_restore"), "--no-owner", "--no-privileges", "--file=-", str(file)], None)
    version = VERSION.search(statements)
    if version is None:
        raise none_of_ours()
    if (name := version.group(1).decode()) not in migrate.known():
        raise of_other_version(name)
    return statements


def _program(name: str) -> str:
    newest = sorted(PLACES.glob(f"*/bin/{name}"), key=lambda path: float(path.parent.parent.name))
    found = str(newest[-1]) if newest else shutil.which(name)
    if found is None:
        raise BackupError(
            f"The program {name} is not here: install PostgreSQL's client programs (postgresql-client), of the "
            "server's version or newer. sizewright export does without them."
        )
    return found


def _run(command: list[str], url: str | None) -> bytes:
    done = subprocess.run(  # noqa: S603
        command, stdin=subprocess.DEVNULL, capture_output=True, env=_surroundings(url), check=False
    )
    if done.returncode:
        says = " ".join(done.stderr.decode(errors="replace").split())
        raise BackupError(f"{Path(command[0]).name} has failed: {says}")
    return done.stdout


def _surroundings(url: str | None) -> Mapping[str, str]:
    if url is None:
        return os.environ
    address = make_url(url)
    query = {word: value if isinstance(value, str) else value[0] for word, value in address.query.items()}
    given = {"host": address.host, "port": str(address.port) if address.port else None, **query}
    found = {SETTINGS[word]: value for word, value in given.items() if value is not None and word in SETTINGS}
    account = {"PGUSER": address.username, "PGPASSWORD": address.password, "PGDATABASE": address.database}
    return {**os.environ, **found, **{name: value for name, value in account.items() if value is not None}}
