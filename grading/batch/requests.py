"""What is asked by a batch: scales, or rows of lengths for the same dimensions."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any, Final

import numpy as np

from grading.batch.points import Floats, Points, Vector
from grading.batch.posing import Kind
from grading.document.numbers import GREATEST_LENGTH
from grading.document.requests import GREATEST_SCALE, SizeRequest
from grading.errors import Fault, RequestFaults
from grading.exact import UNITS, NotALength, NotANumber, read_length, read_number, shown
from grading.form import CONSTANT
from grading.solve.row import rational

MOST_ROWS = 100_000
"""Rows that one batch may have."""
MOST_COLUMNS = 20
MOST_FAULTS = 20
"""Faulty cells that are told one by one; the rest is counted."""
OTHERS: Final = ("in proportion", "at base")
FIELDS = frozenset({"columns", "rows", "scales", "others"})
KEPT_ROWS = 4096
"""Rows whose exact values are kept at hand: those near zero are often asked for again."""
Cell = str | int | float


@dataclass(frozen=True)
class BatchRequest:
    """Sizes of one kind. `cells` as they were written, one sequence a row; numbers are in `unit`; all are sound."""

    kind: Kind
    cells: Sequence[Sequence[Cell]]
    unit: str
    rough: Floats

    def __len__(self) -> int:
        return len(self.cells)

    def exactly(self, row: int) -> tuple[Fraction, ...]:
        """The exact lengths of a row in mm, or its scale."""
        return tuple(self._read(cell) for cell in self.cells[row])

    def request(self, row: int) -> SizeRequest:
        """A row as a request of one size."""
        return self.kind.request(self.cells[row])

    def points(self) -> Points:
        """The rows as parameters."""

        @lru_cache(KEPT_ROWS)
        def exact(row: int) -> Vector:
            return (*(rational(value) for value in self.exactly(row)), rational(1))

        ones = np.ones((len(self.cells), 1))
        return Points((*self.kind.parameters, CONSTANT), np.ascontiguousarray(np.hstack([self.rough, ones])), exact)

    def _read(self, cell: Cell) -> Fraction:
        return read_number(cell) if self.kind.is_scale else read_length(cell, self.unit)


def read_batch(data: object, unit: str = "mm") -> BatchRequest:
    """Read {"columns", "rows", "others"?} or {"scales"}; numbers are lengths in `unit`.

    Columns are not compared with a pattern here. Raises RequestFaults with all faults (of cells the first 20).
    """
    if not isinstance(data, Mapping):
        raise RequestFaults([Fault("batch", "it is no object with named fields", "give columns and rows, or scales")])
    faults = [Fault(f"{name}", "no such field is known", "leave it out") for name in data if name not in FIELDS]
    if ("scales" in data) == ("rows" in data or "columns" in data):
        faults.append(Fault("batch", "it has neither scales nor columns with rows, or both", "give one of the two"))
        raise RequestFaults(faults)
    if "scales" in data:
        if "others" in data:
            faults.append(Fault("others", "it goes with columns", "leave it out"))
        rows = _rows(data["scales"], "scales", faults)
        kind, cells = Kind(), [(cell,) for cell in rows]
    else:
        kind = Kind(_columns(data.get("columns"), faults), _others(data.get("others", OTHERS[0]), faults))
        rows = _rows(data.get("rows"), "rows", faults)
        cells = [tuple(row) if isinstance(row, list | tuple) else (row,) for row in rows]
        faults += _widths(rows, len(kind.columns))
    if faults:
        raise RequestFaults(faults)
    return BatchRequest(kind, cells, unit, _checked(kind, cells, unit))


def _rows(given: Any, path: str, faults: list[Fault]) -> Sequence[Any]:
    if not isinstance(given, list | tuple) or not given:
        faults.append(Fault(path, "it has no rows", "give a list with at least one row"))
        return ()
    if len(given) > MOST_ROWS:
        raise RequestFaults(
            [Fault(path, f"it has {len(given)} rows, and at most {MOST_ROWS} are taken", "send it in several batches")]
        )
    return given


def _columns(given: Any, faults: list[Fault]) -> tuple[str, ...]:
    if not isinstance(given, list | tuple) or not given or not all(isinstance(name, str) for name in given):
        faults.append(Fault("columns", "it names no dimensions", "give a list of dimensions, as in ['width']"))
        return ("",)
    if len(given) > MOST_COLUMNS:
        faults.append(
            Fault("columns", f"it has {len(given)} columns", f"set at most {MOST_COLUMNS} dimensions in a batch")
        )
    for name in dict.fromkeys(given):
        if given.count(name) > 1:
            faults.append(Fault("columns", f"{shown(name)} is named more than once", "name each column once"))
    return tuple(given)


def _others(given: Any, faults: list[Fault]) -> Any:
    if given not in OTHERS:
        faults.append(Fault("others", f"{shown(given)} is not known", f"write one of {', '.join(OTHERS)}"))
    return given


def _widths(rows: Sequence[Any], columns: int) -> list[Fault]:
    faults = []
    for number, row in enumerate(rows):
        if not isinstance(row, list | tuple):
            faults.append(Fault(f"rows.{number}", "it is no list", f"give a list of {columns} lengths"))
        elif len(row) != columns:
            faults.append(
                Fault(f"rows.{number}", f"it has {len(row)} lengths for {columns} columns", "give one a column")
            )
        if len(faults) > MOST_FAULTS:
            break
    return faults


def _checked(kind: Kind, cells: Sequence[Sequence[Any]], unit: str) -> Floats:
    """The rows in floats; raises RequestFaults for cells that are no length of a bag, or no scale."""
    read = _read_scale if kind.is_scale else _read_length(unit)
    most = GREATEST_SCALE if kind.is_scale else int(GREATEST_LENGTH)
    faults: list[Fault] = []
    known: dict[tuple[type, Cell], float] = {}
    rough = np.empty((len(cells), len(kind.parameters)))
    for number, row in enumerate(cells):
        for column, cell in enumerate(row):
            key = (type(cell), cell) if isinstance(cell, str | int | float) else (type(None), 0)
            value = known.get(key)
            if value is None:
                value = known[key] = _sound(read, key, most)
            if value <= 0 and len(faults) < MOST_FAULTS:
                faults.append(_cell_fault(kind, number, column, cell))
            rough[number, column] = value
    if faults:
        raise RequestFaults(faults)
    return rough


def _sound(read: Callable[[Any], Fraction], key: tuple[type, Cell], most: int) -> float:
    """The value of a cell rounded once, or 0 for one that is none."""
    try:
        value = read(key[1]) if key[0] is not type(None) else Fraction(0)
    except (NotALength, NotANumber):
        return 0.0
    return float(value) if 0 < value <= most else 0.0


def _read_scale(cell: Cell) -> Fraction:
    return read_number(cell)


def _read_length(unit: str) -> Callable[[Cell], Fraction]:
    return lambda cell: read_length(cell, unit if unit in UNITS else "mm")


def _cell_fault(kind: Kind, row: int, column: int, cell: Any) -> Fault:
    if kind.is_scale:
        return Fault(f"scales.{row}", f"{shown(cell)} is no scale", f"give a number above 0, at most {GREATEST_SCALE}")
    remedy = "give a length above 0, at most 20 m"
    return Fault(f"rows.{row}.{column}", f"{shown(cell)} is no length of a bag", remedy)
