"""Lengths as text: reading them, putting them on a ruler, printing them. Exact, in millimetres."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

from grading.verify.exact.fraction import Fraction
from grading.verify.unreadable import refuse

# An inch is 25.4 mm and a yard 0.9144 m, exactly (NBS Circular 572, addendum of January 1960).
INCH = Fraction(254, 10)
UNITS = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": INCH,
    "ft": 12 * INCH,
    "yd": 36 * INCH,
}
INCH_UNITS = frozenset({"in", "ft", "yd"})
# The finest division that tape measures in inches carry; common practice, no source.
FINEST_INCH = 64
TYPED_DIGITS = 15
PRINTED_DIGITS = 4000
VALUE_DIGITS = 100
LARGEST_BITS = 4096

_LENGTH = re.compile(
    r"\s*(?P<sign>[+-]?)(?:(?P<whole>\d+) +(?=\d+/))?(?P<top>\d+)(?:/(?P<below>\d+)|\.(?P<decimals>\d+))?"
    r"\s*(?P<unit>mm|cm|m|in|ft|yd)\s*",
    re.ASCII,
)
_FACTOR = re.compile(r"\s*([+-]?)(\d+)(?:/(\d+)|\.(\d+))?\s*", re.ASCII)
_PERCENTAGE = re.compile(r"(.*[0-9])\s*%\s*", re.ASCII | re.DOTALL)


def _fraction(sign: str, whole: str | None, top: str, below: str | None, decimals: str | None) -> Fraction | None:
    if below is not None:
        if int(below) == 0:
            return None
        value = Fraction(int(top), int(below)) + int(whole or 0)
    elif decimals is not None:
        value = Fraction(int(top + decimals), 10 ** len(decimals))
    else:
        value = Fraction(int(top))
    return -value if sign == "-" else value


def _too_long(groups: tuple[str | None, ...], digits: int) -> bool:
    return any(group is not None and len(group) > digits for group in groups)


def length_or_none(text: object, digits: int = TYPED_DIGITS) -> Fraction | None:
    """Return the millimetres that a text such as `3 1/8 in` says, or None when it says no length."""
    if not isinstance(text, str):
        return None
    found = _LENGTH.fullmatch(text)
    if found is None:
        return None
    sign, whole, top, below, decimals, unit = found.groups()
    if _too_long((whole, top, below, decimals), digits):
        return None
    value = _fraction(sign, whole, top, below, decimals)
    return None if value is None else value * UNITS[unit]


def decimal_or_none(value: object, path: str) -> Fraction | None:
    """Return the exact decimal that was typed for a JSON number, None for anything else."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    if isinstance(value, float) and not math.isfinite(value):
        refuse("is not a number that can be measured", path)
    number = Fraction(value) if isinstance(value, int) else Fraction(str(value))
    if number.numerator.bit_length() > LARGEST_BITS or number.denominator.bit_length() > LARGEST_BITS:
        refuse("is a number of far too many digits", path)
    return number


def read_length(value: object, unit: Fraction, path: str) -> Fraction:
    """Return a length in mm from its text, or from a bare number in the document's unit."""
    number = decimal_or_none(value, path)
    if number is not None:
        return number * unit
    length = length_or_none(value)
    if length is None:
        refuse('is not a length such as "12.5 mm" or "3 1/8 in"', path)
    return length


def factor_or_none(text: str) -> Fraction | None:
    """Return the number that a text such as `7/10` or `1.25` says, or None."""
    found = _FACTOR.fullmatch(text)
    if found is None or _too_long(found.groups()[1:], TYPED_DIGITS):
        return None
    sign, top, below, decimals = found.groups()
    return _fraction(sign, None, top, below, decimals)


def read_factor(value: object, path: str) -> Fraction:
    """Return a factor from its text or its number."""
    number = decimal_or_none(value, path)
    if number is None and isinstance(value, str):
        number = factor_or_none(value)
    if number is None:
        refuse('is not a factor such as "7/10" or 1.25', path)
    return number


def percentage_or_none(value: object) -> Fraction | None:
    """Return the part of one that a text such as `3 %` says, or None when it is no percentage."""
    if not isinstance(value, str):
        return None
    found = _PERCENTAGE.fullmatch(value)
    number = None if found is None else factor_or_none(found.group(1))
    return None if number is None else number / 100


def put_on(value: Fraction, step: Fraction) -> Fraction:
    """Return the nearest multiple of the step, ties away from zero; what is not zero never becomes zero."""
    if value == 0:
        return value
    count = max(1, math.floor(abs(value) / step + Fraction(1, 2)))
    return count * step if value > 0 else -count * step


def raise_to(value: Fraction, step: Fraction) -> Fraction:
    """Return the least multiple of the step that is not below the value."""
    return -((-value) // step) * step


@dataclass(frozen=True)
class Ruler:
    """A step in mm, and whether its marks are printed in inches."""

    step: Fraction
    in_inches: bool
    _printed: dict[Fraction, str] = field(default_factory=dict, repr=False, compare=False)

    def printed(self, length: Fraction) -> str:
        """Return the text of an exact length as this ruler prints it."""
        text = self._printed.get(length)
        if text is None:
            text = self._printed[length] = _inches(length) if self.in_inches else _millimetres(length)
        return text

    def decimal(self, length: Fraction) -> str:
        """Return a decimal text: two places of a millimetre, or four of an inch."""
        value, places, unit = (length / INCH, 4, "in") if self.in_inches else (length, 2, "mm")
        return f"{_decimal(put_on_nearest(value, places), places)} {unit}"


def put_on_nearest(value: Fraction, places: int) -> int:
    """Return the whole number of the last decimal place that is nearest to the value."""
    scale: int = 10**places
    return math.floor(value * scale + Fraction(1, 2))


def read_ruler(value: object, unit_name: str, path: str) -> Ruler:
    """Return the ruler that a document or a request names; a bare number is in the document's unit."""
    step = read_length(value, UNITS[unit_name], path)
    if step <= 0:
        refuse("is a ruler whose step is not above 0", path)
    found = _LENGTH.fullmatch(value) if isinstance(value, str) else None
    return Ruler(step, (found.group("unit") if found else unit_name) in INCH_UNITS)


def _decimal(count: int, places: int) -> str:
    if count.bit_length() > LARGEST_BITS:
        return "very many digits of"
    digits = str(abs(count)).rjust(places + 1, "0")
    sign = "-" if count < 0 else ""
    return f"{sign}{digits[:-places]}.{digits[-places:]}"


def _millimetres(length: Fraction) -> str:
    top, below = length.numerator, length.denominator
    if max(top.bit_length(), below.bit_length()) > LARGEST_BITS:
        return f"{_decimal(put_on_nearest(length, 2), 2)} mm"
    if below == 1:
        return f"{top} mm"
    twos = (below & -below).bit_length() - 1
    rest, fives = below >> twos, 0
    while rest % 5 == 0:
        rest, fives = rest // 5, fives + 1
    if rest != 1:
        return f"{top}/{below} mm"
    places = max(twos, fives)
    return f"{_decimal(top * 10**places // below, places)} mm"


def _inches(length: Fraction) -> str:
    value = length / INCH
    if FINEST_INCH % value.denominator:
        return _millimetres(length)
    sign = "-" if value < 0 else ""
    whole, part = divmod(abs(value), 1)
    if part == 0:
        return f"{sign}{whole} in"
    fraction = f"{part.numerator}/{part.denominator} in"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"
