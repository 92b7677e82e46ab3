"""`sizewright chart`: all named sizes of a pattern beside each other."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import grading
from api.command.files import read_file, to_json
from api.command.tables import Alignment, printable, table, terminal_width
from grading.compare.chart_tables import ChartRow, chart_notes, chart_rows

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Mapping

UNDER = "dimension"
RULER = "ruler"


def run(options: Namespace) -> int:
    """Prints the chart as a table, as JSON or as CSV; 1 if a size cannot be made, which is told with the reason."""
    chart = grading.chart_document(grading.size_chart(grading.read_document(read_file(options.pattern))))
    if options.json:
        print(to_json(chart))
    elif options.csv:
        print(grading.chart_csv(chart), end="")
    else:
        print(report(chart, terminal_width()))
    return 1 if any(size["made"] is None for size in chart["sizes"]) else 0


def report(chart: Mapping[str, Any], width: int | None) -> str:
    """A table of all measures by size, and below it what held each size back, or why it cannot be made."""
    names = [size["name"] for size in chart["sizes"]]
    head = f"{printable(chart['pattern'])}, {len(names)} sizes" + (f": {chart['says']}" if chart["says"] else "")
    right: Alignment = "right"
    alignments: list[Alignment] = ["left", *[right] * len(names)]
    rows = [[_measure(row), *row.values] for row in chart_rows(chart)]
    parts = [head, table(["", *(_words(name) for name in names)], alignments, rows, width)]
    notes = [f"  {_words(name)}: {printable(says)}" for name, says in chart_notes(chart)]
    if notes:
        parts.append("\n".join(["What held the sizes back:", *notes]))
    return "\n\n".join(parts)


def _measure(row: ChartRow) -> str:
    """What a row is of: dimensions by their name, the others with the part of the chart before it."""
    return _words(row.measure) if row.part in (UNDER, RULER) else f"{row.part}: {_words(row.measure)}"


def _words(name: str) -> str:
    return printable(name.replace("_", " "))
