"""Lengths in a customer's unit, exact: read as typed, written exactly or as about, limits rounded inwards."""

from __future__ import annotations

import re
from fractions import Fraction

UNITS = ("mm", "cm", "in")
"""The units that a customer may choose."""
MILLIMETRES = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(254, 10),
    "ft": Fraction(3048, 10),
    "yd": Fraction(9144, 10),
}
"""Millimetres in each unit; an inch is 25.4 mm exactly since 1 July 1959 (NBS Circular 572 addendum, 1960)."""
STEPS = {"mm": Fraction(1), "cm": Fraction(1), "in": Fraction(254, 80)}
"""To what measures are proposed and limits rounded, in mm: 1 mm, and 1/8 in."""
FINEST_INCH = 64
MOST_CHARACTERS = 40
_FRACTION = r"(?:(?P<whole>[0-9]{1,7})[ -]+)?(?P<above>[0-9]{1,7})/(?P<below>[0-9]{1,7})"
_NUMBER = rf"{_FRACTION}|(?P<decimal>[0-9]{{1,7}}(?:[.,][0-9]{{1,6}})?)"
_TYPED = re.compile(rf"(?:{_NUMBER})\s*(?P<unit>mm|cm|m|in|ft|yd|\"|″|inch|inches)?", re.ASCII | re.IGNORECASE)


def read(typed: str, unit: str) -> Fraction | None:
    """A length in mm as it was typed, a bare number in `unit`; None for what is no length above 0.

    >>> read("14 1/2", "in") == Fraction("368.3"), read("36,5 cm", "mm") == 365
    (True, True)
    """
    found = _TYPED.fullmatch(typed.strip()) if len(typed) <= MOST_CHARACTERS else None
    if found is None or (found["below"] is not None and not int(found["below"])):
        return None
    if found["decimal"] is not None:
        value = Fraction(found["decimal"].replace(",", "."))
    else:
        value = int(found["whole"] or 0) + Fraction(int(found["above"]), int(found["below"]))
    named = (found["unit"] or unit).lower()
    length = value * MILLIMETRES.get(named, MILLIMETRES["in"])
    return length if length > 0 else None


def number(length: Fraction, unit: str) -> str | None:
    """The number of a length in a unit, exactly; None where the unit cannot write it (inches: in 64ths).

    >>> number(Fraction("368.3"), "in"), number(Fraction(365), "cm"), number(Fraction(360), "in")
    ('14 1/2', '36.5', None)
    """
    value = length / MILLIMETRES[unit]
    if unit == "in":
        if FINEST_INCH % value.denominator:
            return None
        whole, rest = divmod(value, 1)
        return f"{whole} {rest}" if whole and rest else str(rest or whole)
    if 10**6 % value.denominator:
        return None
    return f"{float(value):.6f}".rstrip("0").rstrip(".")


def shown(length: Fraction, unit: str) -> str:
    """A length as a customer reads it: exact, or told as about to two decimals."""
    written = number(length, unit)
    return f"about {float(length / MILLIMETRES[unit]):.2f} {unit}" if written is None else f"{written} {unit}"


def proposed(length: Fraction, unit: str, least: Fraction, greatest: Fraction) -> str:
    """A length as it stands in a field: exact where the unit can write it, else on the unit's step within the ends."""
    written = number(length, unit)
    if written is not None:
        return written
    step = STEPS[unit]
    near = round(length / step) * step
    near = near if least <= near <= greatest else inner(least, greatest, unit)[0 if near < least else 1]
    return number(near, unit) or str(float(near / MILLIMETRES[unit]))


def inner(least: Fraction, greatest: Fraction, unit: str) -> tuple[Fraction, Fraction]:
    """Both ends rounded inwards to the unit's step, so that what is shown can be had; as they are where none lies in.

    >>> [shown(each, "in") for each in inner(Fraction(240), Fraction(500), "in")]
    ['9 1/2 in', '19 5/8 in']
    """
    step = STEPS[unit]
    low, high = -((-least / step).__floor__()) * step, (greatest / step).__floor__() * step
    return (low, high) if low <= high else (least, greatest)


def exact(text: str) -> Fraction:
    """A length that the interface printed, in mm; raises ValueError."""
    length = read(text, "mm")
    if length is None:
        raise ValueError(text)
    return length


def sent(length: Fraction) -> str:
    """A length as it is sent to the interface, exact."""
    return f"{number(length, 'mm') or length} mm"
