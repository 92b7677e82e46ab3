"""`sizewright batch`: many sizes of a pattern at once, from a table in a file."""

from __future__ import annotations

import csv
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import grading
from api.command.arguments import OTHERS
from api.command.files import Unreadable, read_file, read_text
from api.command.request import value
from grading.batch import MOST_ROWS, RowStatus
from grading.errors import Fault, RequestFaults

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterable

SCALE = "scale"


@dataclass(frozen=True)
class Table:
    """The rows of a file as a batch, and the line that each of them stands in."""

    batch: dict[str, Any]
    lines: tuple[int, ...]


def run(options: Namespace) -> int:
    """Prints a JSON line for each row of the table; 1 if a row has no size."""
    document = grading.read_document(read_file(options.pattern))
    table = read_table(options.requests, read_text(options.requests))
    batch = table.batch | ({"others": OTHERS[options.others]} if options.others is not None else {})
    try:
        prepared = grading.prepare(document, grading.batch_variant(document, dict(options.option or ())))
        result = grading.solve_batch(prepared, batch)
    except RequestFaults as error:
        raise RequestFaults(_placed(error.faults, options.requests, table)) from None
    for line in result.lines():
        print(json.dumps(line, ensure_ascii=False))
    return 1 if (result.status == RowStatus.FAILS).any() else 0


def read_table(name: str, text: str) -> Table:
    """A table as comma-separated values (RFC 4180): in the first line `scale`, or the dimensions that all rows set.

    Lines without anything are passed over. Raises Unreadable.
    """
    reader = csv.reader(text.splitlines(), strict=True)
    columns: list[str] = []
    rows: list[list[Any]] = []
    lines: list[int] = []
    try:
        for row in reader:
            cells = [cell.strip() for cell in row]
            if not any(cells):
                continue
            if not columns:
                columns = cells
                continue
            rows.append([value(cell) for cell in cells])
            lines.append(reader.line_num)
            if len(rows) > MOST_ROWS:
                raise Unreadable(f"{name} has more than {MOST_ROWS} rows, the most that one batch takes.")
    except csv.Error as error:
        raise Unreadable(f"{name} is no table of comma-separated values. Line {reader.line_num}: {error}.") from error
    if not columns:
        raise Unreadable(f"{name} is empty. Its first line names what the rows set, such as: width,height")
    if columns == [SCALE]:
        return Table({"scales": [cell for cells in rows for cell in cells]}, tuple(lines))
    return Table({"columns": columns, "rows": rows}, tuple(lines))


def _placed(faults: Iterable[Fault], name: str, table: Table) -> list[Fault]:
    """Faults with the lines of the file in place of the numbers of rows."""
    placed = []
    for fault in faults:
        part, *way = fault.path.split(".")
        if part in ("rows", "scales") and way and way[0].isdecimal():
            column = f", column {int(way[1]) + 1}" if len(way) > 1 else ""
            path = f"{name}, line {table.lines[int(way[0])]}{column}"
        else:
            path = f"{name}, first line" if part == "columns" else fault.path
        placed.append(Fault(path, fault.problem, fault.remedy))
    return placed
