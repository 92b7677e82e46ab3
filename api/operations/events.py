"""What a shop can be told of: the events of orders, written down together with what they tell of."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final, Literal

from api.storage.notifications import NotificationStore

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.ext.asyncio import AsyncSession

    from api.storage.orders import Event, OrderRecord

PLACED: Final = "order.placed"
MOVED: Final = "order.state"
NOTED: Final = "order.note"
ERASED: Final = "order.erased"
EventType = Literal["order.placed", "order.state", "order.note", "order.erased"]
EVENTS: tuple[EventType, ...] = (PLACED, MOVED, NOTED, ERASED)
CHANGES: dict[str, EventType] = {"state": MOVED, "note": NOTED, "erased": ERASED}
"""The event of each kind of entry in an order's history but the first."""


async def announce_placed(session: AsyncSession, workshop: str, order: OrderRecord) -> None:
    """Has a new order told of, if the transaction comes to its end."""
    await _announce(session, workshop, PLACED, _data(order, order.state, order.version), order.created_at)


async def announce_change(session: AsyncSession, workshop: str, order: OrderRecord, event: Event) -> None:
    """Has a change of an order told of, if the transaction comes to its end; the order is as it was before."""
    data = _data(order, event.state, order.version + 1)
    await _announce(session, workshop, CHANGES[event.kind], data, event.at)


def _data(order: OrderRecord, state: str, version: int) -> dict[str, Any]:
    # Nothing of the customer: what has been sent cannot be erased.
    return {
        "order": order.id,
        "quote": order.quote.id,
        "pattern": order.quote.pattern,
        "state": state,
        "version": version,
    }


async def _announce(session: AsyncSession, workshop: str, event: EventType, data: dict[str, Any], at: datetime) -> None:
    told = {"type": event, "timestamp": at.isoformat().replace("+00:00", "Z"), "data": data}
    await NotificationStore(session, workshop).announce(event, json.dumps(told, separators=(",", ":")), at)
