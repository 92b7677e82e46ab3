"""Writes what is stored as an archive."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import and_, or_, select

from api.storage import migrate
from api.storage.archive.faults import ArchiveError
from api.storage.archive.index import INDEX, Index, sum_of
from api.storage.archive.places import target
from api.storage.archive.rows import OWNER, WORKSHOPS, files_of, key_of, tables

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from sqlalchemy import ColumnElement, Table
    from sqlalchemy.ext.asyncio import AsyncConnection

    from api.storage.database import Database

TOGETHER = 100
"""Rows that are in memory at once."""


async def export(database: Database, place: Path, workshop: str | None = None) -> Index:
    """Writes all workshops, or one, to a new archive, as they are at one moment; others may go on working meanwhile.

    Raises ArchiveError where there is no such workshop, or something at that place.
    """
    files: dict[str, tuple[int, str]] = {}
    counts: dict[str, int] = {}
    with target(place) as archive:
        async with database.snapshot() as connection:
            for table in tables():
                counts[table.name] = 0
                async for values in _rows(connection, table, workshop):
                    counts[table.name] += 1
                    for path, content in files_of(table, values).items():
                        archive.write(path, content)
                        files[path] = sum_of(content)
        if workshop is not None and counts[WORKSHOPS] == 0:
            raise ArchiveError(f"There is no workshop {workshop!r}; sizewright workshops list tells their ids.")
        index = Index(migrate.newest(), counts, files)
        archive.write(INDEX, index.written())
    return index


async def _rows(connection: AsyncConnection, table: Table, workshop: str | None) -> AsyncIterator[dict[str, Any]]:
    """The rows by their keys, whose order is ours: databases differ in how they order letters."""
    columns = list(table.primary_key.columns)
    owned = select(*columns)
    if workshop is not None:
        owned = owned.where(table.c["id" if table.name == WORKSHOPS else OWNER] == workshop)
    keys = sorted(tuple(key) for key in await connection.execute(owned))
    for start in range(0, len(keys), TOGETHER):
        chosen = keys[start : start + TOGETHER]
        found = await connection.execute(select(table).where(or_(*(_is(table, key) for key in chosen))))
        rows = [dict(row) for row in found.mappings()]
        for row in sorted(rows, key=lambda row: key_of(table, row)):
            yield row


def _is(table: Table, key: tuple[Any, ...]) -> ColumnElement[bool]:
    return and_(*(column == part for column, part in zip(table.primary_key.columns, key, strict=True)))
