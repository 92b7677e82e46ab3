"""Reads the JSON of a request within bounds, before anything else looks at it.

Python's own reader lets through what must not come further: NaN, a name written twice (the last one wins in
silence), numbers that a float cannot hold, NUL (which databases refuse), halves of surrogate pairs (which
cannot be sent back), and nesting that exhausts the stack of whoever walks through it.
"""

from __future__ import annotations

import json
import math
from collections import Counter
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, NoReturn

from api.operations.errors import Fault

MOST_DEPTH = 40
MOST_VALUES = 500_000
MANY = f"Send at most {MOST_VALUES} values."
MOST_DIGITS = 15
MOST_NUMBER_TEXT = 40
MOST_FAULTS = 100
SHOWN_NAME = 60


class UnreadableBody(Exception):
    """The body is not JSON; the text says where reading stopped."""


class ContentRefused(Exception):
    """The body is JSON but holds what cannot be taken; `faults` lists it."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__("; ".join(f"{fault.path}: {fault.problem}" for fault in faults))


class _RefusedNumber(str):
    """A number as typed that cannot be kept as typed."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a value stands, as a chain: whole paths for half a million values would not fit into memory."""

    outer: _Place | None
    key: str | int
    depth: int

    def __str__(self) -> str:
        keys: list[str] = []
        place = self
        while place.outer is not None:
            keys.append(_shown(place.key))
            place = place.outer
        return ".".join(reversed(keys)) or "$"


class _Repeating(dict[str, Any]):
    """An object in which names are written more than once."""

    repeated: tuple[str, ...] = ()


def read_json(body: bytes, many: str = MANY) -> Any:
    """The JSON value in a body: numbers exactly as typed, names once each, at most 40 levels deep.

    `many` is what a person reads who sends more than MOST_VALUES values.

    A number with a point comes back as the float whose shortest decimal is what was typed, so that
    `Fraction(str(x))` is the typed value. Raises UnreadableBody and ContentRefused; takes time in proportion
    to the body.
    """
    _bound_count(body, many)
    try:
        text = body.decode("utf-8")
        value = json.loads(
            text, object_pairs_hook=_object, parse_int=_whole, parse_float=_decimal, parse_constant=_constant
        )
    except UnicodeDecodeError as error:
        raise UnreadableBody(f"Byte {error.start} is not UTF-8.") from error
    except json.JSONDecodeError as error:
        raise UnreadableBody(f"Line {error.lineno}, column {error.colno}: {error.msg}.") from error
    except RecursionError as error:
        raise ContentRefused((_too_deep("$"),)) from error
    if faults := _faults(value):
        raise ContentRefused(faults)
    return value


def _bound_count(body: bytes, many: str) -> None:
    if body.count(b",") + body.count(b"[") + body.count(b"{") > MOST_VALUES:
        raise ContentRefused((Fault("$", "The body holds too many values.", many),))


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) == len(pairs):
        return found
    marked = _Repeating(found)
    times = Counter(name for name, _ in pairs)
    marked.repeated = tuple(name for name, count in times.items() if count > 1)
    return marked


def _whole(text: str) -> int | _RefusedNumber:
    return int(text) if len(text.lstrip("-")) <= MOST_DIGITS else _RefusedNumber(text)


def _decimal(text: str) -> float | _RefusedNumber:
    value = float(text)
    if len(text) > MOST_NUMBER_TEXT or math.isinf(value) or Decimal(repr(value)) != Decimal(text):
        return _RefusedNumber(text)
    return value


def _constant(text: str) -> NoReturn:
    raise UnreadableBody(f"{text} is not a JSON number.")


def _faults(value: Any) -> tuple[Fault, ...]:
    faults: list[Fault] = []
    waiting: list[tuple[_Place, Any]] = [(_Place(None, "", 0), value)]
    while waiting and len(faults) < MOST_FAULTS:
        place, here = waiting.pop()
        faults.extend(_faults_of(place, here))
        if not isinstance(here, dict | list):
            continue
        if place.depth >= MOST_DEPTH:
            faults.append(_too_deep(str(place)))
            continue
        parts = here.items() if isinstance(here, dict) else enumerate(here)
        waiting.extend(reversed([(_Place(place, key, place.depth + 1), part) for key, part in parts]))
    return tuple(faults[:MOST_FAULTS])


def _faults_of(place: _Place, here: Any) -> list[Fault]:
    if isinstance(here, _RefusedNumber):
        remedy = f"Write at most {MOST_DIGITS} digits, or the value as text."
        return [Fault(str(place), f"{here[:MOST_NUMBER_TEXT]} cannot be kept exactly as typed.", remedy)]
    if isinstance(here, str):
        return _text_faults(place, here)
    if not isinstance(here, dict):
        return []
    repeated = here.repeated if isinstance(here, _Repeating) else ()
    twice = [Fault(str(place), f"{_shown(name)} is written more than once.", "Keep one of them.") for name in repeated]
    return twice + [fault for name in here for fault in _text_faults(place, name)]


def _text_faults(place: _Place, text: str) -> list[Fault]:
    if "\x00" in text:
        return [Fault(str(place), "A text holds the character NUL.", "Leave that character out.")]
    if not text.isascii() and any("\ud800" <= character <= "\udfff" for character in text):
        return [Fault(str(place), "A text holds half of a character pair.", "Send whole characters.")]
    return []


def _too_deep(shown: str) -> Fault:
    return Fault(shown, f"Nested deeper than {MOST_DEPTH} levels.", f"Nest at most {MOST_DEPTH} levels deep.")


def _shown(name: str | int) -> str:
    text = str(name)[:SHOWN_NAME]
    return text.encode("utf-8", "replace").decode().replace("\x00", "\N{REPLACEMENT CHARACTER}")
