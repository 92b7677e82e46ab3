"""The cut list as a table of plain text: comma-separated values for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

COLUMNS = (
    "letter",
    "piece",
    "layer",
    "material",
    "count",
    "mirrored",
    "kind",
    "grain",
    "across",
    "along",
    "allowance",
    "trim across",
    "trim along",
    "finished across",
    "finished along",
    "folded across",
    "folded along",
    "strips",
    "strips total",
    "step",
    "cut",
)
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def cut_list_table(grade: Mapping[str, Any]) -> str:
    """The cut list of a grade's document as CSV (RFC 4180), with an empty column to tick."""
    output = io.StringIO()
    writer = csv.writer(output, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for row in grade["cut_list"]:
        writer.writerow([cell(value) for value in _values(row)])
    return output.getvalue()


def _values(row: Mapping[str, Any]) -> list[Any]:
    strips = row["strips"] or {}
    return [
        *(row[key] for key in COLUMNS[:11]),
        *((row[key] or {}).get(side) for key in ("trim", "finished", "on_fold") for side in ("across", "along")),
        strips.get("count"),
        strips.get("total"),
        row["step"],
        None,
    ]


def cell(value: Any) -> str:
    """A cell's text; one that a spreadsheet would take for a formula is led by an apostrophe."""
    text = "" if value is None else str(value)
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text
