"""The order form of a document: looked at for its form only, since no claim of a grade rests on it."""

from __future__ import annotations

from grading.verify.fraction import Fraction
from grading.verify.lengths import read_length
from grading.verify.reading import choice, fields, items, named
from grading.verify.unreadable import refuse

MOST = 8
OTHERS = ("at base", "in proportion")


def check_order(value: object, unit: Fraction) -> None:
    """Refuse an order form that is not written as one; None is none."""
    if value is None:
        return
    given = fields(value, "order", ("choose",), ("others",))
    choice(given.get("others"), "order.others", OTHERS, OTHERS[0])
    chosen = list(named(given["choose"], "order.choose"))
    if not 1 <= len(chosen) <= MOST:
        refuse(f"names {len(chosen)} dimensions, not 1 to {MOST}", "order.choose")
    for _, ends, path in chosen:
        least, most = (read_length(end, unit, path) for end in items(ends, path, 2))
        if not 0 < least <= most:
            refuse("has no least value above 0 and a greatest that is not below it", path)
