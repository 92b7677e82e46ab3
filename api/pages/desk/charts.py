"""Sizes side by side: the rows of a size chart."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


@dataclass(frozen=True)
class ChartRow:
    """A measure in every size; a dash where a size does not have it."""

    name: str
    says: str
    cells: tuple[str, ...]
    opens: str = ""
    """The title of the group that begins with this row."""


def chart_rows(chart: Mapping[str, Any]) -> tuple[ChartRow, ...]:
    """The dimensions, the room inside, the pieces and what is bought from stock, in every size that was made."""
    return tuple(_rows(chart))


def _rows(chart: Mapping[str, Any]) -> Iterator[ChartRow]:
    made = [size["made"] or {} for size in chart["sizes"]]
    title = "Dimensions"
    for name in _names(made, "dimensions"):
        cells = tuple(_shown(each.get("dimensions", {}).get(name)) for each in made)
        yield ChartRow(name, str(chart.get("titles", {}).get(name) or ""), cells, title)
        title = ""
    if any(each.get("volume") for each in made):
        yield ChartRow("room inside", "", tuple(_shown(each.get("volume")) for each in made), "Room")
    title = "Pieces, stitched: width × height"
    for name in _names(made, "pieces"):
        boxes = [each.get("pieces", {}).get(name) for each in made]
        cells = tuple("–" if box is None else f"{box['width']} × {box['height']}" for box in boxes)
        yield ChartRow(name, "", cells, title)
        title = ""
    title = "Bought by the stock size"
    for name in _names(made, "stock"):
        yield ChartRow(name, "", tuple(_shown(each.get("stock", {}).get(name)) for each in made), title)
        title = ""


def _names(made: list[Any], part: str) -> list[str]:
    return list(dict.fromkeys(name for each in made for name in each.get(part) or {}))


def _shown(value: Any) -> str:
    return "–" if value is None else str(value)
