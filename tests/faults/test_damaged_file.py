"""A database file that is damaged is refused when the server starts, in words that help, and is left as it is."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tests.api.support import pattern_document
from tests.faults.server import QUIET, REAL, served, sqlite_in

PAGE = 4096
PATTERNS = 40


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The file of a database that holds something."""
    folder = tmp_path_factory.mktemp("whole")
    with served(folder) as server:
        for number in range(PATTERNS):
            document = {**pattern_document(f"Number {number}"), "says": "x" * 3000}
            assert server.ask("POST", "/patterns", {"document": document}).status == 201
    with closing(sqlite3.connect(folder / "sizewright.db")) as database:
        database.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    content = (folder / "sizewright.db").read_bytes()
    assert len(content) > 40 * PAGE
    return content


def _without_a_head(content: bytes) -> bytes:
    return b"\xff" * 100 + content[100:]


def _with_a_torn_table(content: bytes) -> bytes:
    """Zeros in place of what a table of patterns needs to be found."""
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
    assert "restore" in ended.stderr
    assert "Traceback" not in ended.stderr
    assert file.read_bytes() == before
    assert sys.executable not in ended.stderr
