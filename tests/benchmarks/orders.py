"""How reading and placing one order grow with the orders that are stored, from 1 to 100,000, on a new SQLite file.

The operations are those of the service, without HTTP. `orders_exponent` is the slope, in log-log by least squares, of
the total time that so many orders would take at the pace measured while as many are stored: 1 is constant for each.
"""

from __future__ import annotations

import asyncio
import statistics
import tempfile
import time
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import uuid4

import numpy as np

from api.access.caller import Caller
from api.access.scopes import KEY_SCOPES
from api.operations import orders
from api.operations.bench import Bench
from api.operations.keeper import JobKeeper
from api.problems import problem_text
from api.storage.database import Database
from api.storage.workshops import HOUSE
from tests.api.shop import ShopSolver
from tests.api.support import pattern_document
from tests.benchmarks import demo
from tests.faults.server import served, sqlite_in
from tests.load import shelf

STORED = (1, 10, 100, 1_000, 10_000, 100_000)
QUICK = (1, 100, 1_000)
TIMES = 30
"""Orders read, and placed, at each count; half of them fewer at 1."""
CALLER = Caller("benchmark", HOUSE, frozenset(KEY_SCOPES), None)


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Fill the database step by step, and time single orders at each."""
    counts = QUICK if quick else STORED
    with tempfile.TemporaryDirectory() as folder:
        url = sqlite_in(Path(folder))
        with served(Path(folder), url) as server:
            stored = server.ask("POST", "/patterns", {"document": pattern_document()}).json()
            address = f"/patterns/{stored['id']}/revisions/{stored['head']}/quotes"
            quote = server.ask("POST", address, {"size": "mini"}).json()["id"]
        figures = asyncio.run(_grown(url, quote, counts))
    return {
        "orders": list(counts),
        "read_ms": [round(1000 * each["read"], 2) for each in figures],
        "place_ms": [round(1000 * each["place"], 2) for each in figures],
        "list_ms": [round(1000 * each["list"], 2) for each in figures],
        "orders_exponent": slope(counts, [n * (f["read"] + f["place"]) for n, f in zip(counts, figures, strict=True)]),
    }


def slope(counts: tuple[int, ...], values: list[float]) -> float:
    """The slope of a line through the logarithms."""
    return round(float(np.polyfit(np.log(counts), np.log(values), 1)[0]), 3)


async def _grown(url: str, quote: str, counts: tuple[int, ...]) -> list[dict[str, float]]:
    database = Database(url)
    bench = Bench(database, ShopSolver(), HOUSE, JobKeeper(database, problem_text))
    figures, there = [], 0
    for count in counts:
        names = await shelf.added_orders(database, quote, max(1, count - there))
        figures.append(await _timed(bench, quote, names))
        there = count + TIMES
        demo.note(f"{count} orders: {figures[-1]}")
    await database.close()
    return figures


async def _timed(bench: Bench, quote: str, names: list[str]) -> dict[str, float]:
    """The median seconds to read one order, to place one, and to list twenty."""
    quotes = await shelf.added_quotes(bench.database, quote, TIMES)
    picked = [names[at * len(names) // TIMES] for at in range(TIMES)]

    async def place(name: str) -> None:
        wanted = orders.Wanted(name, {}, "")
        await orders.place(bench, CALLER, str(uuid4()), wanted, datetime.now(UTC), lambda record: record.id)

    async def read(name: str) -> None:
        await orders.read(bench, name)

    async def page(name: str) -> None:
        await orders.orders(bench, 20, name, None)

    return {
        "read": await _median(read, picked),
        "place": await _median(place, quotes),
        "list": await _median(page, picked),
    }


async def _median(work: Callable[[str], Awaitable[None]], names: list[str]) -> float:
    seconds = []
    for name in names:
        started = time.perf_counter()
        await work(name)
        seconds.append(time.perf_counter() - started)
    return statistics.median(seconds)
