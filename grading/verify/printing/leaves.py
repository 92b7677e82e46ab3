"""Leaves: what a printed number or text must be, and whether what is printed is that."""

from __future__ import annotations

import re
from dataclasses import dataclass

from grading.verify.exact.enclosures import Enclosure
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import PRINTED_DIGITS, Ruler, length_or_none

# How far a printed decimal may be from the truth (mm); part of the format.
DECIMAL_BOUND = Fraction(1, 100)

_DECIMAL_MM = re.compile(r"-?\d{1,15}\.\d{2} mm", re.ASCII)
_DECIMAL_IN = re.compile(r"-?\d{1,15}\.\d{4} in", re.ASCII)
_DECIMAL_WORD = r"(-?\d{1,15}(?:\.\d{1,15}|/\d{1,15})? (?:mm|in))"


@dataclass(frozen=True, slots=True)
class About:
    """A length with pi or a root: a decimal of the ruler's places within 0.01 mm, or the exact text if rational."""

    value: Enclosure
    ruler: Ruler

    def accepts(self, given: object) -> bool:
        """Whether the given text prints the value."""
        low, high = self.value
        if low == high and given == self.ruler.printed(low):
            return True
        shape = _DECIMAL_IN if self.ruler.in_inches else _DECIMAL_MM
        return isinstance(given, str) and shape.fullmatch(given) is not None and _is_within(given, self.value)

    @property
    def text(self) -> str:
        """What is expected, as text."""
        return self.ruler.decimal((self.value[0] + self.value[1]) / 2)


@dataclass(frozen=True, slots=True)
class Near:
    """A length printed in any exact or decimal way within 0.01 mm."""

    value: Fraction
    ruler: Ruler

    def accepts(self, given: object) -> bool:
        """Whether the given text is a length near the value."""
        return _is_within(given, (self.value, self.value))

    @property
    def text(self) -> str:
        """What is expected, as text."""
        return self.ruler.decimal(self.value)


@dataclass(frozen=True, slots=True)
class OneOf:
    """One of several texts."""

    texts: tuple[str | None, ...]

    def accepts(self, given: object) -> bool:
        """Whether the given text is one of them."""
        return any(given == text and type(given) is type(text) for text in self.texts)

    @property
    def text(self) -> str:
        """What is expected, as text."""
        return " or ".join("nothing" if text is None else text for text in self.texts)


@dataclass(frozen=True, slots=True)
class Filled:
    """A text in which some measures are decimals."""

    parts: tuple[str | About, ...]

    def accepts(self, given: object) -> bool:
        """Whether the given text is the same with decimals that are near enough."""
        if not isinstance(given, str):
            return False
        pattern = "".join(re.escape(part) if isinstance(part, str) else _DECIMAL_WORD for part in self.parts)
        found = re.fullmatch(pattern, given)
        measures = [part for part in self.parts if not isinstance(part, str)]
        return found is not None and all(
            measure.accepts(word) for measure, word in zip(measures, found.groups(), strict=True)
        )

    @property
    def text(self) -> str:
        """What is expected, as text."""
        return "".join(part if isinstance(part, str) else part.text for part in self.parts)


@dataclass(frozen=True, slots=True)
class Same:
    """A length in any unit: exactly the value where that is rational, else a decimal within 0.01 mm."""

    value: Enclosure
    ruler: Ruler

    def accepts(self, given: object) -> bool:
        """Whether the given text is the length."""
        if self.value[0] != self.value[1]:
            return _is_within(given, self.value)
        return length_or_none(given, PRINTED_DIGITS) == self.value[0]

    @property
    def text(self) -> str:
        """What is expected, as text."""
        low, high = self.value
        return self.ruler.printed(low) if low == high else self.ruler.decimal((low + high) / 2)


@dataclass(frozen=True, slots=True)
class Words:
    """Any text: it is for people."""

    def accepts(self, given: object) -> bool:
        """Whether it is a text."""
        return isinstance(given, str)

    @property
    def text(self) -> str:
        """What is expected, as text."""
        return "words"


Leaf = About | Near | OneOf | Filled | Same | Words


def _is_within(given: object, value: Enclosure) -> bool:
    length = length_or_none(given, PRINTED_DIGITS)
    return length is not None and length - value[0] <= DECIMAL_BOUND and value[1] - length <= DECIMAL_BOUND


def length_leaf(value: Enclosure, rational: bool, ruler: Ruler) -> str | About:
    """Return what a length prints as: its exact text when it has neither pi nor roots, else a decimal."""
    return ruler.printed(value[0]) if rational and value[0] == value[1] else About(value, ruler)


def filled(parts: list[str | About]) -> str | Filled:
    """Return a text with its measures filled in."""
    if all(isinstance(part, str) for part in parts):
        return "".join(part for part in parts if isinstance(part, str))
    return Filled(tuple(parts))
