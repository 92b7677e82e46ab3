"""What shows whether a sheet was printed at true scale: lines of 100 mm and of 4 in, a square, the outline of a card.

An identity or bank card is 85.60 × 53.98 mm (ISO/IEC 7810, ID-1, from memory), with corners of about 3 mm.
"""

from __future__ import annotations

from collections.abc import Iterator

from grading.drawing.cut_path import Place
from grading.drawing.measure import INCH
from grading.drawing.scene import ArcTo, Line, LineTo, Mark, Path, Polyline, Words

METRIC, IMPERIAL = 100.0, 4 * INCH
SQUARE = 50.0
CARD = (85.60, 53.98)
CARD_CORNER = 3.18
"""ISO/IEC 7810 allows 2.88 to 3.48 mm, from memory."""
TICK = 1.0
REACH = 118.0
"""How far the lines and their words go to the right."""


def check_lines(at: Place) -> Iterator[Mark]:
    """Two lines above one another from the same upright, 100 mm and 4 in long, `at` the left end of the lower one."""
    for rise, length, says in ((0.0, IMPERIAL, "4 in"), (3.6, METRIC, "100 mm")):
        left, y = at[0], at[1] + rise
        yield Line((left, y), (left + length, y), "narrow", "check")
        for x in (left, left + length):
            yield Line((x, y - TICK), (x, y + TICK), "narrow", "check")
        yield Words(says, (left + length + 1.5, y - 0.8), 2.4)


def check_square(corner: Place) -> Iterator[Mark]:
    """A square of 50 mm, `corner` its lower left one."""
    x, y = corner
    ring = ((x, y), (x + SQUARE, y), (x + SQUARE, y + SQUARE), (x, y + SQUARE))
    yield Polyline(ring, "narrow", "check", closed=True)
    yield Words("50 mm each way", (x + SQUARE / 2, y + SQUARE / 2 - 1), 2.6, "middle")


def check_card(corner: Place) -> Iterator[Mark]:
    """The outline of a card, `corner` the lower left one of its box."""
    (x, y), (wide, high), r = corner, CARD, CARD_CORNER
    parts = (
        LineTo((x + wide - r, y)),
        ArcTo((x + wide, y + r), (x + wide - r, y + r), False),
        LineTo((x + wide, y + high - r)),
        ArcTo((x + wide - r, y + high), (x + wide - r, y + high - r), False),
        LineTo((x + r, y + high)),
        ArcTo((x, y + high - r), (x + r, y + high - r), False),
        LineTo((x, y + r)),
        ArcTo((x + r, y), (x + r, y + r), False),
    )
    yield Path((x + r, y), parts, "narrow", "check", closed=True)
    yield Words("A bank card fits this outline.", (x + wide / 2, y + high / 2 + 1), 2.6, "middle")
    yield Words("85.60 × 53.98 mm", (x + wide / 2, y + high / 2 - 3), 2.6, "middle")
