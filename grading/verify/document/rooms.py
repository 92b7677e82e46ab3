"""Room: the volume inside a bag, as text and as a product of its three measures."""

from __future__ import annotations

import re
from collections.abc import Sequence

from grading.verify.exact.forms import Form
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import INCH, LARGEST_BITS, factor_or_none
from grading.verify.exact.points import Point
from grading.verify.unreadable import refuse

LITRE = Fraction(1_000_000)
VOLUMES = {"L": LITRE, "ml": LITRE / 1000, "cu in": INCH**3}
# How far above what was asked the room may be; part of the format.
MOST_ROOM = Fraction(101, 100)

_VOLUME = re.compile(r"(.*[0-9])\s*(L|ml|cu in)\s*", re.ASCII | re.DOTALL)


def read_volume(value: object, path: str) -> Fraction:
    """Return the mm³ of a text such as `28 L`, `900 ml` or `1200 cu in`."""
    found = _VOLUME.fullmatch(value) if isinstance(value, str) else None
    number = None if found is None else factor_or_none(found.group(1))
    if found is None or number is None or number <= 0:
        refuse('is not a volume such as "28 L"', path)
    return number * VOLUMES[found.group(2)]


def room_inside(inside: Sequence[Form], point: Point) -> Fraction:
    """Return the product of the inside measures in mm³, with PI40."""
    room = Fraction(1)
    for form in inside:
        room *= point.with_pi40(form)
    return room


def printed_volume(room: Fraction) -> str:
    """Return litres with two decimals, half to even."""
    hundredths = round(room / LITRE * 100)
    if hundredths.bit_length() > LARGEST_BITS:
        return "very many litres"
    sign = "-" if hundredths < 0 else ""
    whole, rest = divmod(abs(hundredths), 100)
    return f"{sign}{whole}.{rest:02d} L"
