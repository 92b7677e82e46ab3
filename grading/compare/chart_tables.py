"""The size chart as rows: a measure a row, a size a column; and as comma-separated values for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from grading.grade.tables import cell

Json = Mapping[str, Any]
SIDES = ("width", "height", "depth")
NOT_MADE = "cannot be made"


@dataclass(frozen=True)
class ChartRow:
    """One measure in all sizes, in a part of the chart; empty where a size has none."""

    part: str
    measure: str
    title: str
    values: tuple[str, ...]


def chart_rows(chart: Json) -> tuple[ChartRow, ...]:
    """The rows of a chart's document: whether each size is made, dimensions, finished measures, what is bought."""
    sizes = [size["made"] for size in chart["sizes"]]
    titles = chart["titles"]
    rows = [ChartRow("ruler", "ruler", "", tuple(NOT_MADE if size is None else size["ruler"] for size in sizes))]

    def add(part: str, found: Callable[[Json], Mapping[str, str]]) -> None:
        columns = [{} if size is None else found(size) for size in sizes]
        for name in dict.fromkeys(name for column in columns for name in column):
            values = tuple(column.get(name, "") for column in columns)
            rows.append(ChartRow(part, name, titles.get(name, "") if part in _OF_DIMENSIONS else "", values))

    add("dimension", lambda size: size["dimensions"])
    add("inside", lambda size: dict(zip(SIDES, size["inside"] or (), strict=False)))
    add("inside", lambda size: {} if size["volume"] is None else {"volume": size["volume"]})
    add("finished", lambda size: {f"{name} {side}": box[side] for name, box in size["pieces"].items() for side in box})
    add("from stock", lambda size: size["stock"])
    add("zip, in the bag", lambda size: {name: each["length"] for name, each in size["zips"].items()})
    add("zip, bought", lambda size: {name: each["bought"] or "" for name, each in size["zips"].items()})
    return tuple(rows)


_OF_DIMENSIONS = frozenset({"dimension", "from stock"})


def chart_notes(chart: Json) -> Iterator[tuple[str, str]]:
    """Each size with what held it back, or why it cannot be made: the size's name and a sentence."""
    for size in chart["sizes"]:
        if size["made"] is None:
            refused = size["refused"]
            remedy = f"; this would help: {refused['remedy']}" if refused["remedy"] else ""
            yield size["name"], f"{NOT_MADE}: {refused['says']}{remedy}"
            continue
        for held in size["made"]["held"]:
            yield size["name"], held["says"]


def chart_table(chart: Json) -> str:
    """A chart's document as CSV (RFC 4180): a row for each measure, then one for each note on a size."""
    output = io.StringIO()
    writer = csv.writer(output, lineterminator="\r\n")
    names = [size["name"] for size in chart["sizes"]]
    writer.writerow([cell(text) for text in ("part", "measure", "title", *names)])
    for row in chart_rows(chart):
        writer.writerow([cell(text) for text in (row.part, row.measure, row.title, *row.values)])
    for name, says in chart_notes(chart):
        notes = [says if name == column else "" for column in names]
        writer.writerow([cell(text) for text in ("note", "", "", *notes)])
    return output.getvalue()
