"""What the tables of the editor are made of: fields, and the parts of a document that they show."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from api.pages.desk.notation import ABSENT, VALUE, Notation

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Field:
    """A column of a table, or a line of a form: which part of the row it is, and how it is written.

    `choices` are words to choose from; `of` names a list of names of the document to choose from.
    """

    path: Path
    label: str
    notation: Notation = VALUE
    choices: tuple[str, ...] = ()
    of: str = ""
    size: int = 9
    hint: str = ""

    @property
    def key(self) -> str:
        """Its name in a form."""
        return ".".join(map(str, self.path))


@dataclass(frozen=True)
class Table:
    """A part of the document as a ruled table.

    where   the path of the object or list whose entries are the rows
    form    `names` (an object: a row a name), `list`, `fixed` (an object whose names are given), `one` (a single row)
    blank   what a new row holds
    title   its caption; `row` what one row is called
    lights  what a row lights in the drawing: `seam`, `piece`, `covering`, `edge`, or nothing
    kind    a key that rows of this table have; others are left to other tables of the same place
    more    fields of a row that are seldom needed; they stand in a second line of it
    of      where the rows are named after others: the list of names of the document to choose from
    renames what is renamed, with all that names it, by renaming a row, or by writing another text into `called`
    keeps   how many keys below a row stay though there is nothing left in them: they say what kind of row it is
    called  the key of the field that holds the name, where rows have none of their own
    """

    name: str
    where: Path
    title: str
    row: str
    fields: tuple[Field, ...]
    form: str = "names"
    blank: Any = field(default_factory=dict)
    says: str = ""
    lights: str = ""
    kind: str = ""
    opens: bool = False
    rows: tuple[str, ...] = ()
    more: tuple[Field, ...] = ()
    of: str = ""
    renames: str = ""
    called: str = ""
    keeps: int = 0


def part(document: Any, path: Path) -> Any:
    """The part of a document at a path; ABSENT where there is none."""
    for key in path:
        known = key in document if isinstance(document, dict) else isinstance(key, int) and _has(document, key)
        if not known:
            return ABSENT
        document = document[key]
    return document


def _has(document: Any, place: int) -> bool:
    return isinstance(document, list) and place < len(document)
