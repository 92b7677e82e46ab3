"""The connection to the database: its engine, its transactions, and its migration at start."""

from __future__ import annotations

from contextlib import asynccontextmanager
from typing import TYPE_CHECKING, Any

from advanced_alchemy.config import AsyncSessionConfig, EngineConfig, SQLAlchemyAsyncConfig
from sqlalchemy import event, text
from sqlalchemy.exc import InterfaceError, OperationalError

from api.settings import sqlite_file
from api.storage import migrate

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from sqlalchemy.ext.asyncio import AsyncSession

LOCK_WAIT_MILLISECONDS = 5000


class DatabaseUnavailable(Exception):
    """The database cannot be reached, or stays locked."""


class Database:
    """One database at one address, used through short transactions."""

    def __init__(self, url: str) -> None:
        self._config = SQLAlchemyAsyncConfig(
            connection_string=url,
            engine_config=EngineConfig(pool_pre_ping=not url.startswith("sqlite")),
            session_config=AsyncSessionConfig(expire_on_commit=False),
        )
        self._engine = self._config.get_engine()
        self._sessions = self._config.create_session_maker()
        self._file = sqlite_file(url)
        if url.startswith("sqlite"):
            event.listen(self._engine.sync_engine, "connect", _prepare_sqlite)

    async def migrate(self) -> None:
        """Brings the tables to the newest migration; makes the folder of an SQLite file first."""
        if self._file is not None:
            self._file.parent.mkdir(parents=True, exist_ok=True)
        async with self._engine.begin() as connection:
            await connection.run_sync(migrate.upgrade)

    @asynccontextmanager
    async def transaction(self) -> AsyncIterator[AsyncSession]:
        """A session that commits at its end, or undoes everything when an error leaves the block."""
        try:
            async with self._sessions() as session, session.begin():
                yield session
        except (OperationalError, InterfaceError) as error:
            raise DatabaseUnavailable(str(error.orig)) from error

    async def ping(self) -> None:
        """Asks the database for an answer; raises DatabaseUnavailable when there is none."""
        async with self.transaction() as session:
            await session.execute(text("SELECT 1"))

    async def close(self) -> None:
        """Closes every connection."""
        await self._engine.dispose()


def _prepare_sqlite(connection: Any, _: Any) -> None:
    cursor = connection.cursor()
    for pragma in ("journal_mode = WAL", "synchronous = NORMAL", "foreign_keys = ON"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.execute(f"PRAGMA busy_timeout = {LOCK_WAIT_MILLISECONDS}")
    cursor.close()
