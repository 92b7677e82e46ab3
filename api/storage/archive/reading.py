"""Reads an archive back into a database: all of it, or nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import func, insert, select, update
from sqlalchemy.exc import DBAPIError

from api.storage import migrate
from api.storage.archive import index
from api.storage.archive.faults import ArchiveError, Refused
from api.storage.archive.places import source
from api.storage.archive.rows import OWNER, WORKSHOPS, owner_of, part_paths, row_of, tables

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from sqlalchemy import Table
    from sqlalchemy.ext.asyncio import AsyncSession

    from api.storage.archive.index import Index
    from api.storage.archive.places import Source
    from api.storage.database import Database

    NameFault = Callable[[str, dict[str, Any]], str | None]

KEYS = "keys"
TOGETHER = 100
ROW_FILE = "row.json"


async def bring_in(database: Database, place: Path, name_fault: NameFault) -> Index:
    """Stores everything of an archive, under the names that it had.

    First everything is read and checked; `name_fault` tells, for a table and a row, what is wrong with a name that is
    made from the content. A workshop of the archive may be there already if nothing but keys is in it, as after a first
    start. Raises ArchiveError; then nothing is stored.
    """
    with source(place) as archive:
        found = index.read(archive)
        if found.version != migrate.newest():
            raise ArchiveError(
                f"The archive has tables of version {found.version}, and here they are of version {migrate.newest()}. "
                "Bring it in with the version that wrote it, into a database of its own, and start the newer one there."
            )
        _check(archive, found, name_fault)
        try:
            async with database.transaction() as session:
                for table in tables():
                    await _store(session, table, archive, found)
        except DBAPIError as error:
            raise ArchiveError(f"The archive contradicts itself, or what is stored here: {error.orig}") from error
    return found


def _check(archive: Source, found: Index, name_fault: NameFault) -> None:
    counts = dict.fromkeys(found.rows, 0)
    workshops = {path.split("/")[0] for path in found.files if path.endswith("/workshop.json")}
    used: set[str] = set()
    for table in tables():
        for path, values in _rows(archive, table, found):
            used |= {path, *part_paths(table, path).values()}
            counts[table.name] = counts.get(table.name, 0) + 1
            if (owner := owner_of(table, values)) not in workshops:
                raise Refused(path, f"it belongs to the workshop {owner}, which is not in the archive")
            if (fault := name_fault(table.name, values)) is not None:
                raise Refused(path, fault)
    if left := sorted(set(found.files) - used):
        raise Refused(left[0], "it belongs to no table that is known")
    if counts != dict(found.rows):
        raise Refused(index.INDEX, "the numbers of rows that it states are not those of the files")


def _rows(archive: Source, table: Table, found: Index) -> Iterator[tuple[str, dict[str, Any]]]:
    """The rows of a table, in the order of their paths."""
    for path in found.files:
        if _is_row(table, path):
            texts = {
                column: archive.read(part) for column, part in part_paths(table, path).items() if part in found.files
            }
            yield path, row_of(table, path, archive.read(path), texts)


def _is_row(table: Table, path: str) -> bool:
    steps = path.split("/")
    if table.name == WORKSHOPS:
        return len(steps) == 2 and steps[1] == "workshop.json"
    if len(steps) < 3 or steps[1] != table.name:
        return False
    if part_paths(table, path):
        return len(steps) == 4 and steps[3] == ROW_FILE
    return len(steps) == 3


async def _store(session: AsyncSession, table: Table, archive: Source, found: Index) -> None:
    waiting: list[dict[str, Any]] = []
    for _, values in _rows(archive, table, found):
        if table.name == WORKSHOPS and await _opened(session, table, values):
            continue
        waiting.append(values)
        if len(waiting) == TOGETHER:
            await session.execute(insert(table), waiting)
            waiting = []
    if waiting:
        await session.execute(insert(table), waiting)


async def _opened(session: AsyncSession, table: Table, values: dict[str, Any]) -> bool:
    """Whether the workshop is there, with nothing in it yet; it gets the name of the archive's. Raises ArchiveError."""
    workshop = values["id"]
    there = await session.execute(select(func.count()).select_from(table).where(table.c.id == workshop))
    if not there.scalar_one():
        return False
    for other in tables():
        if other.name not in (WORKSHOPS, KEYS):
            held = await session.execute(select(func.count()).select_from(other).where(other.c[OWNER] == workshop))
            if held.scalar_one():
                raise ArchiveError(
                    f"The workshop {workshop} is here already, and has {other.name.replace('_', ' ')}. Bring the "
                    "archive into a database that is new, or has nothing of this workshop."
                )
    await session.execute(update(table).where(table.c.id == workshop).values(**values))
    return True
