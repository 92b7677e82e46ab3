"""Placing orders, once each, and moving them on."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from sqlalchemy.exc import IntegrityError

from api.operations.errors import Fault, Missing, NoPrecondition, RequestRefused
from api.operations.events import announce_change, announce_placed
from api.operations.order_errors import KeyUsedOtherwise, QuoteExpired, QuoteOrdered, StaleOrder, StateRefused
from api.operations.quotes import read as read_quote
from api.storage.orders import Change, Event, NewKey, OrderRecord, OrderStore

if TYPE_CHECKING:
    from collections.abc import Callable

    from sqlalchemy.ext.asyncio import AsyncSession

    from api.access.caller import Caller
    from api.operations.bench import Bench

PLACED, ACCEPTED, CUTTING, SEWING, READY, SENT, CANCELLED = (
    "placed",
    "accepted",
    "cutting",
    "sewing",
    "ready",
    "sent",
    "cancelled",
)
NEXT = {
    PLACED: (ACCEPTED, CANCELLED),
    ACCEPTED: (CUTTING, CANCELLED),
    CUTTING: (SEWING, ACCEPTED, CANCELLED),
    SEWING: (READY, CUTTING, CANCELLED),
    READY: (SENT, SEWING, CANCELLED),
    SENT: (),
    CANCELLED: (),
}
"""The states that an order can come into: the next one, the one before while it is worked at, or cancelled."""
STATE, NOTE, ERASED = "state", "note", "erased"
"""Kinds of entries in a history."""
TRIES = 8


@dataclass(frozen=True)
class Wanted:
    """An order on its way in: the quote, what is kept of the customer, and what is said of it."""

    quote: str
    customer: dict[str, Any]
    notes: str

    def fingerprint(self) -> str:
        """The same for the same order sent again."""
        written = json.dumps([self.quote, self.customer, self.notes], ensure_ascii=False, sort_keys=True)
        return sha256(written.encode()).hexdigest()


@dataclass(frozen=True)
class Placed:
    """What is answered to a placed order, and whether it was answered before."""

    order: str
    answer: str
    replayed: bool


async def place(
    bench: Bench, caller: Caller, key: str, wanted: Wanted, now: datetime, told: Callable[[OrderRecord], str]
) -> Placed:
    """Places an order of a quote. The same order sent again with the same key is answered as it was the first time.

    Key and order are written in one transaction, so that there are both or neither, whatever stops in between; a second
    server that is sent the same key waits for the end of the first one's transaction. `told` writes the answer. Raises
    KeyUsedOtherwise, Missing, QuoteExpired and QuoteOrdered: then nothing is stored, and the key may be used again.
    """
    holder = caller.form or ""
    answered = await _answered(bench, holder, key, wanted)
    if answered is not None:
        return answered
    quote = await read_quote(bench, caller, wanted.quote)
    if quote.valid_until <= now:
        raise QuoteExpired(quote.id, quote.pattern, quote.revision, quote.valid_until)
    customer = json.dumps(wanted.customer, ensure_ascii=False)
    placed = Event(STATE, PLACED, wanted.notes, now)
    order = OrderRecord(str(uuid4()), quote, PLACED, 1, customer, now, now, (placed,))
    answer = told(order)

    async def write(session: AsyncSession) -> None:
        store = OrderStore(session, bench.workshop)
        await store.add_key(NewKey(holder, key, wanted.fingerprint(), order.id, answer))
        await store.add(order)
        await announce_placed(session, bench.workshop, order)

    try:
        await bench.database.settled(write)
    except IntegrityError:
        answered = await _answered(bench, holder, key, wanted)
        if answered is None:
            raise QuoteOrdered(quote.id) from None
        return answered
    return Placed(order.id, answer, replayed=False)


async def read(bench: Bench, name: str) -> OrderRecord:
    """The order; raises Missing."""
    async with bench.database.transaction() as session:
        found = await OrderStore(session, bench.workshop).order(name)
    if found is None:
        raise Missing("order", name)
    return found


async def orders(bench: Bench, limit: int, after: str | None, state: str | None) -> tuple[OrderRecord, ...]:
    """Orders in a state, or all, the newest first, from the one after `after` on. Raises RequestRefused."""
    async with bench.database.transaction() as session:
        store = OrderStore(session, bench.workshop)
        before = None if after is None else await store.order(after)
        if after is not None and before is None:
            raise RequestRefused(
                [Fault("query.after", "there is no such order", "take it from `next` of the last page")]
            )
        return await store.orders(limit, before, state)


async def move(
    bench: Bench, name: str, to: str, says: str, held: Callable[[str], str | None], now: datetime
) -> OrderRecord:
    """Brings an order into its next state. `held` gives, for the current version, the one that was read.

    Raises Missing, NoPrecondition, StaleOrder and StateRefused; then nothing has changed.
    """
    order = await read(bench, name)
    version = held(str(order.version))
    if version is None:
        raise NoPrecondition
    if version != str(order.version):
        raise StaleOrder(order.version)
    if to not in NEXT[order.state]:
        raise StateRefused(order.state, to, NEXT[order.state])
    if not await _changed(bench, order, Change(Event(STATE, to, says, now))):
        raise StaleOrder((await read(bench, name)).version)
    return await read(bench, name)


async def note(bench: Bench, name: str, says: str, now: datetime) -> OrderRecord:
    """Adds a note to the history of an order, whatever state it is in. Raises Missing."""
    for _ in range(TRIES):
        order = await read(bench, name)
        if await _changed(bench, order, Change(Event(NOTE, order.state, says, now))):
            return await read(bench, name)
    raise StaleOrder(order.version)


async def forget_customer(bench: Bench, name: str, now: datetime, told: Callable[[OrderRecord], str]) -> None:
    """Erases what is kept of the customer, also from what a key is answered with. Raises Missing."""
    for _ in range(TRIES):
        order = await read(bench, name)
        first = replace(order.history[0], says="")
        placed = OrderRecord(order.id, order.quote, PLACED, 1, "{}", order.created_at, order.created_at, (first,))
        if order.customer == "{}":
            return
        if await _changed(bench, order, Change(Event(ERASED, order.state, "", now), customer="{}"), told(placed)):
            return
    raise StaleOrder(order.version)


async def _changed(bench: Bench, order: OrderRecord, change: Change, answer: str | None = None) -> bool:
    async with bench.database.transaction() as session:
        store = OrderStore(session, bench.workshop)
        changed = await store.change(order.id, order.version, change)
        if changed and answer is not None:
            await store.answer_again(order.id, answer)
        if changed:
            await announce_change(session, bench.workshop, order, change.event)
        return changed


async def _answered(bench: Bench, holder: str, key: str, wanted: Wanted) -> Placed | None:
    """What was answered to this key before. Raises KeyUsedOtherwise where another order was sent with it."""
    async with bench.database.transaction() as session:
        known = await OrderStore(session, bench.workshop).key(holder, key)
    if known is None:
        return None
    if known.fingerprint != wanted.fingerprint():
        raise KeyUsedOtherwise
    return Placed(known.order, known.answer, replayed=True)
