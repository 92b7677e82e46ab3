"""A customer's order: what it costs, placed once though it is sent twice, and what the table needs for it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from demo_requests.client import ZIP, Client

CUSTOMER = {"reference": "demo-1", "name": "A. Winter"}


@dataclass(frozen=True)
class Ordered:
    """An order: its address, what the customer pays, and whether sending it again made no second one."""

    place: str
    price: str
    once: bool


def order_size(client: Client, revision: str, size: str, folder: Path) -> Ordered:
    """Asks what a size costs, orders it, and writes the quote, the order and its packet to the folder."""
    quote = client.post(f"{revision}/quotes", {"size": size, "quantity": 1}).json()
    content = {"quote": quote["id"], "customer": CUSTOMER, "notes": "invented for the demo"}
    once = str(uuid4())
    order, again = (client.post("/orders", content, once=once).json() for _ in range(2))
    for name, document in (("quote", quote), ("order", order)):
        text = json.dumps(document, ensure_ascii=False, indent=1)
        (folder / f"{size}.{name}.json").write_text(f"{text}\n", encoding="utf-8")
    place = f"/orders/{order['id']}"
    (folder / f"{size}.packet.zip").write_bytes(client.get(f"{place}/packet", accept=ZIP).body)
    return Ordered(place, str(quote["price"]["text"]), order["id"] == again["id"])
