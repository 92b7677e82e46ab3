"""The order form of a document: looked at for its form only, since no claim of a grade rests on it."""

from __future__ import annotations

import re
from typing import Any

from grading.verify.document.materials import DIRECTIONS, SHEET, read_price, read_repeat, read_shrinkage
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import percentage_or_none, read_factor, read_length
from grading.verify.reading import choice, fields, items, joined, name, named, text, truth
from grading.verify.unreadable import refuse

MOST = 8
MOST_DAYS = 365
OTHERS = ("at base", "in proportion")
CLOTH_FIELDS = ("usable_width", "direction", "repeat", "shrinkage", "sold_by", "price")
PRICE_FIELDS = ("minutes", "also", "spoiled", "margin", "markup", "fees", "tax", "round_to", "valid_days")
EXTRA_PER = ("bag", "order")

_AMOUNT = re.compile(r"\d{1,12}(?:\.\d{1,4})?", re.ASCII)
_COLOUR = re.compile(r"#[0-9a-f]{6}", re.ASCII)
_CURRENCY = re.compile(r"[A-Z]{3}", re.ASCII)


def check_order(value: object, unit: Fraction) -> None:
    """Refuse an order form that is not written as one; None is none."""
    if value is None:
        return
    given = fields(value, "order", (), ("choose", "others", "sizes", "options", "cloths", "price"))
    choice(given.get("others"), "order.others", OTHERS, OTHERS[0])
    if "choose" in given:
        _choose(given["choose"], unit)
    elif "sizes" not in given:
        refuse("says neither sizes nor what may be chosen", "order")
    for key in ("sizes", "options"):
        for place, entry in enumerate(items(given.get(key), f"order.{key}")):
            name(entry, f"order.{key}.{place}")
    for _, cloths, path in named(given.get("cloths"), "order.cloths"):
        for place, cloth in enumerate(items(cloths, path)):
            _cloth(cloth, unit, joined(path, place))
    if "price" in given:
        _price(given["price"], unit, "order.price")


def _choose(value: object, unit: Fraction) -> None:
    chosen = list(named(value, "order.choose"))
    if not 1 <= len(chosen) <= MOST:
        refuse(f"names {len(chosen)} dimensions, not 1 to {MOST}", "order.choose")
    for _, ends, path in chosen:
        least, most = (read_length(end, unit, path) for end in items(ends, path, 2))
        if not 0 < least <= most:
            refuse("has no least value above 0 and a greatest that is not below it", path)


def _cloth(value: object, unit: Fraction, path: str) -> None:
    given = fields(value, path, ("name",), ("colours", "material"))
    name(given["name"], joined(path, "name"))
    for colour in items(given.get("colours"), joined(path, "colours")):
        if not isinstance(colour, str) or _COLOUR.fullmatch(colour) is None:
            refuse('is not a list of colours such as "#2f6f7a"', joined(path, "colours"))
    if "material" not in given:
        return
    here = joined(path, "material")
    other = fields(given["material"], here, (), CLOTH_FIELDS)
    for key in ("usable_width", "sold_by"):
        if key in other and read_length(other[key], unit, joined(here, key)) <= 0:
            refuse("is not above 0", joined(here, key))
    choice(other.get("direction"), joined(here, "direction"), DIRECTIONS, DIRECTIONS[0])
    read_repeat(other.get("repeat"), unit, joined(here, "repeat"))
    read_shrinkage(other.get("shrinkage"), joined(here, "shrinkage"))
    if "price" in other:
        read_price(other["price"], unit, joined(here, "price"), SHEET)


def _price(value: object, unit: Fraction, path: str) -> None:
    given = fields(value, path, ("currency", "hour"), PRICE_FIELDS)
    if not isinstance(given["currency"], str) or _CURRENCY.fullmatch(given["currency"]) is None:
        refuse("is not the three capital letters of a currency", joined(path, "currency"))
    _amount(given["hour"], joined(path, "hour"))
    for _, minutes, here in named(given.get("minutes"), joined(path, "minutes")):
        _minutes(minutes, unit, here)
    for place, extra in enumerate(items(given.get("also"), joined(path, "also"))):
        here = f"{path}.also.{place}"
        entry = fields(extra, here, ("what", "amount"), ("per", "at_cost"))
        text(entry["what"], joined(here, "what"))
        _amount(entry["amount"], joined(here, "amount"))
        choice(entry.get("per"), joined(here, "per"), EXTRA_PER, EXTRA_PER[0])
        truth(entry.get("at_cost"), joined(here, "at_cost"))
    if "margin" in given and "markup" in given:
        refuse("has a margin and a markup at once", path)
    for key, least_over in (("spoiled", 1), ("margin", 1), ("markup", 101)):
        if key in given:
            _share(given[key], joined(path, key), Fraction(least_over))
    _fees(given.get("fees"), joined(path, "fees"))
    if "tax" in given:
        tax = fields(given["tax"], joined(path, "tax"), ("says", "rate"))
        _share(tax["rate"], joined(path, "tax.rate"), Fraction(1))
    _count(given.get("round_to"), joined(path, "round_to"), 1_000_000)
    _count(given.get("valid_days"), joined(path, "valid_days"), MOST_DAYS)


def _minutes(value: object, unit: Fraction, path: str) -> None:
    if not isinstance(value, dict):
        _from_nothing(value, path)
        return
    given = fields(value, path, (), ("fixed", "by_length", "sizes"))
    _from_nothing(given.get("fixed", 0), joined(path, "fixed"))
    for place, part in enumerate(items(given.get("by_length"), joined(path, "by_length"))):
        here = f"{path}.by_length.{place}"
        entry = fields(part, here, ("of", "per", "minutes"))
        if read_length(entry["per"], unit, joined(here, "per")) <= 0:
            refuse("is not above 0", joined(here, "per"))
        _from_nothing(entry["minutes"], joined(here, "minutes"))
    for _, minutes, here in named(given.get("sizes"), joined(path, "sizes")):
        _from_nothing(minutes, here)


def _from_nothing(value: object, path: str) -> None:
    if read_factor(value, path) < 0:
        refuse("is below 0", path)


def _fees(value: Any, path: str) -> None:
    if value is None:
        return
    if not isinstance(value, dict):
        _share(value, path, Fraction(1))
        return
    given = fields(value, path, (), ("share", "fixed"))
    _share(given.get("share", "0 %"), joined(path, "share"), Fraction(1))
    _amount(given.get("fixed", "0"), joined(path, "fixed"))


def _amount(value: object, path: str) -> None:
    if not isinstance(value, str) or _AMOUNT.fullmatch(value) is None:
        refuse('is not an amount such as "12.50"', path)


def _share(value: object, path: str, least_over: Fraction) -> None:
    share = percentage_or_none(value)
    if share is None or not 0 <= share < least_over:
        refuse("is not such a percentage", path)


def _count(value: object, path: str, most: int) -> None:
    if value is not None and (isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= most):
        refuse(f"is not a whole number from 1 to {most}", path)
