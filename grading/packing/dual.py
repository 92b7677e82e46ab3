"""Dual feasible functions: weights for measures across such that what lies side by side never weighs more than a total.

Sources: S. Fekete and J. Schepers, "New classes of fast lower bounds for bin packing problems", Mathematical
Programming 91 (2001) 11-31; J. Carlier, F. Clautiaux and A. Moukrim, "New reduction procedures and lower bounds for
the two-dimensional bin packing problem with fixed orientation", Computers & Operations Research 34 (2007) 2223-2250
(from memory). For all of them: w1 + w2 + ... <= width implies f(w1) + f(w2) + ... <= f's total.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

MOST_PARAMETERS = 100
"""Parameters tried of each function; more of them hardly ever give more."""
MOST_TIMES = 20


@dataclass(frozen=True)
class DualFunction:
    """One function of a family, for one width: `name` and `parameter` say which, as in `dual_function`."""

    name: str
    parameter: int
    total: int
    value: Callable[[int], int]


def large_and_small(width: int, least: int) -> DualFunction:
    """Small measures count nothing, those that leave room only for small ones count the whole width."""

    def value(across: int) -> int:
        return width if across > width - least else (across if across >= least else 0)

    return DualFunction("large and small", least, width, value)


def counted(width: int, unit: int) -> DualFunction:
    """How many units go into a measure; for one above half of the width, what the rest of the width does not take."""

    def value(across: int) -> int:
        if 2 * across > width:
            return 2 * (width // unit - (width - across) // unit)
        return width // unit if 2 * across == width else 2 * (across // unit)

    return DualFunction("counted", unit, 2 * (width // unit), value)


def rounded(width: int, times: int) -> DualFunction:
    """Shares of the width rounded down to multiples of 1/times, seen in parts of 1/(times + 1)."""

    def value(across: int) -> int:
        parts = (times + 1) * across
        return times * across if parts % width == 0 else parts // width * width

    return DualFunction("rounded", times, times * width, value)


FAMILIES: dict[str, Callable[[int, int], DualFunction]] = {
    "large and small": large_and_small,
    "counted": counted,
    "rounded": rounded,
}


def dual_functions(width: int, measures: Iterable[int]) -> Iterator[DualFunction]:
    """Functions worth trying for items with these measures across."""
    halves = sorted({min(across, width - across) for across in measures if 0 < across < width})
    chosen = halves[:: len(halves) // MOST_PARAMETERS + 1]
    for parameter in chosen:
        yield large_and_small(width, parameter)
        yield counted(width, parameter)
    for times in range(1, MOST_TIMES):
        yield rounded(width, times)
