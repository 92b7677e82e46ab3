"""Other names for parts of a draft: what is asked of the interface, which renames everything that names them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from api.pages.desk.changes import NOTHING, Change, only_change
from api.pages.desk.table import Path, Table, part

if TYPE_CHECKING:
    from collections.abc import Mapping

NAME = re.compile(r"[a-z][a-z0-9_]{0,59}")
OF_PIECES = frozenset({"edge", "notch", "line", "layer"})
LISTED = {("pieces", "uses"): "use", ("options", "choices"): "choice"}
"""Fields that list names, by the table's name and the field's, and what they are names of."""


def renamed_row(table: Table, row: Path, name: str) -> Change:
    """The row under another name."""
    return _asked(table.renames, row, str(row[-1]), name) if name and name != row[-1] else NOTHING


def renamed_in(document: Any, table: Table, form: Mapping[str, str]) -> Change:
    """The renaming that a form asks for by another name in the field that holds it; NOTHING where it is no such form.

    What is no name, or taken, goes into the draft as it is written, where the check says so.
    """
    changed = only_change(document, table, form)
    if changed is None:
        return NOTHING
    row, field, text = changed
    if table.called and field.key == table.called:
        names = [each.get(table.called) for each in part(document, row[:-1]) if isinstance(each, dict)]
        old, new = part(document, (*row, table.called)), text.strip()
        fits = names.count(old) == 1 and NAME.fullmatch(new) and new not in names
        return _asked(table.renames, row, old, new) if isinstance(old, str) and fits else NOTHING
    kind = LISTED.get((table.name, field.key))
    if kind is None:
        return NOTHING
    usual = [row[-1]] if kind == "use" else []
    found = _one_other(_names(part(document, (*row, *field.path))) or usual, _names(field.notation.value(text)))
    return NOTHING if found is None else _asked(kind, row, *found)


def _asked(kind: str, row: Path, old: str, new: str) -> Change:
    owner = f"{row[1]}." if kind in OF_PIECES or kind == "choice" else ""
    return Change((), f"{kind} {old} renamed {new}", {"kind": kind, "from": f"{owner}{old}", "to": new})


def _names(listed: Any) -> list[Any]:
    """The names of a list; what is mirrored differs from what is not."""
    names = listed if isinstance(listed, list) else []
    return [(each.get("name"), each.get("mirrored")) if isinstance(each, dict) else each for each in names]


def _one_other(before: list[Any], after: list[Any]) -> tuple[str, str] | None:
    """The one name of a list that is another one now; None where more is different, or less."""
    pairs = [(one, other) for one, other in zip(before, after, strict=False) if one != other]
    if len(before) != len(after) or len(pairs) != 1:
        return None
    old, new = pairs[0]
    if isinstance(old, tuple) and isinstance(new, tuple) and old[1] == new[1]:
        old, new = old[0], new[0]
    fits = isinstance(old, str) and isinstance(new, str) and NAME.fullmatch(new) and new not in _plain(before)
    return (old, new) if fits else None


def _plain(names: list[Any]) -> list[Any]:
    return [name[0] if isinstance(name, tuple) else name for name in names]
