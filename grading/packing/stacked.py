"""Bounds on the length from single items, and from items of which no two can lie side by side."""

from __future__ import annotations

from collections.abc import Callable

from grading.packing.task import Item, PackingTask
from grading.packing.ways import first_across, first_along, ways_of


def longest_item(task: PackingTask) -> tuple[int, int]:
    """The index of the item that reaches furthest by itself, and how far at least, in steps."""
    reach = [
        first_along(task, item, 0) + min(way.along for way in ways_of(task, index))
        for index, item in enumerate(task.items)
    ]
    return max(enumerate(reach), key=lambda each: each[1])


def one_after_another(task: PackingTask) -> tuple[list[int], int]:
    """Indices of items of which no two can lie side by side, and what their lengths add up to at least, in steps."""
    across = [min(way.across for way in ways_of(task, index)) for index in range(len(task.items))]
    along = [min(way.along for way in ways_of(task, index)) for index in range(len(task.items))]
    beside = _Beside(task)
    orders: tuple[Callable[[int], tuple[int, ...]], ...] = (
        lambda index: (-across[index], index),
        lambda index: (not task.items[index].at_fold, -across[index], index),
    )
    chosen = [_greedily(sorted(range(len(task.items)), key=order), beside) for order in orders]
    best = max(chosen, key=lambda items: sum(along[index] for index in items))
    return sorted(best), sum(along[index] for index in best)


def _greedily(order: list[int], beside: _Beside) -> list[int]:
    chosen: list[int] = []
    for index in order:
        if not any(beside(index, other) for other in chosen):
            chosen.append(index)
    return chosen


class _Beside:
    """Whether two items of a task can lie side by side in some way; alike pairs are judged once."""

    def __init__(self, task: PackingTask) -> None:
        self._task = task
        self._known: dict[tuple[Item, Item], bool] = {}

    def __call__(self, one: int, other: int) -> bool:
        pair = self._task.items[one], self._task.items[other]
        if pair not in self._known:
            self._known[pair] = self._beyond(one, other) or self._beyond(other, one)
        return self._known[pair]

    def _beyond(self, nearer: int, further: int) -> bool:
        """Whether the further item fits with the nearer one between it and x = 0."""
        first, second = self._task.items[nearer], self._task.items[further]
        if second.at_fold:
            return False
        start = 0 if first.at_fold else first_across(self._task, first, 0)
        beyond = start + min(way.across for way in ways_of(self._task, nearer))
        place = first_across(self._task, second, beyond)
        return place + min(way.across for way in ways_of(self._task, further)) <= self._task.width
