"""Packets: what a workshop works from, put together anew each time and always the same."""

from __future__ import annotations

import json
from base64 import b64decode
from typing import TYPE_CHECKING, Any

from api.operations.errors import Fault, RequestRefused
from api.operations.grades import read as read_grade
from api.operations.grades import regraded
from api.operations.layouts import read as read_layouts
from api.operations.orders import read as read_order
from api.operations.solving import solved_long

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from api.operations.bench import Bench
    from api.storage.orders import OrderRecord

MOST_BAGS = 60
"""Bags of all orders that are cut together: the search for a layout takes longer the more pieces there are."""


async def packet(bench: Bench, names: Sequence[str], told: Callable[[OrderRecord], str]) -> bytes:
    """A ZIP archive of these orders; `told` writes an order as it is sent.

    Raises Missing, RequestRefused, DoesNotFit, GradeOutdated and TooMuchWork.
    """
    found = [await read_order(bench, name) for name in names]
    bags = sum(json.loads(order.quote.price)["quantity"] for order in found)
    if bags > MOST_BAGS:
        remedy = f"cut at most {MOST_BAGS} at a time"
        raise RequestRefused([Fault("orders", f"{bags} bags are too many to be laid together", remedy)])
    orders = [await _arguments(bench, order, told(order)) for order in found]
    return b64decode(str(await solved_long(bench, "packet", _unheard, _unheard, orders=orders)))


async def _arguments(bench: Bench, order: OrderRecord, told: str) -> dict[str, Any]:
    quote = order.quote
    grade, laid = await read_grade(bench, quote.grade), await read_layouts(bench, quote.layouts)
    made_by = await regraded(bench, quote.grade)
    reference = json.loads(order.customer).get("reference")
    texts = {
        "order.json": told,
        "pattern.json": made_by["document"],
        "grade.json": grade.document,
        "proof.json": grade.proof,
        "cut_list.csv": grade.cut_list_csv,
        "layouts.json": laid.document,
        "supplies.json": quote.supplies,
        "price.json": quote.price,
    }
    price = json.loads(quote.price)
    parts = [price["pattern"], price["size"]["name"] or "as asked", f"{price['quantity']} ×", reference or order.id]
    return {
        **made_by,
        "title": ", ".join(str(part) for part in parts),
        "layouts": laid.document,
        "supplies": quote.supplies,
        "wish": quote.wish,
        "texts": texts,
    }


def _unheard(*_: Any) -> None:
    """Nobody waits for news of it."""
