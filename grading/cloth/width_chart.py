"""The printed chart that turns yards of one width of cloth into yards of another: a rule of thumb, no layout.

The widely reprinted yardage chart, with its rule: see sewwithsarah.com, "Fabric conversion chart"; hookedonsewing.com,
"Fabric yardage conversion chart". It takes no account of what is cut: lay the pieces out to know.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from grading.exact import INCH, UNITS

SAYS = "by the printed chart, a rule of thumb: no pieces were laid out"

WIDTHS = ((35, 36), (39, 39), (41, 41), (44, 45), (50, 50), (52, 54), (58, 60), (66, 66))
"""The widths of the chart's columns in inches, from and to."""

EXTRA = Fraction(1, 4) * UNITS["yd"]
"""What the chart's rule adds for a large difference in widths, a one-way cloth, or sleeves cut in one with the body."""

_EIGHTHS = (
    (14, 12, 12, 11, 10, 9, 8, 7),
    (16, 14, 14, 13, 12, 11, 10, 9),
    (18, 16, 16, 14, 13, 12, 11, 10),
    (20, 18, 18, 17, 14, 14, 13, 12),
    (23, 20, 20, 18, 16, 15, 14, 13),
    (25, 22, 22, 20, 18, 16, 15, 14),
    (27, 24, 23, 22, 19, 18, 16, 15),
    (30, 26, 25, 23, 21, 19, 18, 17),
    (34, 28, 27, 25, 22, 21, 19, 18),
    (36, 30, 29, 27, 24, 22, 21, 20),
    (38, 32, 31, 29, 26, 23, 22, 21),
    (40, 34, 33, 31, 27, 25, 23, 22),
)
"""Its rows, in eighths of a yard."""

YARDS = tuple(tuple(Fraction(eighths, 8) for eighths in row) for row in _EIGHTHS)


@dataclass(frozen=True)
class ChartReading:
    """What the chart says for another width, in mm; `says` is what kind of answer that is."""

    length: Fraction
    row: int
    says: str = SAYS


def width_chart(
    length: Fraction, width: Fraction, other: Fraction, *, needs_extra: bool = False
) -> ChartReading | None:
    """What the printed chart has at another width for a length (all in mm) at one width.

    The row is the first whose entry at `width` is not below the length; widths between two columns are read as the
    narrower one. `needs_extra` adds the chart's quarter of a yard. None off the chart.
    """
    column, other_column = _column(width), _column(other)
    if column is None or other_column is None:
        return None
    for number, row in enumerate(YARDS):
        if row[column] * UNITS["yd"] >= length:
            extra = EXTRA if needs_extra else Fraction(0)
            return ChartReading(row[other_column] * UNITS["yd"] + extra, number)
    return None


def _column(width: Fraction) -> int | None:
    columns = [number for number, (least, _) in enumerate(WIDTHS) if least * INCH <= width]
    return columns[-1] if columns else None
