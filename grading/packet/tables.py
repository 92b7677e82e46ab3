"""Lists of several orders at once: what to cut, and what to buy."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any

from grading.exact import read_length, read_ruler
from grading.grade.tables import cell
from grading.packet.job import Job
from grading.supplies.lengths import raised, sold_text

CUT_COLUMNS = (
    "order",
    "letter",
    "piece",
    "layer",
    "cloth",
    "count",
    "mirrored",
    "kind",
    "grain",
    "across",
    "along",
    "allowance",
    "strips",
    "cut",
)
BUY_COLUMNS = ("kind", "what to buy", "length to buy", "count to buy", "orders", "bought")
BANDS = frozenset({"webbing", "elastic", "binding"})
Json = Mapping[str, Any]


def cut_table(jobs: Sequence[Job]) -> str:
    """What to cut for all orders as CSV (RFC 4180), cloth by cloth; counts are of all bags."""
    rows = [(job, row) for job in jobs for row in job.grade["cut_list"]]
    rows.sort(key=lambda pair: pair[0].cloth_title(pair[1]["material"]))
    return _table(CUT_COLUMNS, (_cut(job, row) for job, row in rows))


def buy_table(jobs: Sequence[Job], cloths: Sequence[tuple[str, Json]]) -> str:
    """What to buy for all orders as CSV (RFC 4180): cloth by the layouts given (name and layout), then findings."""
    return _table(BUY_COLUMNS, (*_cloths(cloths), *_findings(jobs)))


def _table(columns: Sequence[str], rows: Iterator[list[Any]] | Sequence[list[Any]]) -> str:
    output = io.StringIO()
    writer = csv.writer(output, lineterminator="\r\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow([cell(value) for value in row])
    return output.getvalue()


def _cut(job: Job, row: Json) -> list[Any]:
    count, mirrored = row["count"] * job.quantity, row["mirrored"] * job.quantity
    strips = row["strips"] or {}
    return [
        job.number,
        f"{job.number}{row['letter']}",
        row["piece"],
        row["layer"],
        job.cloth_title(row["material"]),
        count,
        mirrored,
        *(row[key] for key in ("kind", "grain", "across", "along", "allowance")),
        strips.get("count"),
        None,
    ]


def _cloths(cloths: Sequence[tuple[str, Json]]) -> Iterator[list[Any]]:
    for name, layout in cloths:
        buy = layout["buy"]
        yield ["cloth", name, buy.get("length"), buy.get("sheets"), None, None]


def _findings(jobs: Sequence[Job]) -> Iterator[list[Any]]:
    """Things that are bought alike, at one price, go together: lengths are added, then raised to what is sold."""
    totals: dict[tuple[str, str, str, str], tuple[Fraction, int, list[int], Job]] = {}
    for job in jobs:
        for row in job.supplies["rows"]:
            if row["kind"] in {"cloth", "sheet"} or not row["buy"].keys() & {"length", "count"}:
                continue
            is_band = row["kind"] in BANDS
            price = str(job.document["findings"][row["findings"][0]].get("price"))
            key = (row["kind"], row["buy"]["what"], "" if is_band else str(row["buy"].get("length", "")), price)
            length, count, numbers, first = totals.get(key, (Fraction(0), 0, [], job))
            length += read_length(row["total"]) * job.quantity if is_band else 0
            count += 0 if is_band else int(row["buy"]["count"]) * job.quantity
            totals[key] = length, count, [*numbers, *([] if job.number in numbers else [job.number])], first
    for (kind, what, each, _), (length, count, numbers, first) in totals.items():
        unit = read_length(first.supplies["settings"]["unit"])
        bought = sold_text(read_ruler(first.grade["ruler"]), raised(length, unit)) if kind in BANDS else each
        yield [kind, what, bought, count or None, ", ".join(map(str, numbers)), None]
