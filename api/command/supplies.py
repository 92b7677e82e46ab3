"""`sizewright supplies`: what a size needs besides its pieces."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import grading
from api.command.files import read_file, to_json
from api.command.tables import Alignment, printable, table, terminal_width

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterator, Mapping

COLUMNS: tuple[tuple[str, Alignment], ...] = (
    ("buy", "right"),
    ("what", "left"),
    ("used", "right"),
    ("left over", "right"),
    ("cost", "right"),
    ("steps", "left"),
    ("for", "left"),
)
THREAD: tuple[tuple[str, Alignment], ...] = (
    ("buy", "right"),
    ("what", "left"),
    ("stitch", "left"),
    ("sewn", "right"),
    ("thread for seam", "right"),
    ("used", "right"),
)
UNKNOWN = "not known"


def run(options: Namespace) -> int:
    """Prints the list as tables, as JSON or as CSV, and with a file of layouts the cloth too."""
    document = grading.read_document(read_file(options.pattern))
    layouts = None if options.layouts is None else read_file(options.layouts)
    grade = grading.grade_size(document, size=options.size)
    supplies = grading.supplies_document(grading.supplies_of(grade, settings(options), layouts))
    if options.json:
        print(to_json(supplies))
    elif options.csv:
        print(grading.supplies_csv(supplies), end="")
    else:
        print("\n\n".join(_parts(supplies, terminal_width())))
    return 0


def settings(options: Namespace) -> dict[str, Any]:
    """The settings of the command line, as the reference has them."""
    given = {
        "waste": options.waste,
        "stitches_per_inch": options.stitches,
        "reel": options.reel,
        "unit": options.unit,
        "ratios": dict(options.ratio) if options.ratio else None,
    }
    return {key: value for key, value in given.items() if value is not None}


def _parts(supplies: Mapping[str, Any], width: int | None) -> Iterator[str]:
    name = supplies["size"]["name"] or "as asked"
    yield f"{printable(supplies['pattern'])}, {printable(name)}: supplies, on a ruler of {supplies['ruler']}"
    yield _table(COLUMNS, [_thing(row) for row in supplies["rows"]], width)
    if supplies["thread"]:
        yield _table(THREAD, [_thread(row) for row in supplies["thread"]], width)
    yield from _sums(supplies)
    for lines in (supplies["needles"], supplies["says"]):
        if lines:
            yield "\n".join(printable(line) for line in lines)


def _table(columns: tuple[tuple[str, Alignment], ...], rows: list[list[str]], width: int | None) -> str:
    return table([heading for heading, _ in columns], [side for _, side in columns], rows, width)


def _thing(row: Mapping[str, Any]) -> list[str]:
    return [
        _bought(row),
        row["buy"]["what"],
        row["total"] or str(row["count"]),
        row["waste"] or "",
        f"{row['cost']['amount']} {row['cost']['currency']}" if "cost" in row else "",
        ", ".join(str(step) for step in row["steps"]),
        row["says"],
    ]


def _bought(row: Mapping[str, Any]) -> str:
    """How much is bought; the length of a zip stands in what it is."""
    buy = row["buy"]
    return f"{buy['count']} ×" if "count" in buy else buy.get("length", "")


def _thread(row: Mapping[str, Any]) -> list[str]:
    buy = row["buy"]
    bought = ["", ""] if buy is None else [f"{buy['count']} ×", buy["what"]]
    return [*bought, row["stitch"], row["length"], row["ratio"] or UNKNOWN, row["used"] or UNKNOWN]


def _sums(supplies: Mapping[str, Any]) -> Iterator[str]:
    if not supplies["cost"]:
        return
    total = " + ".join(f"{cost['amount']} {cost['currency']}" for cost in supplies["cost"])
    unpriced = ", ".join(name.replace("_", " ") for name in supplies["unpriced"])
    yield printable(f"In all {total}" + (f", without {unpriced}, which have no price" if unpriced else ""))
