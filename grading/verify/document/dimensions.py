"""Dimensions and stock lists, as a pattern names them."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from itertools import pairwise

from grading.verify.exact.expressions import THICKNESS
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import Ruler, decimal_or_none, read_length
from grading.verify.reading import choice, fields, items, joined, name, named
from grading.verify.unreadable import refuse

SIZINGS = ("proportion", "fixed", "stock", "decided")
# 20 m: no dimension of a bag is longer; a bound of the format.
LARGEST_BASE = Fraction(20000)


@dataclass(frozen=True)
class Dimension:
    """A named length of the pattern, in mm."""

    name: str
    base: Fraction
    least: Fraction
    most: Fraction | None
    sizing: str
    stock: str | None


@dataclass(frozen=True)
class Dimensions:
    """All lengths by name, and the counts, which are plain numbers."""

    lengths: Mapping[str, Dimension]
    counts: Mapping[str, int]

    @property
    def in_order(self) -> list[str]:
        """The names of lengths and counts; the order does not matter to any claim."""
        return [*self.lengths, *self.counts]


def read_dimensions(value: object, unit: Fraction, stock: Collection[str]) -> Dimensions:
    """Return the dimensions of a document."""
    lengths: dict[str, Dimension] = {}
    counts: dict[str, int] = {}
    for title, entry, path in named(value, "dimensions"):
        if title.startswith(THICKNESS):
            refuse("has the name of a material's thickness", path)
        given = fields(entry, path, ("base",), ("limits", "sizing", "stock", "kind"))
        if choice(given.get("kind"), joined(path, "kind"), ("length", "count"), "length") == "count":
            counts[title] = _count(given["base"], joined(path, "base"))
            choice(given.get("sizing"), joined(path, "sizing"), ("fixed",), "fixed")
            continue
        sizing = choice(given.get("sizing"), joined(path, "sizing"), SIZINGS, "proportion")
        listed = _stock_name(given.get("stock"), sizing, stock, path)
        base = read_length(given["base"], unit, joined(path, "base"))
        if not 0 < base <= LARGEST_BASE:
            refuse("is not above 0 and at most 20 m", joined(path, "base"))
        least, most = _limits(given.get("limits"), unit, joined(path, "limits"))
        lengths[title] = Dimension(title, base, least, most, sizing, listed)
    return Dimensions(lengths, counts)


def _count(value: object, path: str) -> int:
    number = decimal_or_none(value, path)
    if number is None or number.denominator != 1 or not 0 <= number <= 1000:
        refuse("is not a whole number from 0 to 1000", path)
    return number.numerator


def _limits(value: object, unit: Fraction, path: str) -> tuple[Fraction, Fraction | None]:
    if value is None:
        return Fraction(0), None
    least, most = (read_length(item, unit, joined(path, i)) for i, item in enumerate(items(value, path, 2)))
    return least, most


def _stock_name(value: object, sizing: str, stock: Collection[str], path: str) -> str | None:
    if value is None and sizing != "stock":
        return None
    title = name(value, joined(path, "stock"))
    if title not in stock:
        refuse("names no stock list", joined(path, "stock"))
    return title if sizing == "stock" else None


@dataclass(frozen=True)
class Stock:
    """What can be bought, by the name of its list and in mm: by its metric names, and by its names in inches."""

    metric: Mapping[str, tuple[Fraction, ...]]
    imperial: Mapping[str, tuple[Fraction, ...]]

    def on(self, ruler: Ruler) -> Mapping[str, tuple[Fraction, ...]]:
        """Return the lists as they count on a ruler."""
        return self.imperial if ruler.in_inches else self.metric

    def meant(self, title: str, length: Fraction, ruler: Ruler) -> Fraction | None:
        """Return the value of a list that a length stands for: itself, or the other one of its pair; None if none."""
        own = self.on(ruler)[title]
        other = (self.metric if ruler.in_inches else self.imperial)[title]
        if length in own:
            return length
        return own[other.index(length)] if length in other else None


def read_stock(value: object, unit: Fraction) -> Stock:
    """Return the stock lists, each ascending in both systems."""
    lists: tuple[dict[str, tuple[Fraction, ...]], dict[str, tuple[Fraction, ...]]] = ({}, {})
    for title, entry, path in named(value, "stock"):
        pairs = [_pair(item, unit, joined(path, i)) for i, item in enumerate(items(entry, path))]
        for place, found in enumerate(lists):
            found[title] = tuple(pair[place] for pair in pairs)
            if not pairs or any(low >= high for low, high in pairwise(found[title])):
                refuse("is not a list of lengths that rise", path)
    return Stock(*lists)


def _pair(value: object, unit: Fraction, path: str) -> tuple[Fraction, Fraction]:
    if not isinstance(value, dict):
        length = read_length(value, unit, path)
        return length, length
    given = fields(value, path, ("metric", "imperial"))
    metric, imperial = (read_length(given[key], unit, joined(path, key)) for key in ("metric", "imperial"))
    return metric, imperial
