"""A solver that answers order forms, wishes and prices at once, and the way to a quote."""

from __future__ import annotations

import asyncio
import json
from dataclasses import dataclass
from typing import Any, cast

from sqlalchemy import CursorResult, text

from api.jobs.executor import TaskRefused
from api.settings import Settings
from api.storage.database import Database
from tests.api.conftest import Client
from tests.api.support import ScriptedSolver

UNOFFERED = {"path": "size", "problem": "no size 'giant' is offered", "remedy": "choose one of base, mini"}
KEY = "8e03978e-40d5-43e8-bc93-6894a57f9324"


@dataclass
class ShopSolver(ScriptedSolver):
    """The scripted solver, with tasks of order forms; the total is 10.00 EUR a bag."""

    async def run(self, task: str, **arguments: Any) -> Any:
        shop = {"wish": self._wish, "laying": self._laying, "price": self._price}
        if task not in shop:
            return await super().run(task, **arguments)
        self.asked.append((task, arguments))
        return shop[task](json.loads(arguments["wish"]))

    async def run_long(self, task: str, *heard: Any, **arguments: Any) -> Any:
        if task != "form":
            return await super().run_long(task, *heard, **arguments)
        self.asked.append((task, arguments))
        return json.dumps({"format": 1, "kind": "form", "pattern": json.loads(arguments["document"])["name"]})

    def _wish(self, wish: dict[str, Any]) -> dict[str, Any]:
        if wish.get("size") == "giant":
            raise TaskRefused({"kind": "request", "faults": [UNOFFERED]})
        return {"size": wish.get("size"), "request": wish.get("measures"), "days": 14}

    def _laying(self, wish: dict[str, Any]) -> dict[str, Any]:
        return {"seed": 0, "effort": "quick"}

    def _price(self, wish: dict[str, Any]) -> dict[str, str]:
        total = 1000 * wish.get("quantity", 1)
        price = {
            "format": 1,
            "kind": "price",
            "pattern": "Small pouch",
            "size": {"name": wish.get("size"), "request": {}},
            "measures": {"width": "120 mm"},
            "quantity": wish.get("quantity", 1),
            "cloths": wish.get("cloths", {}),
            "currency": "EUR",
            "digits": 2,
            "lines": [{"kind": "work", "name": "sew", "says": "secret of the workshop", "amount": total}],
            "before_tax": total,
            "tax": 0,
            "total": total,
            "text": f"{total // 100}.00 EUR",
            "minutes": "30",
            "says": [],
        }
        return {"supplies": json.dumps({"rows": []}), "price": json.dumps(price)}


def rows(settings: Settings, statement: str, **values: Any) -> list[tuple[Any, ...]]:
    """What a database answers to a statement of SQL, whichever kind it is; [] where it gives no rows."""

    async def answered() -> list[tuple[Any, ...]]:
        database = Database(settings.database_url)
        try:
            async with database.transaction() as session:
                found = cast("CursorResult[Any]", await session.execute(text(statement), values))
                return [tuple(row) for row in found] if found.returns_rows else []
        finally:
            await database.close()

    return asyncio.run(answered())


def count(settings: Settings, table: str) -> int:
    """How many rows a table has."""
    return int(rows(settings, f"SELECT count(*) FROM {table}")[0][0])


def quoted(client: Client, pattern: dict[str, Any], **wish: Any) -> dict[str, Any]:
    """A quote of a pattern's head."""
    address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}/quotes"
    answer = client.post(address, json=wish or {"size": "mini"})
    assert answer.status_code == 201, answer.text
    quote: dict[str, Any] = answer.json()
    return quote


def place(client: Client, quote: dict[str, Any], key: str | None = KEY, **more: Any) -> Any:
    """The answer to an order of a quote."""
    headers = {} if key is None else {"Idempotency-Key": f'"{key}"'}
    return client.post("/orders", json={"quote": quote["id"], **more}, headers=headers)
