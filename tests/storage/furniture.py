"""One row of every table, whatever columns it has, so that new tables are filled too."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Integer, MetaData, RowMapping, String, Table, insert, select

from api.operations.archives import MADE_FROM
from api.storage.archive.rows import PARTS

WHEN = datetime(2025, 2, 3, 4, 5, 6, 789012, tzinfo=UTC)
GIVEN = {("jobs", "state"): "waiting"}
"""Values that only some texts can be."""
VERSIONS = "alembic_version"

Contents = dict[str, list[dict[str, Any]]]


def furnish(connection: Connection, mark: str = "one") -> None:
    """Writes a row into every table of a database that has none of this mark."""
    metadata = MetaData()
    metadata.reflect(connection)
    written: dict[str, dict[str, Any]] = {}
    for table in metadata.sorted_tables:
        if table.name == VERSIONS:
            continue
        values = {column.name: _value(table, column, written, mark) for column in table.columns}
        if table.name in MADE_FROM:
            named, columns = MADE_FROM[table.name]
            values["id"] = named(*(values[column] for column in columns))
        written[table.name] = values
        there = connection.execute(select(table)).mappings().all()
        if not any(_key(table, dict(row)) == _key(table, values) for row in there):
            connection.execute(insert(table).values(values))


def contents(connection: Connection) -> Contents:
    """Every row of every table."""
    metadata = MetaData()
    metadata.reflect(connection)
    return {
        table.name: sorted((_row(row) for row in connection.execute(select(table)).mappings()), key=repr)
        for table in metadata.sorted_tables
        if table.name != VERSIONS
    }


def _row(row: RowMapping) -> dict[str, Any]:
    """A row whose times are in UTC, as SQLite keeps them without saying so."""
    times = {name: value.replace(tzinfo=UTC) for name, value in row.items() if isinstance(value, datetime)}
    return {**row, **times}


def as_far_as(before: Contents, after: Contents) -> Contents:
    """What the tables and columns that are left should hold."""
    return {
        table: sorted(({column: row[column] for column in rows[0]} for row in before[table]), key=repr) if rows else []
        for table, rows in after.items()
    }


def _key(table: Table, values: Mapping[str, Any]) -> list[Any]:
    return [values[column.name] for column in table.primary_key.columns]


def _value(table: Table, column: Any, written: dict[str, dict[str, Any]], mark: str) -> Any:
    for reference in column.foreign_keys:
        return written[reference.column.table.name][reference.column.name]
    if (table.name, column.name) in GIVEN:
        return GIVEN[table.name, column.name]
    if isinstance(column.type, Integer):
        return 1
    if not isinstance(column.type, String):
        return WHEN
    if PARTS.get(column.name) == "csv":
        return "a,b\r\n"
    if column.name in PARTS:
        return f'{{"of": "{table.name}", "mark": "{mark}", "has": "Öse, ½ yd, 布"}}'
    return f"{mark} {column.name} Ä"[: column.type.length]
