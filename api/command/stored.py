"""The database of DATABASE_URL, for commands that work on it directly."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, TypeVar

from api.command.files import Unreadable
from api.settings import Settings, UnusableSetting
from api.storage.database import Database, DatabaseUnavailable
from api.storage.errors import DatabaseUnusable

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

Found = TypeVar("Found")


def settings() -> Settings:
    """The settings of the environment; raises Unreadable for what cannot be used."""
    try:
        return Settings.from_environment()
    except UnusableSetting as error:
        raise Unreadable(str(error)) from error


def with_database(url: str, work: Callable[[Database], Awaitable[Found]]) -> Found:
    """What this work finds in the database, which is migrated first; raises Unreadable where it does not answer."""
    return asyncio.run(_worked(url, work))


async def _worked(url: str, work: Callable[[Database], Awaitable[Found]]) -> Found:
    database = Database(url)
    try:
        await database.migrate()
        return await work(database)
    except DatabaseUnusable as error:
        raise Unreadable(str(error)) from error
    except DatabaseUnavailable as error:
        raise Unreadable(f"The database does not answer: {error}") from error
    finally:
        await database.close()
