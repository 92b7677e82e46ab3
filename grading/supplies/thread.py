"""Thread: how much each class of stitch takes, and how many reels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from grading.exact import Ruler
from grading.supplies.cost import rounded
from grading.supplies.lengths import raised, thread_step
from grading.supplies.settings import SupplySettings
from grading.supplies.sewing import Sewn
from grading.supplies.stitches import CONSUMPTION


@dataclass(frozen=True)
class ThreadRow:
    """The thread of one class of stitch. Lengths in mm; `length` is what is sewn, all passes counted.

    `ratio` is thread for seam to two decimals, before the waste; it, `used` and `reels` are None for a class whose
    thread is not known.
    """

    stitch: str
    sewn: tuple[str, ...]
    length: Fraction
    ratio: Fraction | None
    used: Fraction | None
    reels: int | None


def consumption(stitch: str, thickness: Fraction, settings: SupplySettings) -> Fraction | None:
    """Lengths of thread for one length of seam through a thickness in mm: as measured, else by the class's formula."""
    measured = settings.ratio(stitch)
    if measured is not None or stitch not in CONSUMPTION:
        return measured
    return CONSUMPTION[stitch].ratio(thickness, settings.stitches_per_inch)


def thread_rows(sewn: Sequence[Sewn], settings: SupplySettings, ruler: Ruler) -> tuple[ThreadRow, ...]:
    """The thread of each class, by its number."""
    classes: dict[str, list[Sewn]] = {}
    for each in sewn:
        classes.setdefault(each.stitch, []).append(each)
    return tuple(_row(stitch, classes[stitch], settings, ruler) for stitch in sorted(classes))


def _row(stitch: str, sewn: Sequence[Sewn], settings: SupplySettings, ruler: Ruler) -> ThreadRow:
    step, names = thread_step(ruler), tuple(each.name for each in sewn)
    length = sum((each.length * each.passes for each in sewn), Fraction(0))
    taken = Fraction(0)
    for each in sewn:
        ratio = consumption(stitch, each.thickness, settings)
        if ratio is None:
            return ThreadRow(stitch, names, raised(length, step), None, None, None)
        taken += each.length * each.passes * ratio
    used = raised(taken * (1 + settings.waste), step)
    ratio = rounded(taken / length) if length else Fraction(0)
    return ThreadRow(stitch, names, raised(length, step), ratio, used, ceil(used / settings.reel))
