"""Settings of supplies: how much thread goes to waste, how it is stitched and sold, in full as they were used."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from grading.verify.document.seams import STITCH
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import percentage_or_none, read_factor, read_length
from grading.verify.reading import fields, joined
from grading.verify.unreadable import refuse

NEEDED = ("waste", "stitches_per_inch", "reel", "unit", "corner", "tape", "ratios")


@dataclass(frozen=True)
class SupplySettings:
    """Lengths in mm; `waste` is a part of one; `ratios` are lengths of thread per length of seam by class of stitch."""

    waste: Fraction
    stitches_per_inch: Fraction
    reel: Fraction
    unit: Fraction
    corner: Fraction
    tape: Fraction
    ratios: Mapping[str, Fraction]


def read_supply_settings(value: object, unit: Fraction) -> SupplySettings:
    """Return the settings; all of them have to be there."""
    path = "settings"
    given = fields(value, path, NEEDED)
    waste = percentage_or_none(given["waste"])
    if waste is None or waste < 0:
        refuse('is not a percentage such as "15 %"', joined(path, "waste"))
    stitches = read_factor(given["stitches_per_inch"], joined(path, "stitches_per_inch"))
    lengths = {key: read_length(given[key], unit, joined(path, key)) for key in ("reel", "unit", "corner", "tape")}
    for key, number in (("stitches_per_inch", stitches), ("reel", lengths["reel"]), ("unit", lengths["unit"])):
        if number <= 0:
            refuse("is not above 0", joined(path, key))
    for key in ("corner", "tape"):
        if lengths[key] < 0:
            refuse("is below 0", joined(path, key))
    ratios = {}
    where = joined(path, "ratios")
    if not isinstance(given["ratios"], dict):
        refuse("is not an object of numbers by class of stitch", where)
    for stitch, number in given["ratios"].items():
        if not isinstance(stitch, str) or STITCH.fullmatch(stitch) is None:
            refuse('has a key that is no class of stitch such as "301"', where)
        ratios[stitch] = read_factor(number, joined(where, stitch))
        if ratios[stitch] <= 0:
            refuse("is not above 0", joined(where, stitch))
    return SupplySettings(waste, stitches, ratios=ratios, **lengths)
