"""A database file that is damaged is refused when the server starts, in words that help, and is left as it is."""

from __future__ import annotations

import os
import sqlite3
import subprocess
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from api.settings import Settings
from api.storage.errors import DatabaseUnusable
from tests.api.support import ScriptedSolver, pattern_document, signed_in
from tests.faults.server import QUIET, REAL, sqlite_in
from tests.storage.support import with_database

PAGE = 4096
PATTERNS = 40


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The file of a database that holds something."""
    folder = tmp_path_factory.mktemp("whole")
    with signed_in(Settings(database_url=sqlite_in(folder)), ScriptedSolver()) as client:
        for number in range(PATTERNS):
            document = {**pattern_document(f"Number {number}"), "says": "x" * 3000}
            assert client.post("/patterns", json={"document": document}).status_code == 201
    with closing(sqlite3.connect(folder / "sizewright.db")) as database:
        database.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    content = (folder / "sizewright.db").read_bytes()
    assert len(content) > 40 * PAGE
    return content


def _without_a_head(content: bytes) -> bytes:
    return b"\xff" * 100 + content[100:]


def _with_a_torn_table(content: bytes) -> bytes:
    """All but the first pages overwritten."""
    return content[: 5 * PAGE] + b"\xa5" * (len(content) - 5 * PAGE)


def _cut_off(content: bytes) -> bytes:
    return content[: len(content) // 2]


def _of_another_kind(content: bytes) -> bytes:
    return b"This is a letter and no database.\n" * (len(content) // 34)


DAMAGES = [_without_a_head, _with_a_torn_table, _cut_off, _of_another_kind]


@pytest.mark.parametrize("damage", DAMAGES, ids=lambda damage: str(damage.__name__).strip("_"))
def test_a_damaged_file_is_refused_with_what_to_do_and_left_as_it_is(
    damage: Callable[[bytes], bytes], whole: bytes, tmp_path: Path
) -> None:
    file = tmp_path / "sizewright.db"
    file.write_bytes(damage(whole))
    before = file.read_bytes()
    with pytest.raises(DatabaseUnusable) as refused:
        with_database(sqlite_in(tmp_path), lambda database: database.migrate())
    for part in (str(file), "damaged", "Nothing has been changed", "restore"):
        assert part in str(refused.value)
    assert file.read_bytes() == before


def test_a_server_tells_of_a_damaged_file_when_it_is_started_and_ends(whole: bytes, tmp_path: Path) -> None:
    file = tmp_path / "sizewright.db"
    file.write_bytes(_cut_off(whole))
    before = file.read_bytes()
    ended = subprocess.run(
        REAL,
        cwd=tmp_path,
        env={**os.environ, **QUIET, "DATABASE_URL": sqlite_in(tmp_path), "SIZEWRIGHT_PORT": "0"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert ended.returncode == 2
    assert str(file) in ended.stderr
    assert "damaged" in ended.stderr
    assert "Traceback" not in ended.stderr
    assert file.read_bytes() == before
