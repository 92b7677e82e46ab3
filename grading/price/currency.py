"""Currencies and their minor units: the whole numbers that money is counted in."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

USUAL_DIGITS = 2
DIGITS = {
    **dict.fromkeys(
        ("BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND", "VUV", "XAF"), 0
    ),
    **dict.fromkeys(("XOF", "XPF"), 0),
    **dict.fromkeys(("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"), 3),
    **dict.fromkeys(("CLF", "UYW"), 4),
}
"""Digits after the point where they are not two, by ISO 4217; compared with its table A.1 of 28 March 2014, UGX, CLF
and UYW, which have changed since, from memory. What is no currency there is told with two."""


@dataclass(frozen=True)
class Currency:
    """A currency by its three letters, and how many digits its minor unit has."""

    code: str
    digits: int

    def minor(self, amount: Fraction) -> int:
        """An amount in minor units, half up.

        >>> Currency("EUR", 2).minor(Fraction("2.405")), Currency("JPY", 0).minor(Fraction("2.4"))
        (241, 2)
        """
        return int((amount * 10**self.digits + Fraction(1, 2)) // 1)

    def number(self, minor: int) -> str:
        """Minor units as a decimal text.

        >>> Currency("KWD", 3).number(-1050)
        '-1.050'
        """
        whole, rest = divmod(abs(minor), 10**self.digits)
        sign = "-" if minor < 0 else ""
        return f"{sign}{whole}.{rest:0{self.digits}d}" if self.digits else f"{sign}{whole}"

    def text(self, minor: int) -> str:
        """Minor units with the currency: "12.30 EUR"."""
        return f"{self.number(minor)} {self.code}"


def currency_of(code: str) -> Currency:
    """The currency of a code."""
    return Currency(code, DIGITS.get(code, USUAL_DIGITS))
