"""What workers do with order forms: what is offered, what a wish comes to, and what it costs."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import grading
from api.jobs.reading import pattern_of, refusing, regraded
from grading import shop

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


def wish(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, Any]:
    """The size that a customer's wish is graded as, and how many days its price holds; refuses `request`."""
    with refusing():
        pattern = pattern_of(arguments["document"])
        found = shop.wish_of(pattern, json.loads(arguments["wish"]))
        days = shop.days_of(pattern)
    return {"size": found.size, "request": found.request, "days": days}


def laying(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, Any]:
    """The settings that the grade of a wish is laid out with; refuses `request`."""
    with refusing():
        found = shop.wish_of(pattern_of(arguments["document"]), json.loads(arguments["wish"]))
    return found.laying(json.loads(arguments["grade"]))


def price(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, str]:
    """The supplies of a grade with its layouts, and the price of a wish; refuses `request`, `outdated`, `stopped`."""
    grade, laid = regraded(arguments, stop), json.loads(arguments["layouts"])
    with refusing():
        pattern = pattern_of(arguments["document"])
        found = shop.wish_of(pattern, json.loads(arguments["wish"]))
        supplies = grading.supplies_document(grading.supplies_of(grade, {}, laid))
        priced = shop.price_of(pattern, found, json.loads(arguments["grade"]), laid, supplies)
    return {
        "supplies": json.dumps(supplies, ensure_ascii=False),
        "price": json.dumps(shop.price_document(priced), ensure_ascii=False),
    }


def form(arguments: Mapping[str, Any], stop: Callable[[], bool], tell: Callable[[Any], None]) -> str:
    """What a pattern offers to customers, as JSON; refuses `request`, `stopped`."""
    with refusing():
        return json.dumps(shop.order_form(pattern_of(arguments["document"]), stop), ensure_ascii=False)
