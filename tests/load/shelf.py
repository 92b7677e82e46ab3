"""Quotes and orders by the thousand, written into a database at once: copies of one that was made as ever."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

from sqlalchemy import insert, select

from api.storage.database import Database
from api.storage.tables import IdempotencyKeyRow, OrderEventRow, OrderRow, QuoteRow
from tests.storage.support import with_database

AT_ONCE = 2000
"""Rows in one transaction."""


def quotes(url: str, of: str, count: int) -> list[str]:
    """The names of so many more quotes that are like this one."""

    async def work(database: Database) -> list[str]:
        return await added_quotes(database, of, count)

    return with_database(url, work)


async def added_quotes(database: Database, of: str, count: int) -> list[str]:
    """The same in a database that is open."""
    names = [str(uuid4()) for _ in range(count)]
    async with database.transaction() as session:
        row = (await session.execute(select(QuoteRow).where(QuoteRow.id == of))).scalar_one()
        plain = {column.key: getattr(row, column.key) for column in QuoteRow.__table__.columns}
    for start in range(0, count, AT_ONCE):
        async with database.transaction() as session:
            await session.execute(insert(QuoteRow), [plain | {"id": name} for name in names[start : start + AT_ONCE]])
    return names


async def added_orders(database: Database, of: str, count: int) -> list[str]:
    """The names of so many orders, of a copy of this quote each, placed over the last years with keys of their own."""
    quoted = await added_quotes(database, of, count)
    async with database.transaction() as session:
        workshop = (await session.execute(select(QuoteRow.workshop_id).where(QuoteRow.id == of))).scalar_one()
    began = datetime.now(UTC) - timedelta(minutes=10 * count)
    orders = [_order(workshop, quote, began + timedelta(minutes=10 * at)) for at, quote in enumerate(quoted)]
    for start in range(0, count, AT_ONCE):
        some = orders[start : start + AT_ONCE]
        async with database.transaction() as session:
            await session.execute(insert(OrderRow), some)
            await session.execute(insert(OrderEventRow), [_event(order) for order in some])
            await session.execute(insert(IdempotencyKeyRow), [_key(order) for order in some])
    return [order["id"] for order in orders]


def _order(workshop: str, quote: str, at: datetime) -> dict[str, Any]:
    return {
        "id": str(uuid4()),
        "workshop_id": workshop,
        "quote_id": quote,
        "state": "placed",
        "version": 1,
        "customer": "{}",
        "created_at": at,
        "changed_at": at,
    }


def _event(order: dict[str, Any]) -> dict[str, Any]:
    return {
        "order_id": order["id"],
        "number": 1,
        "workshop_id": order["workshop_id"],
        "kind": "state",
        "state": "placed",
        "says": "",
        "at": order["created_at"],
    }


def _key(order: dict[str, Any]) -> dict[str, Any]:
    return {
        "workshop_id": order["workshop_id"],
        "holder": "",
        "key": str(uuid4()),
        "fingerprint": "0" * 64,
        "order_id": order["id"],
        "answer": "{}",
    }
