"""Databases of the tests, on both kinds."""

from __future__ import annotations

import asyncio
import sqlite3
from collections.abc import Awaitable, Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from threading import Event
from typing import Any, TypeVar

from sqlalchemy import Connection, text

from api.settings import sqlite_file
from api.storage.database import Database
from api.storage.tables import PatternRow
from tests.postgresql import Server

Found = TypeVar("Found")


def with_database(url: str, work: Callable[[Database], Awaitable[Found]]) -> Found:
    """What this work finds in a database, in a loop of its own."""

    async def opened() -> Found:
        database = Database(url)
        try:
            return await work(database)
        finally:
            await database.close()

    with ThreadPoolExecutor(1) as elsewhere:
        return elsewhere.submit(lambda: asyncio.run(opened())).result()


def migrated(url: str) -> str:
    """The same address, whose database has every migration now."""
    with_database(url, lambda database: database.migrate())
    return url


def emptied(server: Server, database: str) -> str:
    """The address of a database whose tables have no rows any more: quicker than a new one."""
    tables = [f'DELETE FROM "{table.name}"' for table in reversed(PatternRow.metadata.sorted_tables)]
    server.run(database, "SET lock_timeout = '10s'", *tables)
    return server.url(database)


def rows(url: str, statement: str, **values: Any) -> list[tuple[Any, ...]]:
    """What a statement finds in a database, or, of one that changes it, nothing."""

    async def work(database: Database) -> list[tuple[Any, ...]]:
        async with database.transaction() as session:
            found = await session.execute(text(statement), values)
            return [tuple(row) for row in found] if found.returns_rows else []  # type: ignore[attr-defined]

    return with_database(url, work)


@contextmanager
def locked(url: str, table: str) -> Iterator[None]:
    """Meanwhile somebody else writes to a table (on SQLite to all of them), and does not end."""
    file = sqlite_file(url)
    if file is not None:
        with closing(sqlite3.connect(file)) as other:
            other.execute("BEGIN IMMEDIATE")
            yield
        return
    held, done = Event(), Event()

    async def hold(database: Database) -> None:
        async with database.transaction() as session:
            await session.execute(text(f"LOCK TABLE {table}"))
            held.set()
            await asyncio.to_thread(done.wait)

    with ThreadPoolExecutor(1) as elsewhere:
        holding = elsewhere.submit(with_database, url, hold)
        try:
            assert held.wait(10)
            yield
        finally:
            done.set()
            holding.result()


def connected(url: str, work: Callable[[Connection], Found]) -> Found:
    """What this work finds through a plain connection to a database, in one transaction."""

    async def opened(database: Database) -> Found:
        async with database.transaction() as session:
            return await (await session.connection()).run_sync(work)

    return with_database(url, opened)
