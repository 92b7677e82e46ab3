"""Reading JSON objects: their fields, names and lists, each with the path of what is wrong."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from typing import Any

from grading.verify.unreadable import refuse

NAME = re.compile(r"[a-z][a-z0-9_]{0,59}", re.ASCII)
KEPT_NAMES = frozenset({"pi", "sqrt", "bag"})
# No bag comes near these; they bound the time that hostile input can take.
MOST_ITEMS = 5000
LONGEST_TEXT = 20000

Fields = dict[str, Any]


def joined(path: str, key: object) -> str:
    """Return the path of a key or an index inside the thing at `path`."""
    return f"{path}.{key}" if path else str(key)


def fields(value: object, path: str, needed: Collection[str], allowed: Collection[str] = ()) -> Fields:
    """Return an object that has the needed fields and no others than the allowed; a null counts as absent."""
    if not isinstance(value, dict):
        refuse("is not an object with fields", path)
    for key in value:
        if key not in needed and key not in allowed and key != "says":
            refuse("is a field that a pattern does not know", joined(path, _shown(key)))
    present = {key: item for key, item in value.items() if item is not None}
    for key in needed:
        if key not in present:
            refuse("is missing", joined(path, key))
    if "says" in present:
        text(present["says"], joined(path, "says"))
    return present


def _shown(key: object) -> str:
    return ascii(key)[1:-1][:60] if isinstance(key, str) else "?"


def named(value: object, path: str) -> Iterator[tuple[str, Any, str]]:
    """Yield name, value and path of each entry of an object whose keys are names."""
    if value is None:
        return
    if not isinstance(value, dict):
        refuse("is not an object of named things", path)
    if len(value) > MOST_ITEMS:
        refuse(f"has more than {MOST_ITEMS} entries", path)
    for key, item in value.items():
        yield name(key, joined(path, _shown(key))), item, joined(path, key)


def name(value: object, path: str) -> str:
    """Return a name: small letters, digits and underscores, starting with a letter, at most 60 characters."""
    if not isinstance(value, str) or NAME.fullmatch(value) is None or value in KEPT_NAMES:
        refuse("is not a name of small letters, digits and underscores", path)
    return value


def text(value: object, path: str) -> str:
    """Return a text of bounded length."""
    if not isinstance(value, str) or len(value) > LONGEST_TEXT:
        refuse("is not a text", path)
    return value


def items(value: object, path: str, count: int | None = None) -> list[Any]:
    """Return a list, of exactly `count` entries where that is given; an absent list is empty."""
    if value is None and count is None:
        return []
    if not isinstance(value, (list, tuple)) or len(value) > MOST_ITEMS:
        refuse("is not a list", path)
    if count is not None and len(value) != count:
        refuse(f"is not a list of {count}", path)
    return list(value)


def choice(value: object, path: str, choices: Collection[str], default: str) -> str:
    """Return one of the given words, the default where it is absent."""
    if value is None:
        return default
    if not isinstance(value, str) or value not in choices:
        refuse(f"is none of: {', '.join(choices)}", path)
    return value


def truth(value: object, path: str) -> bool:
    """Return true or false; absent is false."""
    if value is None:
        return False
    if not isinstance(value, bool):
        refuse("is neither true nor false", path)
    return value


def pair_of_names(value: object, path: str) -> tuple[str, str]:
    """Return the two names of a text such as `front.top`."""
    parts = value.split(".") if isinstance(value, str) and len(value) <= 200 else []
    if len(parts) != 2:
        refuse('is not two names such as "front.top"', path)
    return name(parts[0], path), name(parts[1], path)
