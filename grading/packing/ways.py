"""The ways in which an item may lie, items that are alike, and the lengths that a packing pushed together can have."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import gcd
from typing import Final

from grading.packing.errors import DoesNotFit
from grading.packing.task import Item, PackingTask

MOST_SUMS: Final = 2_000_000
"""Up to so many lengths are listed one by one."""


@dataclass(frozen=True)
class Way:
    """An item as it lies: its measures in steps."""

    across: int
    along: int
    turned: bool


@dataclass(frozen=True)
class Kind:
    """Items that are alike but for their motif: their measures, their ways, and how many there are."""

    across: int
    along: int
    at_fold: bool
    ways: tuple[Way, ...]
    count: int

    @property
    def turnable(self) -> bool:
        """Whether there is a choice of ways; a way too wide for the strip is no choice."""
        return len(self.ways) > 1


def first_place(offset: int, repeat: int, least: int) -> int:
    """The first place from `least` on that is the offset modulo the repeat; `least` itself without a repeat."""
    return least + (offset - least) % repeat if repeat else least


def ways_of(task: PackingTask, index: int) -> tuple[Way, ...]:
    """The ways in which an item of the task fits between the edges, unturned first. Raises DoesNotFit."""
    item = task.items[index]
    ways = [Way(item.across, item.along, turned=False)]
    if may_turn(item):
        ways.append(Way(item.along, item.across, turned=True))
    start = first_across(task, item, 0)
    fitting = tuple(way for way in ways if start + way.across <= task.width)
    if not fitting or (item.at_fold and start != 0):
        raise DoesNotFit(index, start + min(way.across for way in ways), task.width)
    return fitting


def may_turn(item: Item) -> bool:
    """Whether turning the item is allowed and changes it."""
    return item.turnable and not item.at_fold and item.motif is None and item.across != item.along


def first_across(task: PackingTask, item: Item, least: int) -> int:
    """The first place across from `least` on where the item's motif allows it to lie."""
    return first_place(item.motif[0], task.repeat[0], least) if item.motif else least


def first_along(task: PackingTask, item: Item, least: int) -> int:
    """The first place along from `least` on where the item's motif allows it to lie."""
    return first_place(item.motif[1], task.repeat[1], least) if item.motif else least


def kinds_of(task: PackingTask) -> tuple[Kind, ...]:
    """The items by kind, in the order in which each kind comes up first. Raises DoesNotFit."""
    counts: dict[tuple[int, int, bool, tuple[Way, ...]], int] = {}
    for index, item in enumerate(task.items):
        key = (item.across, item.along, item.at_fold, ways_of(task, index))
        counts[key] = counts.get(key, 0) + 1
    return tuple(Kind(*key, count) for key, count in counts.items())


def sums(choices: Iterable[Iterable[int]], most: int) -> int:
    """Which whole numbers up to `most` are sums with at most one number of each choice: bit n is set for n."""
    mask = (1 << (most + 1)) - 1
    reached = 1
    for choice in choices:
        before = reached
        for number in choice:
            reached |= before << number
        reached &= mask
    return reached


def reachable_width(task: PackingTask) -> int:
    """The part of the width that a packing pushed to the near edge can take: the greatest sum of measures across.

    Every item then lies at the edge or against another. The whole width where a motif holds items in place across.
    """
    if task.repeat[0] and any(item.motif for item in task.items):
        return task.width
    ways = (ways_of(task, index) for index in range(len(task.items)))
    return sums(((way.across for way in each) for each in ways), task.width).bit_length() - 1


class Lengths:
    """The lengths that a packing pushed to the start can have: sums of measures along; any, where a motif holds.

    Where sums are too many to be listed, multiples of the greatest common divisor: fewer lengths are excluded then.
    """

    def __init__(self, task: PackingTask) -> None:
        alongs = [[way.along for way in ways_of(task, index)] for index in range(len(task.items))]
        held = task.repeat[1] and any(item.motif for item in task.items)
        self._unit = 1 if held else gcd(*(along for each in alongs for along in each)) or 1
        most = sum(map(max, alongs)) // self._unit
        listed = not held and most <= MOST_SUMS
        self._reached = sums(([along // self._unit for along in each] for each in alongs), most) if listed else None

    def up(self, length: int) -> int:
        """The least of these lengths that is not below this one."""
        units = max(-(-length // self._unit), 0)
        further = self._reached >> units if self._reached is not None else 1
        return (units + max((further & -further).bit_length() - 1, 0)) * self._unit
