from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from tests.faults.kill_rounds import killed_again_and_again
from tests.faults.server import sqlite_in

ROUNDS = 6
"""A sample; `python -m tests.benchmarks faults` kills it a hundred times."""


def test_nothing_accepted_is_lost_or_doubled_by_a_server_that_is_killed_while_it_writes(tmp_path: Path) -> None:
    findings = killed_again_and_again(tmp_path, sqlite_in(tmp_path), ROUNDS, seed=20_261_125)
    assert findings.accepted > 0
    assert findings.orders > 0
    assert findings.faults == []
    with closing(sqlite3.connect(tmp_path / "sizewright.db")) as database:
        assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert database.execute("PRAGMA foreign_key_check").fetchall() == []
