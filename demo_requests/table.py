"""The cut lists of several sizes of one pattern, side by side, as a table of plain text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

Row = Mapping[str, Any]
ABSENT = "-"


def cut_table(sizes: Mapping[str, Sequence[Row]]) -> str:
    """One line a row of the cut list: letter, piece, material, count, cut width and height in each size.

    `sizes` gives the rows of each size's cut list by the size's name; the first size sets the order. Counts
    that differ from size to size are all shown, with a slash between. Lengths are shown as the cut list has
    them; a unit that all share moves into the heading.
    """
    unit = _shared_unit(sizes)
    rows = {name: {_key(row): row for row in listed} for name, listed in sizes.items()}
    keys = list(dict.fromkeys(key for listed in rows.values() for key in listed))
    table = [
        [*_labels(key, rows), *(cell for listed in rows.values() for cell in _cut(listed.get(key), unit))]
        for key in keys
    ]
    over = ["", "", "", "", *(cell for name in sizes for cell in (name, ""))]
    heading = ["", "piece", "material", "count", *(cell for _ in sizes for cell in ("width", "height"))]
    note = (
        f"Cut width and height in {unit}, seam allowances included unless the cut list says otherwise." if unit else ""
    )
    return "\n".join([*_drawn(over, heading, table), *([note] if note else [])])


def _key(row: Row) -> tuple[str, str, str]:
    return str(row["piece"]), str(row["layer"]), str(row["material"])


def _labels(key: tuple[str, str, str], rows: Mapping[str, Mapping[tuple[str, str, str], Row]]) -> list[str]:
    found = [listed[key] for listed in rows.values() if key in listed]
    piece, layer, material = key
    named = piece.replace("_", " ") + ("" if layer in (material, "strip") else f", {layer.replace('_', ' ')}")
    counts = "/".join(dict.fromkeys(_count(row) for row in found))
    return [str(found[0]["letter"]), named, material.replace("_", " "), counts]


def _count(row: Row) -> str:
    plain, mirrored = int(row["count"]), int(row["mirrored"])
    return f"{plain} + {mirrored} mirrored" if mirrored else str(plain)


def _cut(row: Row | None, unit: str) -> tuple[str, str]:
    if row is None:
        return ABSENT, ABSENT
    across, along = _bare(row["across"], unit), _bare(row["along"], unit)
    return (along, across) if row["grain"] == "across" else (across, along)


def _shared_unit(sizes: Mapping[str, Sequence[Row]]) -> str:
    units = {str(row[way]).rpartition(" ")[2] for rows in sizes.values() for row in rows for way in ("across", "along")}
    return units.pop() if len(units) == 1 else ""


def _bare(length: str, unit: str) -> str:
    return length.removesuffix(f" {unit}") if unit else length


def _drawn(over: Sequence[str], heading: Sequence[str], table: Sequence[Sequence[str]]) -> list[str]:
    widths = [max(len(line[column]) for line in [heading, *table]) for column in range(len(heading))]
    for first in range(4, len(heading), 2):
        widths[first] = max(widths[first], len(over[first]) - widths[first + 1] - 2)
    lines = [_line(line, widths) for line in [heading, *table]]
    groups = [f"{over[first]:^{widths[first] + widths[first + 1] + 2}}" for first in range(4, len(heading), 2)]
    left = " " * (sum(widths[:4]) + 2 * 4)
    return [(left + "  ".join(groups)).rstrip(), lines[0], "-" * max(map(len, lines)), *lines[1:]]


def _line(cells: Sequence[str], widths: Sequence[int]) -> str:
    words = [f"{cell:<{width}}" for cell, width in zip(cells[:3], widths[:3], strict=True)]
    numbers = [f"{cell:>{width}}" for cell, width in zip(cells[3:], widths[3:], strict=True)]
    return "  ".join([*words, *numbers]).rstrip()
