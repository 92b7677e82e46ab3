"""The connection to the database: its engine, its transactions, and its migration at start."""

from __future__ import annotations

from contextlib import AsyncExitStack, asynccontextmanager, contextmanager, suppress
from typing import TYPE_CHECKING, TypeVar

from advanced_alchemy.config import EngineConfig, SQLAlchemyAsyncConfig
from alembic.util import CommandError
from asyncpg import PostgresError
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError, InterfaceError, OperationalError
from sqlalchemy.exc import TimeoutError as NoConnectionFree
from sqlalchemy.ext.asyncio import async_sessionmaker
from sqlalchemy.orm import Session

from api.settings import sqlite_file
from api.storage import migrate, postgresql, sqlite
from api.storage.errors import DatabaseUnavailable as DatabaseUnavailable
from api.storage.errors import DatabaseUnusable, TransactionUndone

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Awaitable, Callable, Iterator

    from sqlalchemy import Connection
    from sqlalchemy.ext.asyncio import AsyncConnection, AsyncSession

TRIES = 4
DAMAGED = ("SQLITE_CORRUPT", "SQLITE_NOTADB")

Found = TypeVar("Found")


class Database:
    """One database at one address, used through short transactions."""

    def __init__(self, url: str) -> None:
        self._on_sqlite = url.startswith("sqlite")
        settled = (
            EngineConfig()
            if self._on_sqlite
            else EngineConfig(pool_pre_ping=True, connect_args=postgresql.connect_arguments())
        )
        address = url if self._on_sqlite else postgresql.address(url)
        self._config = SQLAlchemyAsyncConfig(connection_string=address, engine_config=settled)
        self._engine = self._config.get_engine()
        self._sessions = async_sessionmaker(
            self._engine,
            expire_on_commit=False,
            sync_session_class=sqlite.TurnSession if self._on_sqlite else Session,
        )
        self._file = sqlite_file(url)
        self._turns = sqlite.Turns()
        if self._on_sqlite:
            sqlite.set_up(self._engine)

    async def migrate(self) -> None:
        """Brings the tables to the newest migration, all or none; makes the folder of an SQLite file first.

        Two servers that start at once do it one after the other. Raises DatabaseUnavailable, and DatabaseUnusable for
        a database that is damaged or has migrations that are not known here.
        """
        with self._refusals():
            if self._file is not None:
                sqlite.make_room(self._file)
            async with self._engine.connect() as connection:
                await connection.run_sync(self._upgrade)
                await connection.commit()

    @asynccontextmanager
    async def transaction(self) -> AsyncIterator[AsyncSession]:
        """A session that commits at its end, or undoes everything when an error leaves the block.

        Raises DatabaseUnavailable when the database does not answer, and when it undid the transaction because of
        another one: then nothing is stored.
        """
        async with self._sessions() as session:
            if self._on_sqlite:
                self._turns.give(session.sync_session)
            try:
                with self._refusals():
                    await session.connection()
                with self._errors():
                    yield session
                    await session.commit()
            finally:
                await self._leave(session)

    async def settled(self, work: Callable[[AsyncSession], Awaitable[Found]]) -> Found:
        """What this work gives within a transaction, tried again where the database undid it for the sake of another.

        Raises what `transaction` does.
        """
        for _ in range(TRIES - 1):
            with suppress(TransactionUndone):
                async with self.transaction() as session:
                    return await work(session)
        async with self.transaction() as session:
            return await work(session)

    @asynccontextmanager
    async def snapshot(self) -> AsyncIterator[AsyncConnection]:
        """A connection that reads what is stored as it is at one moment; others go on writing meanwhile."""
        async with AsyncExitStack() as stack:
            with self._refusals():
                connection = await stack.enter_async_context(self._engine.connect())
            with self._errors():
                if self._on_sqlite:
                    await connection.exec_driver_sql("BEGIN")
                else:
                    await connection.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
                yield connection

    async def ping(self) -> None:
        """Asks the database for an answer; raises DatabaseUnavailable when there is none."""
        async with self.transaction() as session:
            await session.execute(text("SELECT 1"))

    async def is_newest(self) -> bool:
        """Whether the tables have every migration; raises DatabaseUnavailable when there is no answer."""
        async with self.transaction() as session:
            return await (await session.connection()).run_sync(migrate.is_newest)

    async def close(self) -> None:
        """Closes every connection."""
        await self._engine.dispose()

    def _upgrade(self, connection: Connection) -> None:
        if self._on_sqlite:
            sqlite.ensure_whole(connection, self._file)
            sqlite.begin(connection)
        else:
            postgresql.begin(connection)
        migrate.upgrade(connection)

    async def _leave(self, session: AsyncSession) -> None:
        try:
            await session.close()
        finally:
            if self._on_sqlite:
                self._turns.end(session.sync_session)

    @contextmanager
    def _errors(self) -> Iterator[None]:
        """Tells errors of the database itself from those of what was asked of it."""
        try:
            yield
        except DBAPIError as error:
            if getattr(error.orig, "sqlite_errorname", None) in DAMAGED:
                raise sqlite.damaged(self._file, str(error.orig)) from error
            code = getattr(error.orig, "sqlstate", None)
            if postgresql.was_undone(code):
                raise TransactionUndone(str(error.orig)) from error
            passing = isinstance(error, OperationalError | InterfaceError) or error.connection_invalidated
            if passing or postgresql.may_pass(code):
                raise DatabaseUnavailable(str(error.orig)) from error
            raise
        except ConnectionError as error:
            raise DatabaseUnavailable(str(error)) from error

    @contextmanager
    def _refusals(self) -> Iterator[None]:
        """The same, where nothing but the database can be at fault, before there is a connection."""
        try:
            with self._errors():
                yield
        except CommandError as error:
            raise DatabaseUnusable(
                f"The database has tables of another version: {error}. Use the version that it was last used with, "
                "or a newer one."
            ) from error
        except (OSError, NoConnectionFree, PostgresError) as error:
            raise DatabaseUnavailable(str(error)) from error
