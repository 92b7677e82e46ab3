"""Migrations on both kinds of database, with a row in every table."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import Connection, inspect

from api.storage import migrate
from api.storage.tables import PatternRow
from tests.storage.furniture import VERSIONS, as_far_as, contents, furnish
from tests.storage.support import connected as on
from tests.storage.support import with_database


@pytest.fixture
def empty(url: str) -> str:
    """A database without tables, whose folder is there."""
    with_database(url, lambda database: database.migrate())
    on(url, migrate.downgrade)
    return url


def test_a_row_of_every_table_is_written(empty: str) -> None:
    on(empty, migrate.upgrade)
    on(empty, furnish)
    found = on(empty, contents)
    assert set(found) == set(PatternRow.metadata.tables)
    assert all(found.values())


def test_going_down_step_by_step_loses_what_a_step_adds_and_nothing_else(empty: str) -> None:
    on(empty, migrate.upgrade)
    on(empty, furnish)
    before = on(empty, contents)
    for to in (*migrate.known()[-2::-1], "base"):
        on(empty, lambda connection, to=to: migrate.downgrade(connection, to))  # type: ignore[misc]
        after = on(empty, contents)
        assert after == as_far_as(before, after), to
        assert len(after) <= len(before)
        before = after
    assert before == {}
    assert on(empty, lambda connection: inspect(connection).get_table_names()) == [VERSIONS]


def test_going_up_step_by_step_keeps_what_was_written_at_each_step(empty: str) -> None:
    kept: dict[str, list[dict[str, Any]]] = {}
    for number, to in enumerate(migrate.known()):
        on(empty, lambda connection, to=to: migrate.upgrade(connection, to))  # type: ignore[misc]
        after = on(empty, contents)
        old = {table: rows for table, rows in after.items() if table in kept}
        assert [table for table in kept if len(old[table]) != len(kept[table])] == [], to
        for table, rows in kept.items():
            for row, now in zip(rows, old[table], strict=True):
                assert row.items() <= now.items(), (to, table)
        on(empty, furnish)
        kept = on(empty, contents)
        assert all(kept.values()), number
    assert set(kept) == set(PatternRow.metadata.tables)


def test_down_and_up_again_leaves_tables_that_work(empty: str) -> None:
    on(empty, migrate.upgrade)
    on(empty, furnish)
    on(empty, migrate.downgrade)
    on(empty, migrate.upgrade)
    assert not any(on(empty, contents).values())
    on(empty, furnish)
    assert all(on(empty, contents).values())


def test_migrations_and_tables_say_the_same(empty: str) -> None:
    on(empty, migrate.upgrade)
    on(empty, migrate.check)
    assert on(empty, migrate.is_newest)


def test_every_table_has_its_owner_and_every_constraint_its_name(empty: str) -> None:
    on(empty, migrate.upgrade)
    on(empty, _ensure_named)


def _ensure_named(connection: Connection) -> None:
    found = inspect(connection)
    for table in PatternRow.metadata.tables:
        owner = "id" if table == "workshops" else "workshop_id"
        assert owner in [column["name"] for column in found.get_columns(table)], table
        keys = found.get_foreign_keys(table)
        assert table == "workshops" or "workshops" in [key["referred_table"] for key in keys], table
        constraints = [*keys, *found.get_unique_constraints(table), *found.get_check_constraints(table)]
        assert all(constraint["name"] for constraint in [*constraints, found.get_pk_constraint(table)]), table


def test_a_migration_that_breaks_off_leaves_nothing_behind(url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    upgrade = migrate.upgrade

    def broken(connection: Connection, to: str = "head") -> None:
        upgrade(connection, migrate.known()[2])
        raise KeyboardInterrupt

    with monkeypatch.context() as midway:
        midway.setattr(migrate, "upgrade", broken)
        with pytest.raises(KeyboardInterrupt):
            with_database(url, lambda database: database.migrate())
    assert on(url, lambda connection: inspect(connection).get_table_names()) == []
    with_database(url, lambda database: database.migrate())
    assert on(url, migrate.is_newest)
