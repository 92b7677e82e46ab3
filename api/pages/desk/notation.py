"""How parts of a document are written in a field of a form, and read from it.

Nothing that a person writes is lost: a text that cannot be read in a field's notation goes into the draft as text,
where the check finds it and says what would be right. A text in braces or brackets is read as JSON, for those who
wish it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

ABSENT = object()
"""Stands for a part that the document does not have; an empty field means the same."""
NUMBER = re.compile(r"-?(0|[1-9][0-9]{0,14})(\.[0-9]{1,12})?")
SIDE = re.compile(
    r"(?P<line>line )?(?P<edge>[a-z0-9_]+\.[a-z0-9_]+)(?: from (?P<from>.+?))?(?: to (?P<to>.+?))?"
    r"(?: (?P<direction>forward|backward))?"
)
BY_LENGTH = re.compile(r"(?P<minutes>\S+) for each (?P<per>.+?) of (?P<of>.+)")
CLEAR = re.compile(r"(?P<side>[a-z]+)(?P<least> at least|) *=? *(?P<value>.+)")


class Unreadable(Exception):
    """A text that does not follow the notation of its field."""


@dataclass(frozen=True)
class Notation:
    """A way of writing a value in a field: both ways, and how the field looks."""

    write: Callable[[Any], str]
    read: Callable[[str], Any]
    looks: str = "text"
    """`text`, `long` (several lines), `yes` (a box to tick)."""

    def text(self, value: Any) -> str:
        """A value as it stands in the field; what has another form than expected as text or JSON."""
        if value is ABSENT:
            return ""
        if isinstance(value, str):
            return value
        try:
            return self.write(value)
        except (TypeError, KeyError, AttributeError, ValueError):
            return json.dumps(value, ensure_ascii=False)

    def value(self, text: str) -> Any:
        """What a person has written, as it goes into the document."""
        text = text.replace("\r\n", "\n").strip()
        if not text:
            return ABSENT
        if text[0] in "{[":
            try:
                return json.loads(text)
            except ValueError:
                return text
        try:
            return self.read(text)
        except Unreadable:
            return text


def _number(text: str) -> Any:
    if not NUMBER.fullmatch(text):
        return text
    return float(text) if "." in text else int(text)


def _words(text: str) -> list[str]:
    return [word.strip() for word in re.split(r"[,\n]", text) if word.strip()]


def _use(text: str) -> Any:
    name, _, more = text.partition(" ")
    return {"name": name, "mirrored": True} if more.strip() == "mirrored" else text


def _use_text(use: Any) -> str:
    return use if isinstance(use, str) else f"{use['name']} mirrored" if use.get("mirrored") else str(use["name"])


def _side(text: str) -> Any:
    found = SIDE.fullmatch(text)
    if found is None:
        return text
    parts = {key: found[key] for key in ("from", "to", "direction") if found[key]}
    if found["line"]:
        return {"line": found["edge"], **parts}
    if not parts:
        return found["edge"]
    if set(parts) == {"direction"}:
        return f"{found['edge']} {parts['direction']}"
    return {"edge": found["edge"], **parts}


def _side_text(side: Any) -> str:
    if isinstance(side, str):
        return side
    if not set(side) <= {"edge", "line", "from", "to", "direction"}:
        return json.dumps(side, ensure_ascii=False)
    words = [f"line {side['line']}" if "line" in side else str(side["edge"])]
    words += [f"{key} {side[key]}" for key in ("from", "to") if key in side]
    return " ".join([*words, *([str(side["direction"])] if "direction" in side else [])])


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.split("\n") if line.strip()]


def _pairs(text: str) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for line in re.split(r"[\n;]", text):
        if line.strip():
            name, sign, value = line.partition("=")
            if not sign or not name.strip() or not value.strip():
                raise Unreadable
            found[name.strip()] = _number(value.strip())
    return found


def _pairs_text(pairs: Any) -> str:
    return "\n".join(f"{name} = {_plain(value)}" for name, value in pairs.items())


def _plain(value: Any) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, bool | int | float):
        return json.dumps(value)
    raise TypeError


def _clear(text: str) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for line in _lines(text.replace(";", "\n")):
        match = CLEAR.fullmatch(line)
        if match is None:
            raise Unreadable
        found[match["side"]] = {"at_least": match["value"]} if match["least"] else match["value"]
    return found


def _clear_text(clear: Any) -> str:
    return "\n".join(
        f"{side} at least {_plain(value['at_least'])}" if isinstance(value, dict) else f"{side} = {_plain(value)}"
        for side, value in clear.items()
    )


def _meetings(text: str) -> list[list[str]]:
    found = [[each.strip() for each in line.split("=")] for line in _lines(text)]
    if any(len(each) != 2 for each in found):
        raise Unreadable
    return found


def _stock(text: str) -> list[Any]:
    pairs = [[each.strip() for each in value.split("|")] for value in _words(text)]
    return [_number(each[0]) if len(each) == 1 else {"metric": each[0], "imperial": each[-1]} for each in pairs]


def _stock_text(values: Any) -> str:
    return ", ".join(
        f"{value['metric']} | {value['imperial']}" if isinstance(value, dict) else _plain(value) for value in values
    )


def _when(text: str) -> dict[str, Any]:
    found = _pairs(text)
    return {name: words if len(words := _words(str(value))) > 1 else words[0] for name, value in found.items()}


def _when_text(when: Any) -> str:
    return "\n".join(
        f"{name} = {', '.join(choice) if isinstance(choice, list) else choice}" for name, choice in when.items()
    )


def _ticked(text: str) -> Any:
    return True if text == "yes" else ABSENT


def _unless(text: str) -> Any:
    return False if text == "yes" else ABSENT


def _fees(text: str) -> Any:
    share, sign, fixed = (each.strip() for each in text.partition("+"))
    return {"share": share, "fixed": fixed} if sign else text


def _fees_text(fees: Any) -> str:
    if not isinstance(fees, dict):
        return _plain(fees)
    if not set(fees) <= {"share", "fixed"}:
        raise TypeError
    return f"{_plain(fees.get('share', '0 %'))} + {_plain(fees.get('fixed', '0'))}"


def _minutes(text: str) -> Any:
    found: dict[str, Any] = {}
    lines = _lines(text)
    for line in lines:
        if match := BY_LENGTH.fullmatch(line):
            part = {"of": match["of"], "per": match["per"], "minutes": _number(match["minutes"])}
            found.setdefault("by_length", []).append(part)
        elif "=" in line:
            found.setdefault("sizes", {}).update(_pairs(line))
        elif "fixed" not in found:
            found["fixed"] = _number(line)
        else:
            raise Unreadable
    return found["fixed"] if set(found) == {"fixed"} else found


def _minutes_text(minutes: Any) -> str:
    if not isinstance(minutes, dict):
        return _plain(minutes)
    if not set(minutes) <= {"fixed", "by_length", "sizes"}:
        raise TypeError
    lines = [_plain(minutes["fixed"])] if "fixed" in minutes else []
    for part in minutes.get("by_length", ()):
        lines.append(f"{_plain(part['minutes'])} for each {_plain(part['per'])} of {_plain(part['of'])}")
    return "\n".join([*lines, *(f"{name} = {_plain(value)}" for name, value in minutes.get("sizes", {}).items())])


def _alike(value: Any) -> str:
    return "" if isinstance(value, dict) else _plain(value)


TEXT = Notation(_plain, lambda text: text)
LONG = Notation(_plain, lambda text: text, "long")
VALUE = Notation(_plain, _number)
"""A number, a length, a name or an expression."""
ALIKE = Notation(_alike, _number)
"""A value for several places alike; empty where each of them has its own."""
UNLESS = Notation(lambda value: "" if value else "yes", _unless, "yes")
"""A box to tick for what is not so, where it is so as a rule."""
FEES = Notation(_fees_text, _fees)
MINUTES = Notation(_minutes_text, _minutes, "long")
EXPRESSION = Notation(_plain, lambda text: _number(" ".join(text.split())), "long")
"""A value that may take several lines in a narrow column."""
YES = Notation(lambda value: "yes" if value else "", _ticked, "yes")
WORDS = Notation(lambda words: ", ".join(_plain(word) for word in words), _words)
NAMES = Notation(WORDS.write, _words, "long")
"""Names parted by commas, over several lines."""
USES = Notation(lambda uses: ", ".join(map(_use_text, uses)), lambda text: [_use(word) for word in _words(text)])
SIDES = Notation(
    lambda sides: "\n".join(map(_side_text, sides)), lambda text: [_side(line) for line in _lines(text)], "long"
)
PAIRS = Notation(_pairs_text, _pairs, "long")
CLEARANCES = Notation(_clear_text, _clear, "long")
MEETINGS = Notation(lambda pairs: "\n".join(f"{one} = {other}" for one, other in pairs), _meetings, "long")
STOCK = Notation(_stock_text, _stock)
WHEN = Notation(_when_text, _when, "long")
