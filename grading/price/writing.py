"""The document of a price: plain data for JSON, as the reference's section 18 lays it down."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from grading.exact import print_number
from grading.price.price import Price

THREAD = "thread has no price of its own: what it costs belongs with what an order costs besides"


def write_price(price: Price) -> dict[str, Any]:
    """A price as plain data; amounts are whole numbers of minor units."""
    currency, grade = price.currency, price.grade
    return {
        "format": 1,
        "kind": "price",
        "pattern": grade["pattern"],
        "size": grade["size"],
        "measures": {name: grade["dimensions"][name]["value"] for name in price.measures},
        "quantity": price.quantity,
        "cloths": {role: cloth.name for role, cloth in price.cloths.items()},
        "currency": currency.code,
        "digits": currency.digits,
        "lines": [
            {"kind": line.kind, "name": line.name, "says": line.says, "amount": line.amount} for line in price.lines
        ],
        "before_tax": price.total - price.tax,
        "tax": price.tax,
        "total": price.total,
        "text": currency.text(price.total),
        "minutes": print_number(price.minutes),
        "says": list(_says(price)),
    }


def _says(price: Price) -> Iterator[str]:
    if price.quantity > 1:
        yield f"cloth, webbing and the like are bought for all {price.quantity} at once"
    if price.thread and not any(line.kind == "also" and "thread" in line.name.lower() for line in price.lines):
        yield THREAD
