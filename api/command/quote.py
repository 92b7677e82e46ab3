"""`sizewright quote`: what a size or measures of one's own cost by the pattern's own rule."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import grading
from api.command.files import read_file, to_json
from api.command.tables import Alignment, printable, table, terminal_width
from grading import shop
from grading.price import currency_of

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Mapping

COLUMNS: tuple[tuple[str, Alignment], ...] = (("amount", "right"), ("what", "left"))


def run(options: Namespace) -> int:
    """Grades and lays out what is wished, and prints its price line by line, or as JSON."""
    document = grading.read_document(read_file(options.pattern))
    wish = shop.wish_of(document, wished(options))
    made = grading.grade_size(document, size=wish.size, request=wish.request)
    grade = grading.grade_document(made)
    layouts = grading.layouts_document(grading.layouts_of(made, wish.laying(grade)))
    supplies = grading.supplies_document(grading.supplies_of(made, {}, layouts))
    price = shop.price_document(shop.price_of(document, wish, grade, layouts, supplies))
    print(to_json(price) if options.json else report(price, terminal_width()))
    return 0


def wished(options: Namespace) -> dict[str, Any]:
    """The wish of the command line, as the reference has it; without size and measures the base size."""
    measures = dict(options.set or ())
    asked: dict[str, Any] = {"size": options.size} if options.size is not None else {}
    if measures:
        asked["measures"] = measures
    return {
        **(asked or {"size": "base"}),
        "options": dict(options.option or ()),
        "cloths": dict(options.cloth or ()),
        "quantity": options.quantity,
    }


def report(price: Mapping[str, Any], width: int | None) -> str:
    """The lines of a price with their sum; the table at most `width` wide."""
    number = currency_of(price["currency"]).number
    rows = [[number(line["amount"]), line["says"]] for line in price["lines"]]
    rows.append([number(price["total"]), "to pay"])
    name = price["size"]["name"] or "as asked"
    head = f"{printable(price['pattern'])}, {printable(name)}, {price['quantity']} ×: {price['text']}"
    lines = table([heading for heading, _ in COLUMNS], [side for _, side in COLUMNS], rows, width)
    return "\n\n".join(
        [head, lines, *(["\n".join(printable(text) for text in price["says"])] if price["says"] else [])]
    )
