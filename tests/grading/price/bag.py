"""An invented bag with a price rule, and the documents of one size of it, written by hand."""

from __future__ import annotations

import copy
from typing import Any

from grading.document import Pattern, read_pattern
from grading.price import Price, price_bag, read_wish
from tests.patterns import pouch

Json = dict[str, Any]


def euro(amount: str, per: str) -> Json:
    return {"amount": amount, "currency": "EUR", "per": per}


RULE: Json = {
    "currency": "EUR",
    "hour": "30.00",
    "minutes": {
        "cut": 20,
        "sew": {
            "fixed": 50,
            "by_length": [{"of": "2*width + height", "per": "100 mm", "minutes": 3}],
            "sizes": {"mini": 45},
        },
    },
    "also": [
        {"what": "packaging", "amount": "0.85"},
        {"what": "postage", "amount": "4.99", "per": "order", "at_cost": True},
    ],
    "spoiled": "3 %",
    "margin": "25 %",
    "fees": {"share": "2 %", "fixed": "0.30"},
    "tax": {"says": "VAT 19 %", "rate": "19 %"},
}
"""Invented, as all numbers of this bag are."""


def shop() -> Json:
    """A pouch of 120 × 90 mm with a handle, a hook and a zip, that can be ordered."""
    document = pouch()
    document["materials"] = {
        "main": {"says": "canvas", "usable_width": "1370 mm", "price": euro("18.90", "1 m")},
        "lining": {"says": "cotton", "usable_width": "1100 mm", "price": euro("9.80", "1 m")},
        "board": {"says": "board", "kind": "film", "sheet": ["600 mm", "400 mm"], "price": euro("5.20", "sheet")},
    }
    document["steps"] = []
    document["findings"] = {
        "handle": {"webbing": {"width": "25 mm", "length": "300 mm"}, "price": euro("2.40", "1 m")},
        "hook": {"hardware": {"what": "hook"}, "count": 2, "price": euro("0.65", "each")},
    }
    document["sizes"] = {"mini": {"set": {"width": "100 mm", "height": "80 mm"}}}
    document["order"] = {
        "choose": {"width": ["100 mm", "150 mm"], "height": ["80 mm", "120 mm"]},
        "cloths": {
            "main": [
                {"name": "canvas", "says": "plain canvas", "colours": ["#d9e4e6"]},
                {"name": "print", "material": {"usable_width": "1120 mm", "price": euro("21.00", "1 m")}},
            ]
        },
        "price": copy.deepcopy(RULE),
    }
    return document


def with_rule(**changes: Any) -> Json:
    """The same with another price rule; a value of None takes a field out."""
    document = shop()
    rule = {**document["order"]["price"], **changes}
    document["order"]["price"] = {key: value for key, value in rule.items() if value is not None}
    return document


GRADE: Json = {
    "pattern": "Flat pouch",
    "size": {"name": "base", "request": {"scale": 1}},
    "ruler": "1 mm",
    "dimensions": {
        name: {"asked": None, "nearest": value, "value": value}
        for name, value in (
            ("width", "120 mm"),
            ("height", "90 mm"),
            ("pocket_width", "120 mm"),
            ("pocket_height", "50 mm"),
        )
    },
    "cut_list": [{"material": "main"}, {"material": "lining"}, {"material": "board"}],
}
LAYOUTS: Json = {
    "cloths": {
        "main": {"buy": {"needed": "287 mm", "spare": "15 mm", "unit": "100 mm", "length": "400 mm"}},
        "lining": {"buy": {"needed": "140 mm", "spare": "7 mm", "unit": "100 mm", "length": "200 mm"}},
        "board": {"buy": {"sheets": 1}},
    },
    "without": [],
}
SUPPLIES: Json = {
    "ruler": "1 mm",
    "settings": {"unit": "10 cm"},
    "rows": [
        {
            "name": "main",
            "kind": "cloth",
            "findings": [],
            "total": "287 mm",
            "buy": {"what": "main", "length": "40 cm"},
        },
        {
            "name": "handle",
            "kind": "webbing",
            "findings": ["handle"],
            "total": "330 mm",
            "buy": {"what": "webbing, 25 mm wide", "length": "40 cm"},
        },
        {"name": "hook", "kind": "hardware", "findings": ["hook"], "total": None, "buy": {"what": "hook", "count": 2}},
    ],
    "thread": [],
}


def priced(document: Json | None = None, grade: Json | None = None, **wish: Any) -> Price:
    """The price of a wish from the documents above."""
    pattern: Pattern = read_pattern(document or shop())
    asked = read_wish(pattern, wish or {"size": "base"})
    return price_bag(pattern, grade or GRADE, LAYOUTS, SUPPLIES, asked.cloths, asked.quantity)


def amounts(price: Price) -> dict[str, int]:
    """The amount of each line by its name, in minor units."""
    return {line.name: line.amount for line in price.lines}
