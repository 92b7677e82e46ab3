"""Tasks for the tests of packing: seeded sets of items, published instances, and tasks as plain data."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from grading.packing.task import Item, PackingTask

PUBLISHED = Path(__file__).parents[2] / "benchmarks" / "data" / "strip_packing_c.json"
"""The C instances of Hopper and Turton (2001), CC0; the source stands in the file."""


def published(*, turnable: bool, seed: int | None = None) -> Iterator[tuple[str, int, PackingTask]]:
    """Name, least length (known, with and without turning) and task of each; shuffled, as their order tells much."""
    for instance in json.loads(PUBLISHED.read_text())["instances"]:
        items = [Item(w, h, turnable) for w, h, count in instance["items"] for _ in range(count)]
        if seed is not None:
            random.Random(seed).shuffle(items)
        yield instance["name"], instance["H_opt"], PackingTask(instance["W"], tuple(items))


def small(seed: int, *, most: int = 6, motifs: bool = True) -> PackingTask:
    """A few items on a strip of 6 to 12 steps: some turnable, some at the fold, some with a motif."""
    chance = random.Random(seed)
    width, repeat = chance.randint(6, 12), (chance.choice((0, 3, 4)), chance.choice((0, 2, 5)))
    with_motif, at_fold = motifs and chance.random() < 0.4, chance.random() < 0.3
    items = []
    for _ in range(chance.randint(2, most)):
        across, along = chance.randint(1, 6), chance.randint(1, 8)
        fold = at_fold and chance.random() < 0.5
        motif = None
        if with_motif and not fold and chance.random() < 0.6:
            motif = (chance.randrange(width - across + 1), chance.randrange(6))
        items.append(Item(across, along, chance.random() < 0.5, motif, fold))
    return PackingTask(width, tuple(items), repeat)


def bag(count: int, width: int, seed: int, *, turnable: bool) -> PackingTask:
    """Rectangles as a bag has them, most of them more than once, in steps of 5 mm."""
    chance = random.Random(seed)
    items: list[Item] = []
    while len(items) < count:
        across, along = chance.randrange(8, 100), chance.randrange(8, 100)
        items += [Item(across, along, turnable)] * chance.choice((1, 1, 2, 2, 4))
    return PackingTask(width, tuple(items[:count]))


def plain(task: PackingTask) -> dict[str, Any]:
    """The task as plain data, as it may come from a file."""
    return {
        "width": task.width,
        "repeat": list(task.repeat),
        "items": [
            {
                "across": item.across,
                "along": item.along,
                "turnable": item.turnable,
                "motif": item.motif,
                "at_fold": item.at_fold,
            }
            for item in task.items
        ],
    }
