"""What a form asks for as changes of the draft: the operations of a JSON Patch, as few and as small as may be.

A field whose text is the one that the document would show is left alone, so that a person who changes one measure
changes nothing else.
"""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from api.pages.desk.notation import ABSENT
from api.pages.desk.piece_tables import NEW_OUTLINES
from api.pages.desk.rows import fields_of, row_paths
from api.pages.desk.table import Field, Path, Table, part

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

MOST_WORDS = 300


@dataclass(frozen=True)
class Change:
    """Operations that carry a change out, and the change in words; no operations where nothing changes.

    `rename` is asked in their place where a part is renamed with all that names it.
    """

    patch: tuple[dict[str, Any], ...]
    says: str
    rename: Mapping[str, str] | None = None


NOTHING = Change((), "")


def changed_rows(document: Any, table: Table, form: Mapping[str, str]) -> Change:
    """The fields of rows, as far as their texts are not those that the document shows already.

    A field is sent as `f:ROW:KEY`, the row's path with its keys joined by dots.
    """
    whole = deepcopy(document)
    words = []
    for row, fields in _changed(document, table, form):
        said = []
        for field, text in fields:
            path, value = (*row, *field.path), field.notation.value(text)
            _put(whole, path, "" if value is ABSENT and path == row else value, len(row) + table.keeps)
            said.append(f"{field.label.lower()}: {' '.join(text.split()) or 'none'}")
        name = table.title.lower() if table.form == "one" else f"{table.row} {_called(row)}".replace("_", " ")
        words.append(f"{name}, {'; '.join(said)}")
    return Change(_difference(document, whole), " / ".join(words)[:MOST_WORDS]) if words else NOTHING


def only_change(document: Any, table: Table, form: Mapping[str, str]) -> tuple[Path, Field, str] | None:
    """The row, the field and its text, where a form changes one field alone."""
    found = [(row, field, text) for row, fields in _changed(document, table, form) for field, text in fields]
    return found[0] if len(found) == 1 else None


def _changed(document: Any, table: Table, form: Mapping[str, str]) -> Iterator[tuple[Path, list[tuple[Field, str]]]]:
    for row in row_paths(document, table):
        joined = ".".join(map(str, row))
        found = []
        for field in fields_of(document, table):
            text = form.get(f"f:{joined}:{field.key}")
            if text is not None and not _alike(text, field.notation.text(part(document, (*row, *field.path)))):
                found.append((field, text))
        if found:
            yield row, found


def added_row(document: Any, table: Table, name: str) -> Change:
    """A row more, at the end; of a table with names one that is not taken yet."""
    rows, blank = part(document, table.where), deepcopy(table.blank)
    whole = deepcopy(document)
    if table.form == "list":
        _put(whole, table.where, [*(rows if isinstance(rows, list) else []), blank], 0)
        return Change(_difference(document, whole), f"a {table.row} added")
    name = name.strip() or f"{table.row.replace(' ', '_')}_{len(rows) + 1 if isinstance(rows, dict) else 1}"
    if isinstance(rows, dict) and name in rows:
        return NOTHING
    _put(whole, (*table.where, name), _new(table, blank), 0)
    return Change(_difference(document, whole), f"{table.row} {name} added")


def removed_row(document: Any, table: Table, row: Path) -> Change:
    """The row taken away."""
    whole = deepcopy(document)
    del part(whole, row[:-1])[row[-1]]
    return Change(_difference(document, whole), f"{table.row} {_called(row)} removed")


def moved_row(document: Any, table: Table, row: Path, by: int) -> Change:
    """The row one place up (-1) or down (1) among those of its table."""
    rows = part(document, row[:-1])
    keys = list(rows) if isinstance(rows, dict) else list(range(len(rows)))
    shown = [key for key in keys if not table.kind or (isinstance(rows[key], dict) and table.kind in rows[key])]
    at = shown.index(row[-1])
    if not 0 <= at + by < len(shown):
        return NOTHING
    one, other = keys.index(shown[at]), keys.index(shown[at + by])
    keys[one], keys[other] = keys[other], keys[one]
    ordered = {key: rows[key] for key in keys} if isinstance(rows, dict) else [rows[key] for key in keys]
    operation = {"op": "replace", "path": pointer(row[:-1]), "value": ordered}
    return Change((operation,), f"{table.row} {_called(row)} moved {'up' if by < 0 else 'down'}")


def chosen_outline(document: Any, piece: str, kind: str) -> Change:
    """A new outline of another kind."""
    whole = deepcopy(document)
    _put(whole, ("pieces", piece, "outline"), deepcopy(NEW_OUTLINES[kind]), 0)
    return Change(_difference(document, whole), f"outline of {piece}: {kind.replace('_', ' ')}")


def pointer(path: Path) -> str:
    """A path as a JSON Pointer (RFC 6901)."""
    return "".join("/" + str(key).replace("~", "~0").replace("/", "~1") for key in path)


def _new(table: Table, blank: Any) -> Any:
    if table.name != "pieces":
        return blank
    return {"outline": deepcopy(NEW_OUTLINES["rectangle"]), "layers": [{"material": "main"}]}


def _called(row: Path) -> str:
    return str(row[-1] + 1) if isinstance(row[-1], int) else str(row[-1])


def _alike(one: str, other: str) -> bool:
    return one.replace("\r\n", "\n").strip() == other.strip()


def _put(whole: Any, path: Path, value: Any, keep: int) -> None:
    """Puts a value into a document; what is empty then goes, but not the first `keep` keys of the path."""
    if value is ABSENT:
        _take(whole, path, keep)
        return
    at = whole
    for key, after in pairwise(path):
        at = _entered(at, key, [] if isinstance(after, int) else {})
    if isinstance(path[-1], int):
        at.extend([""] * (path[-1] + 1 - len(at)))
    at[path[-1]] = value


def _entered(at: Any, key: str | int, empty: Any) -> Any:
    """What lies at the key, made or made anew where nothing, or something of another kind, lies there."""
    if isinstance(at, list) and isinstance(key, int):
        at.extend([{}] * (key + 1 - len(at)))
    elif key not in at:
        at[key] = empty
    if not isinstance(at[key], type(empty)):
        at[key] = empty
    return at[key]


def _take(whole: Any, path: Path, keep: int) -> None:
    holder = part(whole, path[:-1])
    if isinstance(holder, list) and isinstance(path[-1], int) and path[-1] < len(holder):
        holder[path[-1]] = ""
    elif isinstance(holder, dict):
        holder.pop(path[-1], None)
    is_empty = isinstance(holder, dict | list) and not any(each != "" for each in holder)
    if is_empty and len(path) - 1 > keep:
        _take(whole, path[:-1], keep)


def _difference(before: Any, after: Any, path: Path = ()) -> tuple[dict[str, Any], ...]:
    """The operations that make one of the other, as far down as only objects lie on the way."""
    if not (isinstance(before, dict) and isinstance(after, dict)):
        if _same(before, after):
            return ()
        return ({"op": "replace", "path": pointer(path), "value": after},)
    found: list[dict[str, Any]] = [
        {"op": "remove", "path": pointer((*path, key))} for key in before if key not in after
    ]
    for key, value in after.items():
        if key in before:
            found += _difference(before[key], value, (*path, key))
        else:
            found.append({"op": "add", "path": pointer((*path, key)), "value": value})
    return tuple(found)


def _same(one: Any, other: Any) -> bool:
    return type(one) is type(other) and bool(one == other)
