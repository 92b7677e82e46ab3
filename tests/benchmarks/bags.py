"""Pieces of bags, in mm, as many as asked: panels, gussets, pockets, facings, straps and tabs, main fabric and lining.

Sizes are drawn as bags have them (common practice, no source); pieces that are sewn to each other agree in their
measures. Strips that the cloth is longer for than wide lie along it.
"""

from __future__ import annotations

import random
from collections.abc import Iterator

from grading.packing.task import Item, PackingTask

WIDTH = 1060
"""mm: cloth of 1.1 m with its selvages off."""


def bag_task(seed: int, count: int = 40, *, turnable: bool) -> PackingTask:
    """Pieces of one bag after the other until there are enough."""
    chance = random.Random(seed)
    items: list[Item] = []
    while len(items) < count:
        items += (Item(across, along, turnable) for across, along in _bag(chance))
    return PackingTask(WIDTH, tuple(items[:count]))


def _bag(chance: random.Random) -> Iterator[tuple[int, int]]:
    """Width and height of each piece, seam allowances included."""
    width, height, depth = chance.randint(180, 420), chance.randint(160, 430), chance.randint(60, 180)
    for _ in range(2 * chance.choice((1, 2))):
        yield width, height
    sides = chance.choice((1, 2))
    for _ in range(2 * sides):
        yield depth, height
    for _ in range(sides):
        yield width, depth
    for _ in range(2):
        yield width, chance.randint(40, 70)
    for _ in range(chance.randint(1, 3)):
        pocket = chance.randint(120, width - 20), chance.randint(100, max(110, height - 40))
        for _ in range(2):
            yield pocket
    strap = chance.randint(60, 110), chance.randint(400, 980)
    for _ in range(chance.choice((1, 2))):
        yield strap
    tab = chance.randint(45, 80), chance.randint(50, 130)
    for _ in range(chance.choice((0, 2, 4))):
        yield tab
