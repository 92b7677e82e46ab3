"""Small patterns laid on cloth, and what a layout's document says in numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from grading.cloth import lay_out, write_layouts
from grading.exact import read_length
from grading.pipeline import grade_size, read_document

Json = dict[str, Any]


def rectangle(width: float | str, height: float | str, **piece: Any) -> Json:
    """A piece whose cut edges are its stitching lines."""
    return {
        "outline": {"rectangle": [width, height]},
        "edges": {edge: {"allowance": 0, "fate": "raw"} for edge in ("top", "right", "bottom", "left")},
        "layers": [{"material": "main"}],
        **piece,
    }


def bag(pieces: dict[str, Json], main: Json | None = None, **top: Any) -> Json:
    """A document of these pieces, cut from one cloth of 1000 mm (or another)."""
    return {
        "format": 1,
        "name": "Pieces",
        "dimensions": {"unused": {"base": 100, "sizing": "fixed"}},
        "materials": {"main": {"usable_width": "1000 mm"} | (main or {})},
        "pieces": pieces,
        **top,
    }


def layouts_of(document: Json, settings: Json | None = None, size: str = "base") -> Json:
    """The document of the layouts of a size."""
    return write_layouts(lay_out(grade_size(read_document(document), size=size), settings))


def laid(document: Json, settings: Json | None = None, role: str = "main") -> Json:
    """The layout of one cloth of the base size."""
    layout: Json = layouts_of(document, settings)["cloths"][role]
    return layout


@dataclass(frozen=True)
class Box:
    """Where a piece lies."""

    left: Fraction
    low: Fraction
    right: Fraction
    high: Fraction

    def apart(self, other: Box, gap: Fraction = Fraction(0)) -> bool:
        """Whether the two are a gap apart across or along."""
        across = max(other.left - self.right, self.left - other.right)
        along = max(other.low - self.high, self.low - other.high)
        return max(across, along) >= gap


def box_of(piece: Json) -> Box:
    """The box of a piece (or an offcut) in a layout's document."""
    x, y, across, along = (read_length(piece[key]) for key in ("x", "y", "across", "along"))
    return Box(x, y, x + across, y + along)


def pairs_of(boxes: list[Box]) -> Iterator[tuple[Box, Box]]:
    """Every two of them."""
    return ((one, other) for place, one in enumerate(boxes) for other in boxes[:place])


def length_of(layout: Json) -> Fraction:
    """How long a layout is, in mm."""
    return read_length(layout["length"])
