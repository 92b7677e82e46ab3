"""The tables of a section as they are shown: every field with its text, its choices, and what is wrong with it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from api.pages.desk.piece_tables import edge_names
from api.pages.desk.sections import MAY_BE_OPTIONAL, SECTIONS, WHEN_FIELD
from api.pages.desk.table import Field, Path, Table, part

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

Note = dict[str, Any]


@dataclass(frozen=True)
class Cell:
    """A field of a row: its name in the form, its id, its text, what may be chosen, and its faults and remarks."""

    field: Field
    id: str
    text: str
    choices: tuple[str, ...]
    notes: tuple[Note, ...]

    @property
    def lines(self) -> int:
        """How many lines a long text takes."""
        return max(1, self.text.count("\n") + 1, -(-len(self.text) // (self.field.size + 6)))


@dataclass(frozen=True)
class Row:
    """A row: its path, its name or number, its cells, what else is wrong with it, what it lights."""

    id: str
    path: str
    name: str
    cells: tuple[Cell, ...]
    notes: tuple[Note, ...]
    lights: str = ""
    more: tuple[Cell, ...] = ()
    """Cells that stand in a second line."""

    @property
    def filled(self) -> bool:
        """Whether its second line says anything."""
        return any(cell.text or cell.notes for cell in self.more)


@dataclass(frozen=True)
class Shown:
    """A table with its rows; `names` are those that a new row may have, where they are given."""

    table: Table
    fields: tuple[Field, ...]
    rows: tuple[Row, ...]
    names: tuple[str, ...] = ()


@dataclass
class Notes:
    """The faults and remarks of a check, each told once, at the field that it is about."""

    waiting: list[Note] = field(default_factory=list)

    @classmethod
    def of(cls, check: Mapping[str, Any]) -> Notes:
        """Those of a check; remarks are marked."""
        faults = [{**fault, "remark": False} for fault in check["faults"]]
        return cls(faults + [{**remark, "remark": True} for remark in check["remarks"]])

    def take(self, path: str) -> tuple[Note, ...]:
        """Those at a path and below it."""
        taken = [note for note in self.waiting if note["path"] == path or note["path"].startswith(f"{path}.")]
        self.waiting = [note for note in self.waiting if note not in taken]
        return tuple(taken)


def shown_tables(document: Any, tables: Iterable[Table], notes: Notes) -> tuple[Shown, ...]:
    """Tables of a section with their rows."""
    return tuple(_shown(document, table, notes) for table in tables)


def counts(document: Any, check: Mapping[str, Any]) -> dict[str, tuple[int, int]]:
    """How many faults, and how many remarks, each section has."""
    found = {name: [0, 0] for name in SECTIONS}
    for kind, note in [(0, each) for each in check["faults"]] + [(1, each) for each in check["remarks"]]:
        found[section_of(note["path"])][kind] += 1
    return {name: (each[0], each[1]) for name, each in found.items()}


def section_of(path: str) -> str:
    """The section in which a path of the document is shown."""
    top = path.split(".", maxsplit=1)[0]
    return {"stock": "dimensions", "options": "sizes"}.get(top, top if top in SECTIONS else "sheet")


def lit_by(path: str) -> str | None:
    """What a fault at a path lights in the drawing."""
    keys = path.split(".")
    match keys:
        case ["seams", name, *_]:
            return f"seam:{name}"
        case ["coverings", name, *_]:
            return f"covering:{name}"
        case ["pieces", name, "edges", edge, *_]:
            return f"edge:{name}.{edge}"
        case ["pieces", name, *_]:
            return f"piece:{name}"
    return None


def _shown(document: Any, table: Table, notes: Notes) -> Shown:
    more = fields_of(document, table)[len(table.fields) :]
    rows = tuple(_row(document, table, more, path, notes) for path in row_paths(document, table))
    given = part(document, (table.of,)) if table.of else None
    taken = part(document, table.where)
    free = (
        [name for name in given if not (isinstance(taken, dict) and name in taken)] if isinstance(given, dict) else []
    )
    return Shown(table, table.fields, rows, tuple(free))


def fields_of(document: Any, table: Table) -> tuple[Field, ...]:
    """The fields of a table; where the document has options one more, for when a row is there."""
    optional = bool(table.where) and table.where[-1] in MAY_BE_OPTIONAL and document.get("options")
    return (*table.fields, *table.more, *((WHEN_FIELD,) if optional else ()))


def row_paths(document: Any, table: Table) -> Iterator[Path]:
    """The paths of the rows of a table, in their order."""
    if table.form == "one":
        yield table.where
        return
    rows = part(document, table.where)
    if table.form == "fixed":
        yield from ((*table.where, name) for name in table.rows)
    elif isinstance(rows, dict):
        named = rows.items()
        yield from ((*table.where, name) for name, row in named if not table.kind or _is_kind(row, table.kind))
    elif isinstance(rows, list):
        yield from ((*table.where, number) for number in range(len(rows)))


def _is_kind(row: Any, kind: str) -> bool:
    return isinstance(row, dict) and kind in row


def _row(document: Any, table: Table, further: tuple[Field, ...], path: Path, notes: Notes) -> Row:
    joined = ".".join(map(str, path))
    cells, more = (tuple(_cell(document, each, path, notes) for each in given) for given in (table.fields, further))
    last = path[-1] if path else ""
    name = str(last + 1) if isinstance(last, int) else str(last)
    rest = notes.take(joined) if joined and table.form != "one" else ()
    return Row(f"row-{joined}", joined, name, cells, rest, _lights(document, table, path), more)


def _cell(document: Any, each: Field, path: Path, notes: Notes) -> Cell:
    whole = (*path, *each.path)
    joined = ".".join(map(str, whole))
    text = each.notation.text(part(document, whole))
    return Cell(each, f"f-{joined}", text, _choices(document, each, text), notes.take(joined))


def _choices(document: Any, each: Field, text: str) -> tuple[str, ...]:
    offered = each.choices
    if each.of == "uses":
        offered = tuple(_uses(document))
    elif each.of:
        found = document.get(each.of)
        offered = tuple(found) if isinstance(found, dict) else ()
        if not offered:
            return ()
    return offered if not offered or not text or text in offered else (*offered, text)


def _uses(document: Any) -> dict[str, str]:
    """The piece of each use."""
    found: dict[str, str] = {}
    pieces = document.get("pieces")
    for name, piece in pieces.items() if isinstance(pieces, dict) else ():
        uses = piece.get("uses") if isinstance(piece, dict) else None
        for use in uses if isinstance(uses, list) and uses else [name]:
            found[str(use.get("name") if isinstance(use, dict) else use)] = name
    return found


def _lights(document: Any, table: Table, path: Path) -> str:
    """The edges that a row lights, as the drawing names them."""
    if table.lights == "edge":
        return f"{path[1]}.{path[-1]}"
    row = part(document, path)
    if table.lights == "piece":
        return " ".join(f"{path[-1]}.{edge}" for edge in edge_names(row))
    if not table.lights or not isinstance(row, dict):
        return ""
    uses = _uses(document)
    if table.lights == "seam":
        sides = [side for key in ("join", "to") if isinstance(row.get(key), list) for side in row[key]]
        named = [side.get("edge", side.get("line")) if isinstance(side, dict) else side for side in sides]
        pairs = [str(name).split(" ")[0].partition(".") for name in named]
        return " ".join(f"{uses.get(use, use)}.{edge}" for use, _, edge in pairs)
    caught = found if isinstance(found := row.get("caught"), dict) else {}
    own, over = (uses.get(str(row.get(key)), str(row.get(key))) for key in ("piece", "over"))
    return " ".join(
        [*(f"{own}.{edge}" for edge in caught or {}), *(f"{over}.{edge}" for edge in (caught or {}).values())]
    )
