"""What is SQLite's own: how a connection is set up, who may write next, and whether a file is whole."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, Any

from sqlalchemy import event, text
from sqlalchemy.orm import Session
from sqlalchemy.util import await_only

from api.storage.errors import DatabaseUnavailable, DatabaseUnusable

if TYPE_CHECKING:
    from pathlib import Path

    from sqlalchemy import Connection
    from sqlalchemy.ext.asyncio import AsyncEngine
    from sqlalchemy.orm import ORMExecuteState, UOWTransaction

LOCK_WAIT_MILLISECONDS = 5000
TURN_WAIT_SECONDS = 20.0
KEPT_WHOLE = ("journal_mode = WAL", "synchronous = NORMAL", "foreign_keys = ON")
TURN = "turn"


def set_up(engine: AsyncEngine) -> None:
    """Has every new connection keep a log ahead, keep foreign keys, and wait for a lock of another process."""
    event.listen(engine.sync_engine, "connect", _prepare)


class Turns:
    """Lets the sessions of one server write one after the other, as they come.

    SQLite has one writer at a time. Left to itself, who has to wait asks again and again, and may be passed by others
    until its time is up.
    """

    def __init__(self) -> None:
        self._lock = asyncio.Lock()

    def give(self, session: Session) -> None:
        """Has a session wait for its turn when it is about to write first."""
        session.info[TURN] = self

    def end(self, session: Session) -> None:
        """Ends the turn of a session, if it has had one."""
        if session.info.pop(TURN, None) is self._lock:
            self._lock.release()

    def take(self, session: Session) -> None:
        """Waits for the turn of a session; raises DatabaseUnavailable when it does not come."""
        await_only(self._taken(session))

    async def _taken(self, session: Session) -> None:
        try:
            async with asyncio.timeout(TURN_WAIT_SECONDS):
                await self._lock.acquire()
        except TimeoutError as error:
            raise DatabaseUnavailable(f"others have been writing for {TURN_WAIT_SECONDS:.0f} s") from error
        session.info[TURN] = self._lock


class TurnSession(Session):
    """A session that takes its turn before it writes."""


@event.listens_for(TurnSession, "before_flush")
def _before_flush(session: Session, _: UOWTransaction, __: Any) -> None:
    _take_turn(session)


@event.listens_for(TurnSession, "do_orm_execute")
def _before_statement(state: ORMExecuteState) -> None:
    if state.is_insert or state.is_update or state.is_delete:
        _take_turn(state.session)


def _take_turn(session: Session) -> None:
    turns = session.info.get(TURN)
    if isinstance(turns, Turns):
        turns.take(session)


def make_room(file: Path) -> None:
    """Makes the folder of a database's file. Raises OSError, and DatabaseUnusable for what can be no database."""
    file.parent.mkdir(parents=True, exist_ok=True)
    if file.exists() and not file.is_file():
        raise DatabaseUnusable(f"{file} is no file; DATABASE_URL should name one, as in sqlite:///bags.db")


def begin(connection: Connection) -> None:
    """Begins to write, also tables: Python's own driver would let each change of a table stand alone."""
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def ensure_whole(connection: Connection, file: Path | None) -> None:
    """Raises DatabaseUnusable, or SQLAlchemy's DatabaseError, for a file that is damaged, or no database of SQLite."""
    found = [row[0] for row in connection.execute(text("PRAGMA quick_check(1)"))]
    if found != ["ok"]:
        raise damaged(file, " ".join(" ".join(found).split()))


def damaged(file: Path | None, found: str) -> DatabaseUnusable:
    """What is said of such a file, and of what can be done."""
    return DatabaseUnusable(
        f"{file or 'The database'} is damaged, or no database of SQLite ({found}). Nothing has been changed in it. "
        "Put it aside, and restore the last backup: sizewright restore FILE"
    )


def _prepare(connection: Any, _: Any) -> None:
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {LOCK_WAIT_MILLISECONDS}")
    for pragma in KEPT_WHOLE:
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()
