"""Least lengths: what a certificate shows of every way to lay rectangles on a strip, in whole steps of the grid.

Each kind of certificate rests on one argument. A *bar* is a cut straight across the strip: it crosses pieces that lie
side by side, whose measures across add up to the width at most. If weights are given so that pieces side by side never
weigh more than K together, then the sum of weight × along over all pieces is at most K × length, since each piece is
crossed over its measure along. A *column* is a cut along, and the same holds with across and along changed over.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil
from typing import Any

from grading.verify.cloth.fillings import Choice, TooMuchWork, heaviest, sums
from grading.verify.exact.fraction import Fraction

MOST_ITEMS = 2000
# Beyond them no cloth is measured; they bound the whole numbers of a hostile certificate.
LARGEST_WEIGHT = 10**30
LARGEST_STEPS = 10**12


@dataclass(frozen=True)
class Item:
    """A rectangle to lay, in steps with the gap; `place`: where a motif holds its corner, modulo the repeat."""

    across: int
    along: int
    may_turn: bool
    at_edge: bool = False
    place: tuple[int, int] | None = None


@dataclass(frozen=True)
class Way:
    """One way in which an item may lie, and the least place across and along at which it may."""

    across: int
    along: int
    x: int
    y: int


@dataclass(frozen=True)
class Strip:
    """The items that are laid on a strip of this width; a repeat of 0 is none."""

    width: int
    repeat: tuple[int, int]
    items: tuple[Item, ...]

    @cached_property
    def ways(self) -> tuple[tuple[Way, ...], ...]:
        """The ways of each item that fit between the edges, unturned first."""
        return tuple(tuple(self._ways(item)) for item in self.items)

    def _ways(self, item: Item) -> list[Way]:
        x, y = (self.first(item, axis, 0) or 0 for axis in (0, 1))
        found = [(item.across, item.along)]
        if item.may_turn and not item.at_edge and item.place is None and item.across != item.along:
            found.append((item.along, item.across))
        return [Way(across, along, x, y) for across, along in found if x + across <= self.width]

    def first(self, item: Item, axis: int, least: int) -> int | None:
        """Return the least place from `least` on where an item may lie; None if there is none."""
        repeat = self.repeat[axis]
        place = least if item.place is None or not repeat else least + (item.place[axis] - least) % repeat
        return None if axis == 0 and item.at_edge and place > 0 else place

    def is_held(self, axis: int) -> bool:
        """Whether a motif holds an item in its place, so that pieces cannot be pushed together."""
        return self.repeat[axis] > 0 and any(item.place is not None for item in self.items)

    @cached_property
    def reach(self) -> int:
        """The part of the width that counts: pushed to the near edge, all far edges lie on sums of measures across."""
        if self.is_held(0):
            return self.width
        return sums([{way.across for way in ways} for ways in self.ways], self.width).bit_length() - 1

    @cached_property
    def _lengths(self) -> int | None:
        if self.is_held(1):
            return None
        most = sum(max(way.along for way in ways) for ways in self.ways)
        return sums([{way.along for way in ways} for ways in self.ways], most)

    def up(self, least: Fraction) -> int:
        """Return the least length, from this one on, that a layout pushed to the cut end can have."""
        steps = max(ceil(least), 0)
        if self._lengths is None:
            return steps
        longer = self._lengths >> steps
        # No layout is longer than all pieces one after another; were one needed to be, the certificate would be wrong.
        return steps + (longer & -longer).bit_length() - 1 if longer else steps


class NotShown(Exception):
    """What a certificate says does not follow, or cannot be followed; the text says why."""


def least_length(strip: Strip, certificate: object) -> int:
    """Return the length that the certificate shows to be needed, in steps. Raises `NotShown`."""
    if not isinstance(certificate, Mapping):
        msg = "there is no certificate"
        raise NotShown(msg)
    if not strip.items:
        return 0
    if len(strip.items) > MOST_ITEMS or strip.width > LARGEST_STEPS:
        msg = "there are more pieces or steps than any cloth has"
        raise NotShown(msg)
    if not all(strip.ways):
        msg = "a piece fits in no way that it may lie"
        raise NotShown(msg)
    kind = certificate.get("kind")
    rule = _RULES.get(kind) if isinstance(kind, str) else None
    if rule is None:
        msg = "it is of no kind that is known"
        raise NotShown(msg)
    try:
        return rule(strip, certificate)
    except TooMuchWork:
        msg = "it would take too long to check"
        raise NotShown(msg) from None


def _area(strip: Strip, certificate: Mapping[str, Any]) -> int:
    area = sum(item.across * item.along for item in strip.items)
    return strip.up(Fraction(area, strip.reach))


def _whole(value: object, least: int, most: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        msg = "a number of it is not a whole number that can be"
        raise NotShown(msg)
    return value


def _dual(strip: Strip, certificate: Mapping[str, Any]) -> int:
    width = strip.reach
    name, parameter = certificate.get("name"), _whole(certificate.get("parameter"), 1, LARGEST_STEPS)
    if name == "rounded":
        function, most = _rounded(width, parameter), parameter * width
    elif 2 * parameter > width:
        msg = "its parameter is more than half of the width"
        raise NotShown(msg)
    elif name == "large and small":
        function, most = _large_and_small(width, parameter), width
    elif name == "counted":
        function, most = _counted(width, parameter), 2 * (width // parameter)
    else:
        msg = "it names no function that is known"
        raise NotShown(msg)
    total = sum(min(function(way.across) * way.along for way in ways) for ways in strip.ways)
    return strip.up(Fraction(total, most))


# Each of the three gives pieces side by side no more than its total, whatever they are.


def _large_and_small(width: int, parameter: int) -> Callable[[int], int]:
    # A piece within p of the whole width leaves room for none of p or more.
    return lambda across: width if across > width - parameter else across if across >= parameter else 0


def _counted(width: int, parameter: int) -> Callable[[int], int]:
    # How many strips of p fit in, twice; at most one piece is wider than half, and it gets what the others leave.
    whole = width // parameter

    def function(across: int) -> int:
        if 2 * across > width:
            return 2 * (whole - (width - across) // parameter)
        return whole if 2 * across == width else 2 * (across // parameter)

    return function


def _rounded(width: int, parameter: int) -> Callable[[int], int]:
    # Parts of the width in (p + 1)-ths, put down where they are not whole: fewer than p + 1 of them are left then.
    def function(across: int) -> int:
        whole, rest = divmod((parameter + 1) * across, width)
        return whole * width if rest else parameter * across

    return function


class _Weights:
    """The weights of a certificate: for each way of the items of some measures."""

    def __init__(self, value: object) -> None:
        if not isinstance(value, (list, tuple)) or len(value) > MOST_ITEMS:
            msg = "its weights are no list"
            raise NotShown(msg)
        self._known: dict[tuple[int, int, bool, int], tuple[int, ...]] = {}
        for entry in value:
            if not isinstance(entry, Mapping) or not isinstance(entry.get("ways"), (list, tuple)):
                msg = "a weight of it is not of its form"
                raise NotShown(msg)
            across, along = (_whole(entry.get(key), 0, LARGEST_STEPS) for key in ("across", "along"))
            ways = tuple(_whole(weight, 0, LARGEST_WEIGHT) for weight in entry["ways"])
            key = across, along, entry.get("at_fold") is True, len(ways)
            if key in self._known:
                msg = "it weighs the same measures twice"
                raise NotShown(msg)
            self._known[key] = ways

    def of(self, item: Item, ways: Sequence[Way]) -> Sequence[int]:
        """Return the weight of each way of an item; nothing where no entry is about it."""
        return self._known.get((item.across, item.along, item.at_edge, len(ways)), (0,) * len(ways))


def _weighed(strip: Strip, certificate: Mapping[str, Any]) -> list[list[tuple[Way, int]]]:
    weights = _Weights(certificate.get("weights"))
    pairs = zip(strip.items, strip.ways, strict=True)
    return [list(zip(ways, weights.of(item, ways), strict=True)) for item, ways in pairs]


def _bars(strip: Strip, certificate: Mapping[str, Any]) -> int:
    weighed = _weighed(strip, certificate)
    free: list[list[Choice]] = []
    at_edge: list[Choice] = []
    for item, each in zip(strip.items, weighed, strict=True):
        choices = [(way.across, weight) for way, weight in each]
        if item.at_edge:
            # All of these lie at x = 0: a bar crosses one of them at most.
            at_edge += choices
        else:
            free.append(choices)
    most = heaviest([at_edge, *free], strip.reach)
    total = sum(min(weight * way.along for way, weight in each) for each in weighed)
    return strip.up(Fraction(total, most)) if most else 0


def _columns(strip: Strip, certificate: Mapping[str, Any]) -> int:
    refuted = _whole(certificate.get("refuted"), 0, LARGEST_STEPS)
    # Were a layout of this length possible, no piece would lie in a way that is longer.
    kept = [[(way, weight) for way, weight in each if way.along <= refuted] for each in _weighed(strip, certificate)]
    if all(kept):
        most = heaviest([[(way.along, weight) for way, weight in each] for each in kept], refuted)
        total = sum(min(weight * way.across for way, weight in each) for each in kept)
        if most * strip.reach >= total:
            msg = f"a layout of {refuted} steps is not ruled out"
            raise NotShown(msg)
    return strip.up(Fraction(refuted + 1))


def _longest(strip: Strip, certificate: Mapping[str, Any]) -> int:
    ways = strip.ways[_whole(certificate.get("item"), 0, len(strip.items) - 1)]
    return strip.up(Fraction(min(way.y + way.along for way in ways)))


def _one_after_another(strip: Strip, certificate: Mapping[str, Any]) -> int:
    listed = certificate.get("items")
    if not isinstance(listed, (list, tuple)) or len(listed) > len(strip.items):
        msg = "it lists no pieces"
        raise NotShown(msg)
    places = [_whole(place, 0, len(strip.items) - 1) for place in listed]
    if len(set(places)) != len(places):
        msg = "it lists a piece twice"
        raise NotShown(msg)
    for index, first in enumerate(places):
        for second in places[:index]:
            if _go_side_by_side(strip, first, second) or _go_side_by_side(strip, second, first):
                msg = f"pieces {second} and {first} may lie side by side"
                raise NotShown(msg)
    return strip.up(Fraction(sum(min(way.along for way in strip.ways[place]) for place in places)))


def _go_side_by_side(strip: Strip, near: int, far: int) -> bool:
    """Whether the far item can lie beyond the near one; the near one as far to the side as it may."""
    for way in strip.ways[near]:
        place = strip.first(strip.items[far], 0, way.x + way.across)
        if place is not None and any(place + other.across <= strip.width for other in strip.ways[far]):
            return True
    return False


def _none(strip: Strip, certificate: Mapping[str, Any]) -> int:
    return 0


_RULES: dict[str, Callable[[Strip, Mapping[str, Any]], int]] = {
    "none": _none,
    "area": _area,
    "dual function": _dual,
    "bars": _bars,
    "columns": _columns,
    "longest": _longest,
    "one after another": _one_after_another,
}
