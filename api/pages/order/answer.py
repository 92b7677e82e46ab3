"""What a customer is answered: a price and a picture, or why a wish cannot be met and what can."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from urllib.parse import urlencode

from api.pages.door import Refused
from api.pages.order import lengths
from api.pages.order.fields import Fields
from api.pages.order.opened import SHELF, Opened
from api.pages.order.wish import wish_of

KEY_BYTES = 24
LATER = "Please try again in a moment."
MOVED = "The workshop has just changed this form. Please look at it again: what you chose is still here."


@dataclass(frozen=True)
class Way:
    """Something that can be had in place of a wish: what is taken, as the form sends it, and in words."""

    sends: str
    says: str


@dataclass(frozen=True)
class Answer:
    """A quote with its picture, or problems with what can be had instead."""

    quote: Mapping[str, Any] | None = None
    picture: str = ""
    measures: tuple[tuple[str, str], ...] = ()
    told: str = ""
    valid_until: str = ""
    key: str = ""
    problems: tuple[str, ...] = ()
    because: tuple[str, ...] = ()
    ways: tuple[Way, ...] = field(default=())


async def answered(opened: Opened, fields: Fields) -> Answer:
    """The answer to what was chosen."""
    if fields.faulty:
        return _faulty(fields)
    try:
        revision = opened.form["revision"]
        address = f"/patterns/{opened.pattern}/revisions/{revision}/quotes"
        quote = (await opened.caller.post(address, wish_of(opened.form, fields))).json
    except Refused as error:
        if error.status == 401:
            SHELF.forget(opened)
            raise
        if error.status == 404:
            SHELF.forget(opened)
            return Answer(problems=(MOVED,), told=MOVED)
        return refusal(error, fields)
    return _quoted(opened, fields, quote)


def picture_of(opened: Opened, fields: Fields, quote: Mapping[str, Any]) -> str:
    """The address of the picture of a quote's bag, in the cloths and the unit that were chosen."""
    cloths = quote["wish"].get("cloths") or {}
    query = {"beside": fields.beside, "unit": fields.unit}
    if cloths:
        query["cloths"] = ",".join(f"{role}:{name}" for role, name in cloths.items())
    return f"{opened.address}/picture/{quote['grade']}?{urlencode(query)}"


def placed(form: Mapping[str, Any], fields: Fields, order: Mapping[str, Any]) -> list[tuple[str, str]]:
    """What was ordered, in words and in the customer's unit."""
    quote = order["quote"]
    lines = [*_measures(form, fields, quote)]
    for groups, taken in ((fields.options, "options"), (fields.cloths, "cloths")):
        for group in groups:
            chosen = quote["wish"].get(taken, {}).get(group.name)
            lines += [(group.title, choice.says) for choice in group.choices if choice.value == chosen]
    return [*lines, ("how many", str(quote["wish"].get("quantity", 1))), ("to pay", quote["price"]["text"])]


def _measures(form: Mapping[str, Any], fields: Fields, quote: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    """The measures of a quote's bag that the form asks for, in the customer's unit."""
    known = quote["measures"]
    return tuple(
        (_words(name), lengths.shown(lengths.exact(known[name]), fields.unit))
        for name in form["names"]
        if name in known
    )


def _quoted(opened: Opened, fields: Fields, quote: Mapping[str, Any]) -> Answer:
    measures = _measures(opened.form, fields, quote)
    until = datetime.fromisoformat(quote["valid_until"])
    price = quote["price"]["text"]
    return Answer(
        quote=quote,
        picture=picture_of(opened, fields, quote),
        measures=measures,
        told=f"{price}. {', '.join(f'{name} {text}' for name, text in measures)}.",
        valid_until=f"{until.day} {until:%B %Y}",
        key=secrets.token_urlsafe(KEY_BYTES),
    )


def _faulty(fields: Fields) -> Answer:
    wrong = [measure for measure in fields.measures if measure.fault] if fields.own else []
    problems = [f"{measure.name.replace('_', ' ')}: {measure.fault}".capitalize() for measure in wrong]
    ways = [
        Way(f"{measure.name} {measure.nearest}", f"Take {measure.nearest} {fields.unit} for {_words(measure.name)}")
        for measure in wrong
        if measure.nearest
    ]
    problems += [fields.quantity_fault] if fields.quantity_fault else []
    return Answer(problems=tuple(problems), ways=tuple(ways), told=" ".join(problems))


def refusal(error: Refused, fields: Fields) -> Answer:
    """Why the interface refused, in a customer's words."""
    problem = error.problem
    if error.status == 429 or error.status >= 500:
        return Answer(problems=(f"Many people are asking just now. {LATER}",), told=LATER)
    problems = [f"{fault['problem']} {_sentence(fault['remedy'])}".strip() for fault in error.faults]
    because = tuple(dict.fromkeys(r["because"] for r in problem.get("relations") or () if r.get("because")))
    if not problems:
        problems = [
            "This size cannot be made." if because else "This cannot be made just now; the workshop can say why."
        ]
    ways = [way for remedy in problem.get("remedies") or () if (way := _way(remedy, fields)) is not None]
    return Answer(problems=tuple(problems), because=because, ways=tuple(ways), told=" ".join(problems))


def _way(remedy: Mapping[str, Any], fields: Fields) -> Way | None:
    """A remedy that the form can offer: other measures of those that it has fields for."""
    found = []
    for measure in fields.measures:
        text = ((remedy.get("request") or {}).get("set") or {}).get(measure.name)
        length = None if text is None else lengths.read(str(text), "mm")
        if length is None or not measure.least <= length <= measure.greatest:
            continue
        typed = lengths.proposed(length, fields.unit, measure.least, measure.greatest)
        if typed != measure.typed:
            found.append((measure.name, typed))
    if not found:
        return None
    says = " and ".join(f"{typed} {fields.unit} for {_words(name)}" for name, typed in found)
    return Way(", ".join(f"{name} {typed}" for name, typed in found), f"Take {says}")


def _words(name: str) -> str:
    return name.replace("_", " ")


def _sentence(text: str) -> str:
    """A remedy as a sentence of its own."""
    return f"{text[:1].upper()}{text[1:].rstrip('.')}." if text else ""
