"""What workers do with piece lists: a spreadsheet, as CSV or XLSX, becomes a draft."""

from __future__ import annotations

import base64
import binascii
import csv
import io
import zipfile
from typing import TYPE_CHECKING, Any

import openpyxl
from openpyxl.utils.exceptions import InvalidFileException

from api.jobs.reading import written_faults
from api.jobs.worker import Refusal
from grading.document.piece_list import UnreadableList, draft_of_list
from grading.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

MOST_UNPACKED = 64 * 1024 * 1024
MOST_ROWS, MOST_COLUMNS = 2000, 60
DELIMITERS = ";,\t"


def piece_list(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, Any]:
    """A document of a piece list; refuses `request` with every cell that cannot be used."""
    try:
        rows = _csv_rows(arguments["csv"]) if arguments["csv"] is not None else _workbook_rows(arguments["xlsx"])
        return draft_of_list(rows, arguments["name"], arguments["unit"])
    except UnreadableList as error:
        faults = [Fault(f"list.{fault.path}", fault.problem, fault.remedy) for fault in error.faults]
        raise Refusal("request", faults=written_faults(tuple(faults))) from error


def _csv_rows(text: str) -> list[list[str]]:
    """Rows of a table whose cells are parted by what is most frequent of semicolon, comma and tab in its first line."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    delimiter = max(DELIMITERS, key=first.count)
    try:
        rows = list(csv.reader(io.StringIO(text.lstrip("\N{ZERO WIDTH NO-BREAK SPACE}")), delimiter=delimiter))
    except csv.Error as error:
        raise UnreadableList([Fault("csv", f"reading stopped: {error}", "save it anew as CSV")]) from error
    return [row[:MOST_COLUMNS] for row in rows[:MOST_ROWS]]


def _workbook_rows(content: str) -> list[list[str]]:
    """Rows of the first sheet of a workbook, formulas as they were last computed."""
    try:
        packed = base64.b64decode(content, validate=True)
        with zipfile.ZipFile(io.BytesIO(packed)) as parts:
            if sum(part.file_size for part in parts.infolist()) > MOST_UNPACKED:
                raise UnreadableList([Fault("xlsx", "the workbook is too large", "send the piece list alone")])
        book = openpyxl.load_workbook(io.BytesIO(packed), read_only=True, data_only=True)
        sheet = book.worksheets[0]
        rows = sheet.iter_rows(max_row=MOST_ROWS, max_col=MOST_COLUMNS, values_only=True)
        return [[_text(cell) for cell in row] for row in rows]
    except (
        binascii.Error,
        zipfile.BadZipFile,
        InvalidFileException,
        KeyError,
        IndexError,
        ValueError,
        OSError,
    ) as error:
        raise UnreadableList([Fault("xlsx", "this is no workbook", "save it as XLSX, or as CSV")]) from error


def _text(cell: Any) -> str:
    if cell is None:
        return ""
    return str(int(cell)) if isinstance(cell, float) and cell.is_integer() else str(cell)
