"""A hundred kills of the server while clients write, and 2,000 orders by 50 clients whose connections are cut.

Whatever is counted under `lost`, `doubled`, `half_written` and `faults` is to be nothing. The server is a process of
its own on a new SQLite file; calculations are answered at once, so that it is nearly always writing.
"""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

from tests.benchmarks import demo
from tests.faults.kill_rounds import killed_again_and_again
from tests.faults.server import sqlite_in
from tests.load.figures import loaded

ROUNDS = 100
ORDERS, CLIENTS = 2000, 50
SEED = 20_261_125


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Run both."""
    rounds = 3 if quick else ROUNDS
    with tempfile.TemporaryDirectory() as folder:
        findings = killed_again_and_again(Path(folder), sqlite_in(Path(folder)), rounds, SEED, demo.note)
    for fault in findings.faults:
        demo.note(fault)
    with tempfile.TemporaryDirectory() as folder:
        load = loaded(Path(folder), 100 if quick else ORDERS, CLIENTS, SEED)
    return {
        "kills": rounds,
        "accepted": findings.accepted,
        "orders": findings.orders,
        "lost": len(findings.lost),
        "doubled": len(findings.doubled),
        "half_written": len(findings.half_written),
        "load": load,
    }
