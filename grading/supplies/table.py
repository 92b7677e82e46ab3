"""A list of supplies as a table of plain text: comma-separated values for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from typing import Any

from grading.grade.tables import cell

Json = Mapping[str, Any]
COLUMNS = (
    "kind",
    "name",
    "what to buy",
    "length to buy",
    "count to buy",
    "used for",
    "count",
    "width",
    "each",
    "total",
    "waste",
    "steps",
    "cost",
    "currency",
    "bought",
)


def supplies_table(supplies: Json) -> str:
    """The document of supplies as CSV (RFC 4180): a row for each thing, for each thread, for each sum of money; with an
    empty column to tick.
    """
    output = io.StringIO()
    writer = csv.writer(output, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for row in (*_things(supplies), *_thread(supplies), *_sums(supplies)):
        writer.writerow([cell(row.get(column)) for column in COLUMNS])
    return output.getvalue()


def _things(supplies: Json) -> Iterator[Json]:
    for row in supplies["rows"]:
        buy, cost = row["buy"], row.get("cost", {})
        yield {
            **{key: row[key] for key in ("kind", "name", "count", "width", "each", "total", "waste")},
            "what to buy": buy["what"],
            "length to buy": buy.get("length"),
            "count to buy": buy.get("count"),
            "used for": row["says"],
            "steps": " ".join(str(step) for step in row["steps"]),
            "cost": cost.get("amount"),
            "currency": cost.get("currency"),
        }


def _thread(supplies: Json) -> Iterator[Json]:
    for row in supplies["thread"]:
        buy = row["buy"] or {}
        yield {
            "kind": "thread",
            "name": row["stitch"],
            "what to buy": buy.get("what"),
            "count to buy": buy.get("count"),
            "used for": f"{len(row['seams'])} seams, hems, bindings and lines",
            "each": row["length"],
            "total": row["used"],
        }


def _sums(supplies: Json) -> Iterator[Json]:
    for cost in supplies["cost"]:
        yield {"kind": "sum", "cost": cost["amount"], "currency": cost["currency"]}
