"""The log: one JSON object a line on standard error, with the id of the request and nothing that a customer wrote.

Errors are told by their types and the places that they came through. What an exception says of itself is left out
where it may quote what was sent; that of the system and of the database's connection is kept.
"""

from __future__ import annotations

import logging
import sys
from typing import TYPE_CHECKING, Any, TextIO

import structlog
from structlog.stdlib import ProcessorFormatter

from api.jobs.executor import WorkerFailed
from api.jobs.traces import traced
from api.storage.database import DatabaseUnavailable

if TYPE_CHECKING:
    from collections.abc import MutableMapping

    Event = MutableMapping[str, Any]

OURS = "api"
MOST_TEXT = 300
LOUD = ("httpx", "httpcore", "alembic", "distributed", "asyncio", "aiosqlite")
"""Libraries whose reports of ordinary work are left out; httpx writes whole addresses with their queries."""
TRUSTED = (DatabaseUnavailable, WorkerFailed)
"""Errors of our own whose texts hold nothing of a request."""


def logger(name: str = OURS) -> structlog.stdlib.BoundLogger:
    """A logger of events with fields; without `configure` it passes on warnings only, as Python's own do."""
    made: structlog.stdlib.BoundLogger = structlog.wrap_logger(
        logging.getLogger(name),
        processors=[
            structlog.stdlib.filter_by_level,
            structlog.contextvars.merge_contextvars,
            ProcessorFormatter.wrap_for_formatter,
        ],
        wrapper_class=structlog.stdlib.BoundLogger,
    )
    return made


def configure(level: str, stream: TextIO | None = None) -> logging.Handler:
    """Sends everything of this level and above, of libraries too, to the stream (standard error) as lines of JSON."""
    handler = logging.StreamHandler(stream or sys.stderr)
    handler.setFormatter(formatter())
    root = logging.getLogger()
    root.handlers = [handler]
    root.setLevel(level.upper())
    for name in LOUD:
        logging.getLogger(name).setLevel(logging.WARNING)
    return handler


def formatter() -> ProcessorFormatter:
    """Makes a line of each record."""
    return ProcessorFormatter(
        foreign_pre_chain=[structlog.contextvars.merge_contextvars, _of_library],
        processors=[
            _placed,
            ProcessorFormatter.remove_processors_meta,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            _traced,
            structlog.processors.JSONRenderer(sort_keys=False),
        ],
        # What a record carries is read by `_traced`; nothing is to be formatted before it.
        pass_foreign_args=True,
    )


def _placed(_: Any, __: str, event: Event) -> Event:
    record: logging.LogRecord = event["_record"]
    placed: dict[str, Any] = {"level": record.levelname.lower(), "logger": record.name}
    if isinstance(record.exc_info, tuple) and record.exc_info[1] is not None:
        placed["exc_info"] = record.exc_info
    return {**placed, **event}


def _of_library(_: Any, __: str, event: Event) -> Event:
    """What a library reports, as it stands in its source; what it fills in, or adds in further lines, is left out."""
    record: logging.LogRecord = event["_record"]
    event.pop("positional_args", None)
    event["event"] = str(record.msg).partition("\n")[0][:MOST_TEXT]
    return event


def _traced(_: Any, __: str, event: Event) -> Event:
    given = event.pop("exc_info", None)
    error = given[1] if isinstance(given, tuple) else given
    if isinstance(error, BaseException):
        event["error"] = traced(error, TRUSTED)
    return event
