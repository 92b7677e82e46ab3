"""Orders: placed once each, moved from state to state."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from litestar import Controller, Response, delete, get, post
from litestar.datastructures import ResponseHeader
from litestar.params import JSONBody

from api.access.scopes import FORM, ORDER, asks
from api.negotiation import content_tag, held_state, preferred, strong_tag
from api.operations import orders, packets
from api.operations.order_errors import NoIdempotencyKey
from api.problems import documented
from api.query import AFTER, STATE, WHOLE
from api.resources.answers import ETAG, LOCATION, conditional, raw
from api.resources.dependencies import AtBench, AtCaller
from api.resources.parameters import (
    Accept,
    AfterOrder,
    IdempotencyKey,
    IfNoneMatch,
    Limit,
    OrderIfMatch,
    OrderPath,
    OrderState,
)
from api.resources.patterns import WITH_BODY
from api.resources.quotes import shown_quote
from api.schemas.orders import Customer, HistoryEntry, Move, NewNote, NewOrder, Order, OrderList, PacketRequest

if TYPE_CHECKING:
    from api.storage.orders import OrderRecord

ZIP = "application/zip"
BODY = ("unreadable-body", "body-too-large", "unsupported-body", "faults")
KEY = re.compile(r'"(?P<quoted>[A-Za-z0-9_-]{16,255})"|(?P<bare>[A-Za-z0-9_-]{16,255})', re.ASCII)
"""draft-ietf-httpapi-idempotency-key-header-07: a string of RFC 9651, in quotes; without them it is taken as well."""
REPLAYED = ResponseHeader(
    name="Idempotency-Replayed",
    documentation_only=True,
    value="",
    description="`true` where the order had been placed before by the same key.",
)


class OrderController(Controller):
    """Orders, which keep for ever what they were made from."""

    path = "/orders"
    tags = ("Orders",)
    opt = asks(ORDER)

    @post(
        operation_id="placeOrder",
        summary="Place an order",
        responses=documented(*WITH_BODY, "no-idempotency-key", "key-used-otherwise", "quote-expired", "quote-ordered"),
        response_headers=[LOCATION, ETAG, REPLAYED],
        opt=asks(FORM),
    )
    async def place(
        self,
        data: JSONBody[NewOrder],
        bench: AtBench,
        caller: AtCaller,
        idempotency_key: IdempotencyKey = None,
    ) -> Response[Order]:
        """Places an order of a quote, once: the same order sent again with the same key is answered as before.

        Keys are kept as long as the orders. What was refused is not kept: its key may be used again.
        """
        key = KEY.fullmatch((idempotency_key or "").strip())
        if key is None:
            raise NoIdempotencyKey(given=bool(idempotency_key))
        wanted = orders.Wanted(data.quote, data.customer.model_dump(exclude_unset=True), data.notes)
        name = key["quoted"] or key["bare"]
        placed = await orders.place(bench, caller, name, wanted, datetime.now(UTC), _answer)
        headers = {"Location": f"/orders/{placed.order}", "ETag": strong_tag("1")}
        replayed = {"Idempotency-Replayed": "true"} if placed.replayed else {}
        answer: Response[Any] = raw(placed.answer.encode(), headers={**headers, **replayed})
        answer.status_code = 201
        return answer

    @get(
        operation_id="listOrders",
        summary="List orders",
        responses=documented("faults"),
        opt={**asks(ORDER), "query": {"limit": WHOLE, "after": AFTER, "state": STATE}},
    )
    async def list_all(
        self, bench: AtBench, limit: Limit = 20, after: AfterOrder = None, in_state: OrderState = None
    ) -> OrderList:
        """Lists orders, the newest first; `next` of the answer is `after` of the next request."""
        found = await orders.orders(bench, limit + 1, after, in_state)
        items = [shown_order(order) for order in found[:limit]]
        return OrderList(items=items, next=items[-1].id if len(found) > limit else None)

    @get(
        "/{order_id:str}",
        operation_id="readOrder",
        summary="Read an order",
        responses=documented(),
        response_headers=[ETAG],
    )
    async def read(self, bench: AtBench, order_id: OrderPath, if_none_match: IfNoneMatch = None) -> Response[Order]:
        """Gives an order as it stands, with its history; the ETag changes with every change."""
        found = await orders.read(bench, order_id)
        return conditional(Response(shown_order(found)), strong_tag(str(found.version)), if_none_match)

    @post(
        "/{order_id:str}/states",
        operation_id="moveOrder",
        summary="Bring an order into its next state",
        responses=documented(*BODY, "state-refused", "stale-order", "no-precondition"),
        response_headers=[ETAG],
        status_code=200,
    )
    async def move(
        self, data: JSONBody[Move], bench: AtBench, order_id: OrderPath, if_match: OrderIfMatch = None
    ) -> Response[Order]:
        """Moves an order on, one back, or cancels it; the history keeps when, and what was said."""
        moved = await orders.move(
            bench, order_id, data.to, data.says, lambda version: held_state(if_match, version), datetime.now(UTC)
        )
        return _tagged(moved)

    @post(
        "/{order_id:str}/notes",
        operation_id="addNote",
        summary="Add a note to an order",
        responses=documented(*BODY, "stale-order"),
        response_headers=[ETAG],
    )
    async def note(self, data: JSONBody[NewNote], bench: AtBench, order_id: OrderPath) -> Response[Order]:
        """Writes a note into the history of an order, whatever its state."""
        return _tagged(await orders.note(bench, order_id, data.says, datetime.now(UTC)))

    @get(
        "/{order_id:str}/packet",
        operation_id="readPacket",
        summary="Fetch what the workshop works from",
        responses=documented("not-acceptable", "faults", "does-not-fit", "grade-outdated", "busy", "out-of-time"),
        response_headers=[ETAG],
        media_type=ZIP,
    )
    async def packet(
        self, bench: AtBench, order_id: OrderPath, accept: Accept = None, if_none_match: IfNoneMatch = None
    ) -> Response[bytes]:
        """Gives pattern, grade, proof, cut list, layouts, supplies, steps, templates and price as one ZIP archive.

        Where there is more than one bag, all are also laid together, cloth by cloth.
        """
        preferred(accept, [ZIP])
        return _packed(await packets.packet(bench, [order_id], _answer), "packet.zip", if_none_match)

    @delete(
        "/{order_id:str}/customer",
        operation_id="forgetCustomer",
        summary="Erase what is kept of a customer",
        responses=documented("stale-order"),
        status_code=204,
    )
    async def forget_customer(self, bench: AtBench, order_id: OrderPath) -> None:
        """Erases name, contact, reference and the customer's own words; the order stays. Notes of the workshop stay."""
        await orders.forget_customer(bench, order_id, datetime.now(UTC), _answer)


