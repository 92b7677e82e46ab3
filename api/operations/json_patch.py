"""Changes of a JSON document by JSON Patch (RFC 6902), whose places are JSON Pointers (RFC 6901).

The order of names has a meaning in a pattern document: a replaced value keeps its place, an added one comes last.
"""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING, Any

from api.operations.errors import Fault, RequestRefused
from api.operations.identity import written

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

MOST_DEPTH = 40
MOST_TEXT = 10 * 1024 * 1024
"""Bounds of the document that comes of a patch, as of one that is sent whole."""


class _Unfit(Exception):
    """An operation that cannot be carried out: the field that is about, what is wrong, what would be right."""

    def __init__(self, field: str, problem: str, remedy: str) -> None:
        self.field, self.problem, self.remedy = field, problem, remedy
        super().__init__(problem)


def patched(document: Any, operations: Sequence[Mapping[str, Any]]) -> Any:
    """The document with all operations carried out in order; the one given stays as it is.

    Raises RequestRefused for the first operation that cannot be carried out, and where the outcome is too large.
    """
    holder = {"": deepcopy(document)}
    size = 0
    for number, operation in enumerate(operations):
        try:
            if operation["op"] == "copy":
                size += len(written(_value(holder[""], _keys(operation, "from"), "from")))
                _bound(size)
            _carry_out(holder, operation)
        except _Unfit as unfit:
            raise RequestRefused([Fault(f"patch.{number}.{unfit.field}", unfit.problem, unfit.remedy)]) from None
    if _depth(holder[""]) > MOST_DEPTH or len(written(holder[""])) > MOST_TEXT:
        raise RequestRefused([Fault("patch", "what comes of it is too large", "send less")])
    return holder[""]


def _carry_out(holder: dict[str, Any], operation: Mapping[str, Any]) -> None:
    keys = _keys(operation, "path")
    match operation["op"]:
        case "add":
            _add(holder, keys, _given(operation))
        case "remove":
            _remove(holder, keys, "path")
        case "replace":
            _replace(holder, keys, _given(operation))
        case "move":
            source = _keys(operation, "from")
            if keys[: len(source)] == source and keys != source:
                raise _Unfit("path", "it lies within what is moved", "move it somewhere else")
            _add(holder, keys, _remove(holder, source, "from"))
        case "copy":
            _add(holder, keys, deepcopy(_value(holder[""], _keys(operation, "from"), "from")))
        case "test":
            if not _alike(_value(holder[""], keys, "path"), _given(operation)):
                raise _Unfit("value", "the document has another value there", "read the draft and send it anew")
        case other:
            known = "add, remove, replace, move, copy, test"
            raise _Unfit("op", f"{other!r} is no operation", f"write one of {known}")


def _given(operation: Mapping[str, Any]) -> Any:
    if "value" not in operation:
        raise _Unfit("value", "it is missing", "write the value")
    return deepcopy(operation["value"])


def _keys(operation: Mapping[str, Any], field: str) -> list[str]:
    pointer = operation.get(field)
    if not isinstance(pointer, str) or (pointer and not pointer.startswith("/")):
        raise _Unfit(field, "it is no JSON Pointer", "write a place as in /dimensions/width/base")
    keys = pointer.split("/")[1:]
    if any(key.replace("~0", "").replace("~1", "").count("~") for key in keys):
        raise _Unfit(field, "a ~ stands alone", "write ~0 for ~ and ~1 for /")
    return [key.replace("~1", "/").replace("~0", "~") for key in keys]


def _value(value: Any, keys: Sequence[str], field: str) -> Any:
    for key in keys:
        if isinstance(value, dict) and key in value:
            value = value[key]
        elif isinstance(value, list):
            value = value[_index(value, key, field, len(value) - 1)]
        else:
            raise _nowhere(field)
    return value


def _add(holder: dict[str, Any], keys: Sequence[str], value: Any) -> None:
    parent, key = _parent(holder, keys, "path")
    if isinstance(parent, list):
        parent.insert(len(parent) if key == "-" else _index(parent, key, "path", len(parent)), value)
    else:
        parent[key] = value


def _replace(holder: dict[str, Any], keys: Sequence[str], value: Any) -> None:
    parent, key = _parent(holder, keys, "path")
    _value(parent, [key], "path")
    if isinstance(parent, list):
        parent[int(key)] = value
    else:
        parent[key] = value


def _remove(holder: dict[str, Any], keys: Sequence[str], field: str) -> Any:
    if not keys:
        raise _Unfit(field, "the whole document cannot be taken away", "replace it")
    parent, key = _parent(holder, keys, field)
    found = _value(parent, [key], field)
    if isinstance(parent, list):
        del parent[int(key)]
    else:
        del parent[key]
    return found


def _parent(holder: dict[str, Any], keys: Sequence[str], field: str) -> tuple[Any, str]:
    """What holds the last key, and that key; for the document as a whole what holds the document."""
    if not keys:
        return holder, ""
    parent = _value(holder[""], keys[:-1], field)
    if not isinstance(parent, dict | list):
        raise _nowhere(field)
    return parent, keys[-1]


def _index(values: list[Any], key: str, field: str, most: int) -> int:
    plain = key.isascii() and key.isdigit() and (key == "0" or key[0] != "0") and len(key) < 10
    if not plain or int(key) > most:
        raise _Unfit(field, f"there is no place {key[:20]!r} in a list of {len(values)}", "count from 0")
    return int(key)


def _alike(one: Any, other: Any) -> bool:
    """Equal as JSON: of objects in any order of names; true is not 1."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_alike(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_alike, one, other))
    return isinstance(one, bool) == isinstance(other, bool) and bool(one == other)


def _nowhere(field: str) -> _Unfit:
    return _Unfit(field, "the document has nothing there", "name a place that is there")


def _bound(size: int) -> None:
    if size > MOST_TEXT:
        raise _Unfit("from", "too much is copied", "send less")


def _depth(value: Any) -> int:
    deepest, waiting = 0, [(value, 0)]
    while waiting:
        here, depth = waiting.pop()
        deepest = max(deepest, depth)
        if isinstance(here, dict | list):
            waiting.extend((part, depth + 1) for part in (here.values() if isinstance(here, dict) else here))
    return deepest
