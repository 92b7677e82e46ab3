"""Rows of the tables as files: their paths, and their values as JSON."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from sqlalchemy import Boolean, Integer, String

from api.storage.archive.faults import Refused
from api.storage.tables import PatternRow

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Column, Table

    Values = dict[str, Any]

WORKSHOPS = "workshops"
OWNER = "workshop_id"
PARTS = {
    "answer": "json",
    "body": "json",
    "content": "json",
    "cut_list_csv": "csv",
    "document": "json",
    "pieces_csv": "csv",
    "price": "json",
    "proof": "json",
    "request": "json",
    "supplies": "json",
    "wish": "json",
}
"""Columns whose texts are files of their own, and what they hold."""
PLAIN_NAME = re.compile(r"[a-z0-9][a-z0-9._-]{0,149}")
INTEGER = 2**31


def tables() -> tuple[Table, ...]:
    """All tables, those that others refer to first."""
    return tuple(PatternRow.metadata.sorted_tables)


def key_of(table: Table, values: Mapping[str, Any]) -> tuple[Any, ...]:
    """The primary key of a row."""
    return tuple(values[column.name] for column in table.primary_key.columns)


def owner_of(table: Table, values: Mapping[str, Any]) -> str:
    """The workshop that a row belongs to."""
    return str(values["id" if table.name == WORKSHOPS else OWNER])


def files_of(table: Table, values: Mapping[str, Any]) -> dict[str, bytes]:
    """A row as files: path and content."""
    place = _place(table, values)
    parts = [column.name for column in table.columns if column.name in PARTS]
    texts = {f"{place}/{_part_file(name)}": values[name].encode() for name in parts if values[name] is not None}
    row = {column.name: _written(values[column.name]) for column in table.columns if column.name not in PARTS}
    content = json.dumps(row, ensure_ascii=False, indent=1) + "\n"
    return {row_path(table, values): content.encode(), **texts}


def row_path(table: Table, values: Mapping[str, Any]) -> str:
    """Where the row itself stands."""
    place = _place(table, values)
    return f"{place}/row.json" if any(column.name in PARTS for column in table.columns) else f"{place}.json"


def part_paths(table: Table, path: str) -> dict[str, str]:
    """Where the texts of a row may stand, by their columns, when the row itself stands at this path."""
    folder = path.removesuffix("/row.json")
    return {column.name: f"{folder}/{_part_file(column.name)}" for column in table.columns if column.name in PARTS}


def row_of(table: Table, path: str, content: bytes, texts: Mapping[str, bytes]) -> Values:
    """A row from its file and its texts, checked column by column. Raises Refused."""
    found = _object(path, content)
    inline = [column for column in table.columns if column.name not in PARTS]
    for name in sorted({column.name for column in inline} ^ set(found)):
        raise Refused(path, f"the field {name} is {'not known' if name in found else 'missing'}")
    values: Values = {column.name: _read(path, column, found[column.name]) for column in inline}
    for column in table.columns:
        if column.name in PARTS:
            values[column.name] = _text_of(path, column, texts.get(column.name))
    if row_path(table, values) != path:
        raise Refused(path, f"what it holds belongs to {row_path(table, values)}")
    return values


def _place(table: Table, values: Mapping[str, Any]) -> str:
    if table.name == WORKSHOPS:
        return f"{values['id']}/workshop"
    key = [str(part) for part in key_of(table, values)]
    name = "-".join(part for part in key if part)
    if PLAIN_NAME.fullmatch(name) is None or len([part for part in key if part]) != len(key):
        # Keys that are no names of files: addresses, or letters that some systems do not tell apart.
        name = sha256(json.dumps(key).encode()).hexdigest()
    return f"{values[OWNER]}/{table.name}/{name}"


def _part_file(column: str) -> str:
    return f"{column.removesuffix('_csv')}.{PARTS[column]}"


def _written(value: Any) -> Any:
    return value.astimezone(UTC).isoformat(timespec="microseconds") if isinstance(value, datetime) else value


def _object(path: str, content: bytes) -> dict[str, Any]:
    try:
        found = json.loads(content)
    except (ValueError, RecursionError) as error:
        raise Refused(path, "it is not JSON") from error
    if not isinstance(found, dict):
        raise Refused(path, "it is no object with named fields")
    return found


def _text_of(path: str, column: Column[Any], content: bytes | None) -> str | None:
    if content is None:
        if not column.nullable:
            raise Refused(path, f"its file {_part_file(column.name)} is missing")
        return None
    try:
        text = content.decode()
        if PARTS[column.name] == "json":
            json.loads(text)
    except (ValueError, RecursionError) as error:
        raise Refused(
            path, f"its file {_part_file(column.name)} is not {PARTS[column.name].upper()} in UTF-8"
        ) from error
    return _ensured(path, column, text)


def _read(path: str, column: Column[Any], value: Any) -> Any:
    if value is None:
        if not column.nullable:
            raise Refused(path, f"the field {column.name} is null")
        return None
    if isinstance(column.type, Boolean):
        wanted = isinstance(value, bool)
    elif isinstance(column.type, Integer):
        wanted = type(value) is int and -INTEGER <= value < INTEGER
    else:
        wanted = isinstance(value, str)
    if not wanted:
        raise Refused(path, f"the field {column.name} is {json.dumps(value)}")
    if isinstance(column.type, Boolean | Integer):
        return value
    return _ensured(path, column, value) if isinstance(column.type, String) else _time(path, column, value)


def _ensured(path: str, column: Column[Any], text: str) -> str:
    """The text, if both kinds of database can keep it."""
    length = column.type.length if isinstance(column.type, String) else None
    if length is not None and len(text) > length:
        raise Refused(path, f"the field {column.name} has {len(text)} characters, and {length} are the most")
    if "\x00" in text or any("\ud800" <= letter <= "\udfff" for letter in text):
        raise Refused(path, f"the field {column.name} holds a character that cannot be kept")
    return text


def _time(path: str, column: Column[Any], value: str) -> datetime:
    try:
        found = datetime.fromisoformat(value)
    except ValueError as error:
        raise Refused(path, f"the field {column.name} is no time: {value!r}") from error
    if found.tzinfo is None:
        raise Refused(path, f"the field {column.name} is a time without its zone: {value!r}")
    return found.astimezone(UTC)