class PacketController(Controller):
    """Orders that are cut together."""

    path = "/packets"
    tags = ("Orders",)
    opt = asks(ORDER)

    @post(
        operation_id="makePacket",
        summary="Fetch what several orders are cut together from",
        responses=documented(*WITH_BODY, "not-acceptable", "does-not-fit", "grade-outdated"),
        status_code=200,
        media_type=ZIP,
    )
    async def make(self, data: JSONBody[PacketRequest], bench: AtBench, accept: Accept = None) -> Response[bytes]:
        """Gives the packets of several orders, and besides one cut list, one layout of each cloth, and what to buy."""
        preferred(accept, [ZIP])
        return _packed(await packets.packet(bench, data.orders, _answer), "packets.zip", None)


def _packed(content: bytes, name: str, if_none_match: str | None) -> Response[bytes]:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return conditional(raw(content, ZIP, headers), content_tag(content), if_none_match)


def shown_order(record: OrderRecord) -> Order:
    """An order as it is sent."""
    customer: dict[str, Any] = json.loads(record.customer)
    return Order.model_validate(
        {
            "id": record.id,
            "state": record.state,
            "next": list(orders.NEXT[record.state]),
            "quote": shown_quote(record.quote),
            "customer": Customer(**{key: customer.get(key) for key in Customer.model_fields}),
            "history": [
                HistoryEntry.model_validate({"kind": each.kind, "state": each.state, "says": each.says, "at": each.at})
                for each in record.history
            ],
            "created_at": record.created_at,
            "changed_at": record.changed_at,
        }
    )


def _answer(record: OrderRecord) -> str:
    return shown_order(record).model_dump_json()


def _tagged(record: OrderRecord) -> Response[Order]:
    return Response(shown_order(record), headers={"ETag": strong_tag(str(record.version))})
