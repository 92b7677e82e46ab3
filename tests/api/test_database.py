from __future__ import annotations

import asyncio
import contextlib
import sqlite3
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from sqlalchemy import create_engine, inspect, text
from sqlalchemy.exc import IntegrityError

from api.storage import migrate
from api.storage.database import Database, DatabaseUnavailable
from api.storage.grades import GradeStore, NewGrade
from api.storage.patterns import PatternStore
from api.storage.tables import PatternRow
from api.storage.workshops import HOUSE, ensure_house

FIRST, SECOND = "1" * 64, "2" * 64
OTHER = "00000000-0000-4000-8000-000000000002"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "new" / "folder" / "x.db"


@pytest.fixture
async def database(file: Path, monkeypatch: pytest.MonkeyPatch) -> AsyncIterator[Database]:
    monkeypatch.setattr("api.storage.database.LOCK_WAIT_MILLISECONDS", 2000)
    opened = Database(f"sqlite+aiosqlite:///{file}")
    await opened.migrate()
    async with opened.transaction() as session:
        await ensure_house(session)
        await session.execute(
            text("INSERT INTO workshops VALUES (:id, 'Other', '2025-01-01 00:00:00+00:00')"), {"id": OTHER}
        )
    yield opened
    await opened.close()


async def test_sqlite_keeps_a_log_ahead_and_its_foreign_keys(database: Database) -> None:
    async with database.transaction() as session:
        assert (await session.execute(text("PRAGMA journal_mode"))).scalar() == "wal"
        assert (await session.execute(text("PRAGMA foreign_keys"))).scalar() == 1


async def test_starting_again_keeps_what_is_stored(database: Database) -> None:
    async with database.transaction() as session:
        await PatternStore(session, HOUSE).create("p", "Pouch", FIRST, "{}")
    await database.migrate()
    async with database.transaction() as session:
        await ensure_house(session)
        assert (await PatternStore(session, HOUSE).patterns(10, 0)).total == 1


async def test_a_workshop_sees_only_its_own(database: Database) -> None:
    async with database.transaction() as session:
        await PatternStore(session, HOUSE).create("p", "Pouch", FIRST, "{}")
        await GradeStore(session, HOUSE).add(NewGrade("g" * 64, FIRST, "1", "{}", "{}", "{}", ""))
    async with database.transaction() as session:
        patterns, grades = PatternStore(session, OTHER), GradeStore(session, OTHER)
        assert await patterns.pattern("p") is None
        assert await patterns.revision("p", FIRST) is None
        assert await grades.grade("g" * 64) is None
        assert (await patterns.patterns(10, 0)).total == 0
        assert (await patterns.revisions("p", 10, 0)).items == ()
        assert not await patterns.move_head("p", FIRST, SECOND, "Stolen")


async def test_an_error_undoes_the_whole_transaction(database: Database) -> None:
    with pytest.raises(ZeroDivisionError):
        async with database.transaction() as session:
            await PatternStore(session, HOUSE).create("p", "Pouch", FIRST, "{}")
            raise ZeroDivisionError
    async with database.transaction() as session:
        assert await PatternStore(session, HOUSE).pattern("p") is None


async def test_a_grade_needs_its_revision(database: Database) -> None:
    with pytest.raises(IntegrityError):
        async with database.transaction() as session:
            await GradeStore(session, HOUSE).add(NewGrade("g" * 64, FIRST, "1", "{}", "{}", "{}", ""))


async def test_of_many_writers_one_moves_the_head(database: Database) -> None:
    async with database.transaction() as session:
        await PatternStore(session, HOUSE).create("p", "Pouch", FIRST, "{}")

    async def move(number: int) -> bool:
        async with database.transaction() as session:
            store = PatternStore(session, HOUSE)
            moved = await store.move_head("p", FIRST, f"{number:064d}", "Pouch")
            if moved:
                await store.add_revision("p", f"{number:064d}", "{}")
            return moved

    moved = await asyncio.gather(*(move(number) for number in range(2, 12)))
    assert moved.count(True) == 1
    async with database.transaction() as session:
        assert [entry.number for entry in (await PatternStore(session, HOUSE).revisions("p", 10, 0)).items] == [1, 2]


async def test_a_database_that_stays_locked_is_said_to_be_so(database: Database, file: Path) -> None:
    with contextlib.closing(sqlite3.connect(file)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(DatabaseUnavailable):
            async with database.transaction() as session:
                await PatternStore(session, HOUSE).create("p", "Pouch", FIRST, "{}")
    async with database.transaction() as session:
        await PatternStore(session, HOUSE).create("p", "Pouch", FIRST, "{}")


def test_migrations_go_up_down_and_up_again_with_data() -> None:
    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        migrate.upgrade(connection)
        _fill(connection)
        migrate.downgrade(connection)
        assert inspect(connection).get_table_names() == ["alembic_version"]
        migrate.upgrade(connection)
        assert connection.execute(text("SELECT count(*) FROM patterns")).scalar() == 0
        _fill(connection)
    engine.dispose()


def test_grades_that_were_there_before_keep_all_but_an_answer() -> None:
    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        migrate.upgrade(connection, "0001")
        _fill(connection, "")
        migrate.upgrade(connection)
        found = connection.execute(text("SELECT id, document, answer FROM grades")).one()
        assert tuple(found) == ("g", "{}", None)
        migrate.downgrade(connection, "0001")
        assert connection.execute(text("SELECT count(*) FROM grades")).scalar() == 1
    engine.dispose()


def test_migrations_and_tables_say_the_same() -> None:
    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        migrate.upgrade(connection)
        migrate.check(connection)
    engine.dispose()


def test_every_table_has_its_owner_and_every_constraint_its_name() -> None:
    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        migrate.upgrade(connection)
        found = inspect(connection)
        for table in PatternRow.metadata.tables:
            owner = "id" if table == "workshops" else "workshop_id"
            assert owner in [column["name"] for column in found.get_columns(table)], table
            keys = found.get_foreign_keys(table)
            assert table == "workshops" or "workshops" in [key["referred_table"] for key in keys], table
            constraints = [*keys, *found.get_unique_constraints(table), *found.get_check_constraints(table)]
            assert all(constraint["name"] for constraint in [*constraints, found.get_pk_constraint(table)]), table
    engine.dispose()


def _fill(connection: object, answer: str = ", NULL") -> None:
    now = "2025-01-01 00:00:00+00:00"
    for statement in (
        f"INSERT INTO workshops VALUES ('w', 'Workshop', '{now}')",
        f"INSERT INTO patterns VALUES ('p', 'w', 'Pouch', 'r', '{now}')",
        f"INSERT INTO revisions VALUES ('r', 'w', 'p', 1, '{{}}', '{now}')",
        f"INSERT INTO grades VALUES ('g', 'w', 'r', '1', '{{}}', '{{}}', '{{}}', '', '{now}'{answer})",
    ):
        connection.execute(text(statement))  # type: ignore[attr-defined]
