"""Exact lengths: rationals of a millimetre, their units, rulers, and enclosures of pi and of square roots.

No float takes part. An inch is 25.4 mm and a yard 0.9144 m exactly since 1 July 1959
(NBS Circular 572 addendum, January 1960).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import isqrt

UNITS: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(254, 10),
    "ft": Fraction(3048, 10),
    "yd": Fraction(9144, 10),
}
"""Millimetres in each unit."""

INCH = UNITS["in"]
MOST_DIGITS = 15
"""Digits that one typed number may have; a float of that many digits is read back as it was typed."""

PI40 = Fraction(3141592653589793238462643383279502884197, 10**39)
"""Pi to 39 decimals: the stated rational of the nearest-size calculation, never of a judgement."""

MOST_CHARACTERS = 100
"""Characters of a text that is read as a number or a length; blanks without end cost time without end."""

_NUMBER = r"\d{1,15}(?:\.\d{1,15})?"
_QUOTIENT = r"(?P<above>\d{1,15})/(?P<below>\d{1,15})"
_LENGTH = re.compile(
    rf"\s*(?P<sign>-?)(?:(?P<whole>\d{{1,15}}) +(?=\d+/))?(?:{_QUOTIENT}|(?P<decimal>{_NUMBER}))"
    r"\s*(?P<unit>mm|cm|m|in|ft|yd)\s*",
    re.ASCII,
)
_FACTOR = re.compile(rf"\s*(?P<sign>-?)(?:{_QUOTIENT}|(?P<decimal>{_NUMBER}))\s*", re.ASCII)
_PERCENT = re.compile(rf"\s*(?P<sign>-?)(?P<value>{_NUMBER})\s*%\s*", re.ASCII)


def shown(value: object) -> str:
    """A value as it is told of in an error, not without end."""
    return "this" if isinstance(value, int) and abs(value) >= 10**MOST_DIGITS else repr(value)[:80]


class NotALength(ValueError):
    """A text that is no length, with what a length looks like."""

    def __init__(self, text: object) -> None:
        self.text = text
        super().__init__(f"{shown(text)} is no length; write it as in '12.5 mm', '3 1/8 in' or '1.2 m'")


class NotANumber(ValueError):
    """A text that is no factor or percentage."""

    def __init__(self, text: object) -> None:
        self.text = text
        super().__init__(f"{shown(text)} is no number; write it as in '7/10', '1.25' or 5")


def looks_like_length(text: str) -> bool:
    """Whether the text is a length with its unit (and so no expression)."""
    return _matched(_LENGTH, text) is not None


def _matched(pattern: re.Pattern[str], text: str) -> re.Match[str] | None:
    return pattern.fullmatch(text) if len(text) <= MOST_CHARACTERS else None


def read_length(value: str | float, unit: str = "mm") -> Fraction:
    """Read a length exactly, in mm.

    A number is in `unit` and read as the decimal that was typed; a text has its own unit. Raises NotALength.

    >>> read_length("3 1/8 in")
    Fraction(635, 8)
    >>> read_length("2 yd") == Fraction("1828.8")
    True
    """
    if isinstance(value, bool):
        raise NotALength(value)
    if isinstance(value, int | float):
        try:
            return _typed(value) * UNITS[unit]
        except NotANumber:
            raise NotALength(value) from None
    match = _matched(_LENGTH, value)
    size = None if match is None else _size_of(match)
    if match is None or size is None:
        raise NotALength(value)
    whole = int(match["whole"] or 0)
    return (-size - whole if match["sign"] else size + whole) * UNITS[match["unit"]]


def _size_of(match: re.Match[str]) -> Fraction | None:
    """The quotient or decimal that was matched, without its sign; None for a quotient by zero."""
    if match["decimal"] is not None:
        return Fraction(match["decimal"])
    below = int(match["below"])
    return Fraction(int(match["above"]), below) if below else None


def _typed(value: float) -> Fraction:
    """The decimal that was typed for a JSON number."""
    if not abs(value) < 10**MOST_DIGITS:  # also NaN
        raise NotANumber(value)
    size = Fraction(repr(value))
    if 10 ** (2 * MOST_DIGITS) % size.denominator:
        raise NotANumber(value)
    return size


def read_number(value: str | float) -> Fraction:
    """Read a plain number or a quotient of two exactly. Raises NotANumber (also for NaN and infinity)."""
    if isinstance(value, bool):
        raise NotANumber(value)
    if isinstance(value, int | float):
        return _typed(value)
    match = _matched(_FACTOR, value)
    size = None if match is None else _size_of(match)
    if match is None or size is None:
        raise NotANumber(value)
    return -size if match["sign"] else size


def read_percentage(text: str) -> Fraction | None:
    """The factor that a percentage stands for ("3 %" is 3/100), or None if the text is no percentage."""
    match = _matched(_PERCENT, text)
    if match is None:
        return None
    size = Fraction(match["value"]) / 100
    return -size if match["sign"] else size


@dataclass(frozen=True)
class Ruler:
    """A step on which measures lie, in mm, and how lengths on it are written."""

    step: Fraction
    in_inches: bool

    def put(self, length: Fraction) -> Fraction:
        """The nearest multiple of the step, ties away from zero; what is not zero never becomes zero."""
        if length == 0:
            return length
        steps = max((abs(length) / self.step + Fraction(1, 2)).__floor__(), 1)
        return self.step * (steps if length > 0 else -steps)

    def raised(self, length: Fraction) -> Fraction:
        """The least multiple of the step that is not below the length."""
        return self.step * -((-length / self.step).__floor__())

    def lies_on(self, length: Fraction) -> bool:
        """Whether the length is a multiple of the step."""
        return (length / self.step).denominator == 1

    def text(self, length: Fraction) -> str:
        """The length as a person reads it; exact."""
        return print_length(length, in_inches=self.in_inches)

    def near_text(self, enclosure: Enclosure) -> str:
        """An irrational length as a decimal within 0.01 mm of the truth."""
        middle = (enclosure.low + enclosure.high) / 2
        if self.in_inches:
            return f"{_decimal(middle / INCH, 4)} in"
        return f"{_decimal(middle, 2)} mm"

    def __str__(self) -> str:
        return self.text(self.step)


def read_ruler(value: str | float, unit: str = "mm") -> Ruler:
    """Read a ruler such as "1 mm" or "1/8 in". Raises NotALength, also for a step that is not above 0."""
    step = read_length(value, unit)
    if step <= 0:
        raise NotALength(value)
    written = value if isinstance(value, str) and looks_like_length(value) else unit
    return Ruler(step, written.rstrip().endswith(("in", "ft", "yd")))


def print_length(length: Fraction, *, in_inches: bool = False) -> str:
    """Write a length exactly: "10 3/8 in" where its denominator divides 64, else in mm.

    >>> print_length(Fraction(635, 8), in_inches=True)
    '3 1/8 in'
    >>> print_length(Fraction(1285, 3))
    '1285/3 mm'
    """
    if in_inches and 64 % (length / INCH).denominator == 0:
        return f"{_mixed(length / INCH)} in"
    return f"{print_number(length)} mm"


def print_number(value: Fraction) -> str:
    """Write a rational exactly: as a decimal when it ends, else as a quotient."""
    denominator = value.denominator
    places = 0
    while denominator % 10 == 0:
        denominator //= 10
        places += 1
    for prime in (2, 5):
        while denominator % prime == 0:
            denominator //= prime
            places += 1
    if denominator != 1:
        return f"{value.numerator}/{value.denominator}"
    return _decimal(value, places).rstrip("0").rstrip(".") if places else str(value.numerator)


def _mixed(inches: Fraction) -> str:
    whole, part = divmod(abs(inches), 1)
    sign = "-" if inches < 0 else ""
    if part == 0:
        return f"{sign}{whole}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def _decimal(value: Fraction, places: int) -> str:
    scaled = round(abs(value) * 10**places)
    digits = str(scaled).rjust(places + 1, "0")
    sign = "-" if value < 0 and scaled else ""
    return f"{sign}{digits[: len(digits) - places]}.{digits[len(digits) - places :]}" if places else sign + digits


@dataclass(frozen=True)
class Enclosure:
    """Two rationals between which a real number lies, both ends included."""

    low: Fraction
    high: Fraction

    def __add__(self, other: Enclosure) -> Enclosure:
        return Enclosure(self.low + other.low, self.high + other.high)

    def times(self, factor: Fraction) -> Enclosure:
        """The enclosure of a rational multiple."""
        ends = (self.low * factor, self.high * factor)
        return Enclosure(min(ends), max(ends))

    @property
    def width(self) -> Fraction:
        """The distance between the two ends."""
        return self.high - self.low


@cache
def enclose_pi(digits: int = 40) -> Enclosure:
    """Enclose pi within 10**-digits, by Machin's formula 16 arctan(1/5) - 4 arctan(1/239) in whole numbers.

    Each of the two series alternates and falls, so that its partial sums enclose it.
    """
    guard = 10 ** (digits + 10)
    low = (16 * _arctan_of_inverse(5, guard)[0]) - (4 * _arctan_of_inverse(239, guard)[1])
    high = (16 * _arctan_of_inverse(5, guard)[1]) - (4 * _arctan_of_inverse(239, guard)[0])
    return Enclosure(Fraction(low, guard), Fraction(high, guard))


def _arctan_of_inverse(n: int, scale: int) -> tuple[int, int]:
    """Whole numbers below and above scale × arctan(1/n)."""
    total, power, k = 0, scale // n, 0
    while power:
        term = power // (2 * k + 1)
        total += -term if k % 2 else term
        power //= n * n
        k += 1
    # Each term and each power lost less than 1 to the whole-number division; the tail is below 1.
    return total - 2 * k - 1, total + 2 * k + 1


def enclose_root(square: Fraction, digits: int = 40) -> Enclosure:
    """Enclose the square root of a rational that is not negative within 10**-digits; exact squares are exact.

    floor(sqrt(n)) <= sqrt(n) < floor(sqrt(n)) + 1 with whole numbers. Raises ValueError below 0.
    """
    if square < 0:
        msg = f"no length has the square {square}"
        raise ValueError(msg)
    over = square.numerator * square.denominator
    exact = isqrt(over)
    if exact * exact == over:
        return Enclosure(Fraction(exact, square.denominator), Fraction(exact, square.denominator))
    scale = 10**digits
    root = isqrt(over * scale * scale)
    below = square.denominator * scale
    return Enclosure(Fraction(root, below), Fraction(root + 1, below))
