"""Classes of stitch by ISO 4915, and how much thread each takes for a length of seam."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.exact import INCH

LOCKSTITCH = "301"
"""What a household machine sews, and what is meant where nothing is said."""

NAMES: Mapping[str, str] = {
    "101": "chainstitch, one thread",
    "103": "blind stitch",
    "301": "lockstitch",
    "304": "zigzag lockstitch",
    "401": "chainstitch, two threads",
    "406": "cover stitch, two needles",
    "503": "overedge, two threads",
    "504": "overedge, three threads",
    "512": "overedge, four threads",
    "514": "overedge, four threads",
    "516": "safety stitch",
    "602": "cover stitch, four threads",
    "605": "cover stitch, five threads",
}
"""What the classes are called, from memory; a class that is not listed goes by its number."""


@dataclass(frozen=True)
class Consumption:
    """Thread for a length of seam: `along` lengths of it, and `through` times its thickness at every stitch.

    textilecalculations.com, "Calculate amount of sewing thread consumption"; 401 also textiletechinsight.com.
    """

    along: int
    through: int

    def ratio(self, thickness: Fraction, stitches_per_inch: Fraction) -> Fraction:
        """Lengths of thread for one length of seam; the thickness stitched through in mm.

        >>> CONSUMPTION["301"].ratio(Fraction("0.254"), Fraction(10))
        Fraction(11, 5)
        """
        return self.along + self.through * (thickness / INCH) * stitches_per_inch


CONSUMPTION: Mapping[str, Consumption] = {
    "101": Consumption(3, 2),
    "301": Consumption(2, 2),
    "401": Consumption(4, 2),
}
"""The classes whose thread is a sum of these two; others depend on the width of the stitch, or sources differ on them
(504: 3 + 4WS + 4TS and 5 + 4S(W + T) are both printed)."""


def title(stitch: str) -> str:
    """A class as a maker knows it."""
    return f"{stitch}, {NAMES[stitch]}" if stitch in NAMES else stitch
