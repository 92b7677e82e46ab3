"""Papers and what can be printed on them.

A4 and A3 by ISO 216; letter is 8.5 × 11 in (ANSI/ASME Y14.1, from memory). Rolls have the width that they say.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from grading.drawing.measure import INCH
from grading.errors import Fault, RequestFaults

SHEETS: dict[str, tuple[float, float]] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "letter": (8.5 * INCH, 11 * INCH),
}
ROLL = re.compile(r"roll-(?P<width>[0-9]{1,4}(\.[0-9]{1,2})?)(?P<unit>mm|in)", re.ASCII)
PATTERN = r"^(A4|A3|letter|roll-[0-9]{1,4}(\.[0-9]{1,2})?(mm|in))$"
"""How a paper is written."""
LEAST_ROLL, MOST_ROLL = 200.0, 2000.0
LONGEST = 4800.0
"""The longest page on a roll in mm; a PDF page ends at 200 in (ISO 32000-1, annex C)."""
MARGIN, FOOT = 10.0, 16.0
OVERLAP = 10.0
"""How much two pages that are joined lie on each other."""


@dataclass(frozen=True)
class Paper:
    """A paper in mm: its size, and its frame within the margins, in which pieces are drawn.

    Pages that are joined lie on each other by `overlap`, so the next one begins `pitch` further.
    """

    name: str
    width: float
    height: float
    overlap: float = OVERLAP
    endless: bool = False

    @property
    def frame(self) -> tuple[float, float]:
        """Width and height of what can be drawn on."""
        return self.width - 2 * MARGIN, self.height - MARGIN - FOOT

    @property
    def pitch(self) -> tuple[float, float]:
        """How far the frames of neighbouring pages lie apart."""
        return self.frame[0] - self.overlap, self.frame[1] - self.overlap


def paper(name: str) -> Paper:
    """A paper by its name: A4, A3, letter, or a roll as in roll-36in, roll-914mm. Raises RequestFaults."""
    if name in SHEETS:
        return Paper(name, *SHEETS[name])
    roll = ROLL.fullmatch(name)
    if roll is None:
        raise _unknown(name)
    width = float(Fraction(roll["width"])) * (INCH if roll["unit"] == "in" else 1)
    if not LEAST_ROLL <= width <= MOST_ROLL:
        raise _unknown(name)
    return Paper(name, width, LONGEST, endless=True)


def _unknown(name: str) -> RequestFaults:
    remedy = "write A4, A3, letter, or a roll from 200 mm to 2000 mm wide, as in roll-36in or roll-914mm"
    return RequestFaults([Fault("paper", f"{name[:40]!r} is no paper that is known", remedy)])
