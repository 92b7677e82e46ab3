"""Thread: how much of it each class of stitch takes, and how many reels that is."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Any

from grading.verify.cloth.purchase import amount_text
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import INCH, UNITS, Ruler, raise_to
from grading.verify.printing.leaves import Same, Words
from grading.verify.supplies.stitching import SEWN_STEP, Sewn
from grading.verify.supplies.supply_settings import SupplySettings

# Lengths of thread per length of seam beside those between the layers: textilecalculations.com,
# calculate-amount-of-sewing-thread-consumption.
PLAIN = {"101": 3, "301": 2, "401": 4}
INCH_STEP = UNITS["yd"] / 8


def thread_rows(sewn: Iterable[Sewn], settings: SupplySettings, ruler: Ruler) -> Iterator[dict[str, Any]]:
    """Yield what is expected of each class of stitch, in ascending order."""
    classes: dict[str, list[Sewn]] = {}
    for item in sewn:
        classes.setdefault(item.stitch, []).append(item)
    step = INCH_STEP if ruler.in_inches else SEWN_STEP
    for stitch in sorted(classes):
        items = classes[stitch]
        length = sum((item.length * item.times for item in items), Fraction(0))
        found: dict[str, Any] = {
            "stitch": stitch,
            "seams": [item.title for item in items],
            "length": _same(raise_to(length, step), ruler),
            "ratio": None,
            "used": None,
            "buy": None,
        }
        taken = [consumption(item, settings) for item in items]
        if all(ratio is not None for ratio in taken) and length > 0:
            thread = sum(
                (item.length * item.times * (ratio or 0) for item, ratio in zip(items, taken, strict=True)), Fraction(0)
            )
            used = raise_to(thread * (1 + settings.waste), step)
            found["ratio"] = amount_text(thread / length)
            found["used"] = _same(used, ruler)
            found["buy"] = {"what": Words(), "count": math.ceil(used / settings.reel)}
        yield found


def consumption(item: Sewn, settings: SupplySettings) -> Fraction | None:
    """Return the length of thread per length of seam; None for a class of which it is not known."""
    if item.stitch in settings.ratios:
        return settings.ratios[item.stitch]
    if item.stitch not in PLAIN:
        return None
    return PLAIN[item.stitch] + 2 * item.thickness / INCH * settings.stitches_per_inch


def _same(length: Fraction, ruler: Ruler) -> Same:
    return Same((length, length), ruler)
