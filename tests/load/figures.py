"""A server, its quotes, the clients, and what is found afterwards."""

from __future__ import annotations

import contextlib
import time
from pathlib import Path
from typing import Any

from tests.api.support import pattern_document
from tests.faults.server import served, sqlite_in
from tests.faults.writers import HALF_WRITTEN
from tests.load import shelf
from tests.load.orders import placed_by_many
from tests.storage.support import rows


def loaded(folder: Path, orders: int, clients: int, seed: int, url: str | None = None) -> dict[str, Any]:
    """Counts of what was sent, answered and found: all of `faults` are to be 0."""
    address = url or sqlite_in(folder)
    with served(folder, address) as server:
        stored = server.ask("POST", "/patterns", {"document": pattern_document()}).json()
        quotes = f"/patterns/{stored['id']}/revisions/{stored['head']}/quotes"
        first = server.ask("POST", quotes, {"size": "mini"}).json()["id"]
        names = shelf.quotes(address, first, orders)
        started = time.perf_counter()
        outcome = placed_by_many(server, names, clients, seed)
        elapsed = time.perf_counter() - started
        with contextlib.closing(server.connect()) as connection:
            statuses = [server.asked(connection, "GET", f"/orders/{name}").status for name in outcome.placed.values()]
    keys = {str(row[0]): str(row[1]) for row in rows(address, "SELECT key, order_id FROM idempotency_keys")}
    return {
        "orders": orders,
        "clients": clients,
        "cuts": outcome.cuts,
        "replayed": outcome.replayed,
        "seconds": round(elapsed, 2),
        "placed": len(outcome.placed),
        "other_statuses": {str(status): n for status, n in sorted(outcome.statuses.items()) if status != 201},
        "faults": {
            "never_placed": len(outcome.refused),
            "answered_as_another": len(outcome.differing),
            "unreadable": sum(status != 200 for status in statuses),
            "keys_with_another_order": sum(keys.get(key) != name for key, name in outcome.placed.items()),
            "orders_too_many": rows(address, "SELECT count(*) FROM orders")[0][0] - orders,
            "half_written": sum(rows(address, statement)[0][0] for statement in HALF_WRITTEN.values()),
        },
    }
