"""Lengths as they are sold: units of sale, and how such lengths are told."""

from __future__ import annotations

from fractions import Fraction

from grading.exact import UNITS, Enclosure, Ruler, print_length, print_number

METRIC_UNIT = Fraction(100)
"""10 cm, in mm: what webbing, elastic and binding are sold by; common practice, no source."""
IMPERIAL_UNIT = UNITS["yd"] / 8
"""1/8 yd, in mm; common practice, no source."""
SEWN_STEP = Fraction(10)
"""1 cm, in mm: no one measures thread more finely."""
INCHES_IN_A_YARD = 36


def unit_of_sale(ruler: Ruler) -> Fraction:
    """The usual unit of sale in the ruler's system, in mm."""
    return IMPERIAL_UNIT if ruler.in_inches else METRIC_UNIT


def thread_step(ruler: Ruler) -> Fraction:
    """What lengths of thread are raised to, in mm."""
    return IMPERIAL_UNIT if ruler.in_inches else SEWN_STEP


def raised(length: Fraction, step: Fraction) -> Fraction:
    """The least multiple of the step that is not below the length."""
    return step * -(-length // step)


def sewn_length(length: Enclosure) -> Fraction:
    """A length that is sewn, for counting thread: its upper end, raised to 1 cm."""
    return raised(length.high, SEWN_STEP)


def sold_text(ruler: Ruler, length: Fraction) -> str:
    """A length as it is asked for in a shop: in metres (below one in centimetres) or in yards; exact.

    >>> sold_text(Ruler(Fraction(1), False), Fraction(1200))
    '1.2 m'
    >>> sold_text(Ruler(Fraction(127, 40), True), UNITS["yd"] * Fraction(25, 8))
    '3 1/8 yd'
    """
    # A thirty-sixth of a length has as many inches as it has yards.
    yards = print_length(length / INCHES_IN_A_YARD, in_inches=True)
    if ruler.in_inches and yards.endswith(" in"):
        return f"{yards.removesuffix('in')}yd"
    unit = "m" if length >= UNITS["m"] else "cm"
    number = print_number(length / UNITS[unit])
    return ruler.text(length) if "/" in number else f"{number} {unit}"
