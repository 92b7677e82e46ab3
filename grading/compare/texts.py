"""Lengths as people read them beside each other."""

from __future__ import annotations

from fractions import Fraction

from grading.exact import Enclosure, Ruler

LONGEST_EXACT = 16
"""Characters of an exact length that a person still reads as a number."""


def exactly(value: Fraction) -> Enclosure:
    """The enclosure of a rational length."""
    return Enclosure(value, value)


def shown(ruler: Ruler, length: Enclosure) -> str:
    """A length: exact where it is short to write, else a decimal within 0.01 mm."""
    if length.low == length.high:
        text = ruler.text(length.low)
        if len(text) <= LONGEST_EXACT and not ("/" in text and text.endswith(" mm")):
            return text
    return ruler.near_text(length)


def shown_change(ruler: Ruler, before: Enclosure, after: Enclosure) -> str:
    """How much longer (+) or shorter (-) a length has become."""
    by = after + before.times(Fraction(-1))
    text = shown(ruler, by)
    return text if text.startswith("-") else f"+{text}"


def apart(left: Enclosure, right: Enclosure) -> bool:
    """Whether two lengths surely differ."""
    return left.high < right.low or right.high < left.low
