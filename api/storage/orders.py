"""Reads and writes orders, their history, and the keys that keep them single, within one workshop."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import and_, or_, select, update

from api.storage.quotes import QuoteRecord, quote_record
from api.storage.tables import IdempotencyKeyRow, OrderEventRow, OrderRow, QuoteRow, RevisionRow

if TYPE_CHECKING:
    from sqlalchemy import ColumnElement
    from sqlalchemy.ext.asyncio import AsyncSession


@dataclass(frozen=True)
class Event:
    """One entry of an order's history: the state that it was then in, and what was said."""

    kind: str
    state: str
    says: str
    at: datetime


@dataclass(frozen=True)
class OrderRecord:
    """An order as it stands, with its quote and its history; `customer` is JSON text."""

    id: str
    quote: QuoteRecord
    state: str
    version: int
    customer: str
    created_at: datetime
    changed_at: datetime
    history: tuple[Event, ...]


@dataclass(frozen=True)
class NewKey:
    """A key by which an order is placed, whose it is, what was sent with it, and what is answered."""

    holder: str
    key: str
    fingerprint: str
    order: str
    answer: str


@dataclass(frozen=True)
class Change:
    """What becomes of an order: its next state, and the entry of its history.

    Where there is a `customer`, it takes the place of the one before, and what was said when it was placed is erased.
    """

    event: Event
    customer: str | None = None


class OrderStore:
    """The orders of one workshop, within one transaction."""

    def __init__(self, session: AsyncSession, workshop: str) -> None:
        self._session, self._workshop = session, workshop

    async def key(self, holder: str, key: str) -> NewKey | None:
        """What was answered to a key before, if anything was."""
        chosen = select(IdempotencyKeyRow).where(
            IdempotencyKeyRow.workshop_id == self._workshop,
            IdempotencyKeyRow.holder == holder,
            IdempotencyKeyRow.key == key,
        )
        row = (await self._session.execute(chosen)).scalar_one_or_none()
        return None if row is None else NewKey(row.holder, row.key, row.fingerprint, row.order_id, row.answer)

    async def add_key(self, new: NewKey) -> None:
        """Writes a key down; raises SQLAlchemy's IntegrityError when it is there already.

        Where another transaction has written it and not ended yet, this waits for its end.
        """
        self._session.add(
            IdempotencyKeyRow(
                workshop_id=self._workshop,
                holder=new.holder,
                key=new.key,
                fingerprint=new.fingerprint,
                order_id=new.order,
                answer=new.answer,
            )
        )
        await self._session.flush()

    async def answer_again(self, order: str, answer: str) -> None:
        """Changes what is answered to keys of an order from now on."""
        await self._session.execute(
            update(IdempotencyKeyRow)
            .where(IdempotencyKeyRow.order_id == order, IdempotencyKeyRow.workshop_id == self._workshop)
            .values(answer=answer)
        )

    async def add(self, new: OrderRecord) -> None:
        """Writes a new order down; raises SQLAlchemy's IntegrityError when its quote has been ordered before."""
        self._session.add(
            OrderRow(
                id=new.id,
                workshop_id=self._workshop,
                quote_id=new.quote.id,
                state=new.state,
                version=new.version,
                customer=new.customer,
                created_at=new.created_at,
                changed_at=new.changed_at,
            )
        )
        await self._session.flush()
        for number, event in enumerate(new.history, start=1):
            self._add_event(new.id, number, event)
        await self._session.flush()

    async def order(self, name: str) -> OrderRecord | None:
        """The order, or None when this workshop has none of that name."""
        found = await self._found(OrderRow.id == name)
        return found[0] if found else None

    async def order_of(self, quote: str) -> OrderRecord | None:
        """The order of a quote, if it has been ordered."""
        found = await self._found(OrderRow.quote_id == quote)
        return found[0] if found else None

    async def orders(self, limit: int, before: OrderRecord | None, state: str | None) -> tuple[OrderRecord, ...]:
        """Orders in a state, or all, the newest first: those that are older than `before`."""
        conditions = [] if state is None else [OrderRow.state == state]
        if before is not None:
            older = OrderRow.created_at < before.created_at
            conditions.append(or_(older, and_(OrderRow.created_at == before.created_at, OrderRow.id < before.id)))
        return await self._found(*conditions, limit=limit)

    async def change(self, name: str, version: int, change: Change) -> bool:
        """Moves an order on; False, and nothing changed, when it is not of this version any more."""
        event = change.event
        values = {"state": event.state, "version": version + 1, "changed_at": event.at}
        if change.customer is not None:
            values["customer"] = change.customer
        moved = await self._session.execute(
            update(OrderRow)
            .where(OrderRow.id == name, OrderRow.workshop_id == self._workshop, OrderRow.version == version)
            .values(**values)
            .returning(OrderRow.id)
        )
        if moved.scalar_one_or_none() is None:
            return False
        if change.customer is not None:
            first = (OrderEventRow.order_id == name, OrderEventRow.number == 1)
            await self._session.execute(update(OrderEventRow).where(*first).values(says=""))
        self._add_event(name, version + 1, event)
        await self._session.flush()
        return True

    def _add_event(self, order: str, number: int, event: Event) -> None:
        self._session.add(
            OrderEventRow(
                order_id=order,
                number=number,
                workshop_id=self._workshop,
                kind=event.kind,
                state=event.state,
                says=event.says,
                at=event.at,
            )
        )

    async def _found(self, *conditions: ColumnElement[bool], limit: int = 1) -> tuple[OrderRecord, ...]:
        chosen = (
            select(OrderRow, QuoteRow, RevisionRow.pattern_id)
            .join(QuoteRow, OrderRow.quote_id == QuoteRow.id)
            .join(RevisionRow, QuoteRow.revision_id == RevisionRow.id)
            .where(OrderRow.workshop_id == self._workshop, *conditions)
            .order_by(OrderRow.created_at.desc(), OrderRow.id.desc())
            .limit(limit)
        )
        rows = (await self._session.execute(chosen)).all()
        events = await self._events([row.id for row, _, _ in rows])
        return tuple(_order(row, quote_record(quote, pattern), events[row.id]) for row, quote, pattern in rows)

    async def _events(self, orders: list[str]) -> dict[str, list[Event]]:
        chosen = select(OrderEventRow).where(OrderEventRow.order_id.in_(orders))
        found: dict[str, list[Event]] = {order: [] for order in orders}
        ordered = chosen.order_by(OrderEventRow.order_id, OrderEventRow.number)
        for row in (await self._session.execute(ordered)).scalars() if orders else ():
            found[row.order_id].append(Event(row.kind, row.state, row.says, row.at))
        return found


def _order(row: OrderRow, quote: QuoteRecord, history: list[Event]) -> OrderRecord:
    return OrderRecord(
        id=row.id,
        quote=quote,
        state=row.state,
        version=row.version,
        customer=row.customer,
        created_at=row.created_at,
        changed_at=row.changed_at,
        history=tuple(history),
    )
