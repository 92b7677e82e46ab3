"""What is PostgreSQL's own: which of its errors may pass, and how one server migrates at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import text
from sqlalchemy.engine import make_url

if TYPE_CHECKING:
    from sqlalchemy import Connection

MIGRATING = 0x53697A65
"""The name of the lock that a server holds while it migrates ("Size" in ASCII)."""
LOCK_WAIT_MILLISECONDS = 5000
MIGRATION_WAIT = "10min"
CONNECTION_WAIT_SECONDS = 10
PASSING = ("08", "40", "53", "55", "57", "58")
"""Classes of SQLSTATE that have nothing to do with what was asked for: connections, transactions undone for the sake
of others (deadlocks), no room or memory, locks, a server that is being stopped, and errors of the system.
Appendix A of PostgreSQL's manual."""


def address(url: str) -> str:
    """The address as the driver reads it: what PostgreSQL's own programs call `sslmode` is its `ssl`."""
    found = make_url(url)
    mode = found.query.get("sslmode")
    if mode is None:
        return url
    named = found.difference_update_query(["sslmode"]).update_query_dict({"ssl": mode})
    return named.render_as_string(hide_password=False)


def connect_arguments() -> dict[str, Any]:
    """What every connection is opened with: nobody waits for a lock, or for an answer to a knock, for ever."""
    settings = {"application_name": "sizewright", "lock_timeout": str(LOCK_WAIT_MILLISECONDS), "timezone": "UTC"}
    return {"server_settings": settings, "timeout": CONNECTION_WAIT_SECONDS}


UNDONE = "40"
"""The class of SQLSTATE of transactions that may be tried again at once: deadlocks, and failures to serialize."""


def begin(connection: Connection) -> None:
    """Waits until no other server migrates this database, and keeps others waiting until the transaction ends."""
    connection.execute(text(f"SET LOCAL lock_timeout = '{MIGRATION_WAIT}'"))
    connection.execute(text("SELECT pg_advisory_xact_lock(:name)"), {"name": MIGRATING})


def may_pass(code: str | None) -> bool:
    """Whether the same may work later, by the SQLSTATE of an error."""
    return code is not None and code[:2] in PASSING


def was_undone(code: str | None) -> bool:
    """Whether the same may work at once, by the SQLSTATE of an error."""
    return code is not None and code[:2] == UNDONE
