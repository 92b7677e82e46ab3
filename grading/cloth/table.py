"""The layouts as a table of plain text: comma-separated values for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from typing import Any

from grading.grade.tables import cell

COLUMNS = (
    "material",
    "letter",
    "piece",
    "layer",
    "copy",
    "mirrored",
    "kind",
    "x",
    "y",
    "across",
    "along",
    "turned",
    "sheet",
    "on the fold",
    "in pairs",
    "nested",
    "cut",
)


def layouts_table(document: Mapping[str, Any]) -> str:
    """The places of a layouts' document as CSV (RFC 4180): a piece a row, with an empty column to tick."""
    output = io.StringIO()
    writer = csv.writer(output, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for role, layout in document["cloths"].items():
        for laid in layout["pieces"]:
            writer.writerow([cell(value) for value in _values(role, laid)])
    return output.getvalue()


def _values(role: str, laid: Mapping[str, Any]) -> Iterator[Any]:
    yield role
    yield from (laid[key] for key in ("letter", "piece", "layer", "copy"))
    yield "yes" if laid["mirrored"] else None
    yield from (laid[key] for key in ("kind", "x", "y", "across", "along", "turned"))
    yield laid.get("sheet")
    yield "yes" if laid.get("on_fold") else None
    yield "yes" if laid.get("pair") else None
    yield laid.get("nested")
    yield None
