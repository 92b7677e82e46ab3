"""Strips of one height: how many it takes to cut widths from a cloth, by SciPy's programs."""

from __future__ import annotations

import random
from itertools import combinations

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

from grading.packing.task import Item, PackingTask

WIDTH = 100


def widths(seed: int) -> list[int]:
    chance = random.Random(seed)
    return [chance.randrange(12, 70) for _ in range(chance.randint(5, 9))]


def equally_long(across: list[int], along: int) -> PackingTask:
    return PackingTask(WIDTH, tuple(Item(each, along) for each in across))


def _cuttings(across: list[int]) -> np.ndarray:
    """Every set of widths that fits side by side, as columns of 0 and 1."""
    sets = [
        chosen
        for size in range(1, len(across) + 1)
        for chosen in combinations(range(len(across)), size)
        if sum(across[index] for index in chosen) <= WIDTH
    ]
    return np.array([[index in chosen for chosen in sets] for index in range(len(across))], dtype=float)


def least_strips(across: list[int]) -> int:
    """The least number of strips: each width is in one of the cuttings that are chosen."""
    table = _cuttings(across)
    cover = LinearConstraint(table, lb=1)
    found = milp(np.ones(table.shape[1]), constraints=cover, integrality=np.ones(table.shape[1]), bounds=Bounds(0, 1))
    assert found.success
    return round(found.fun)


def least_shares(across: list[int]) -> float:
    """The same, where a cutting may be chosen in part."""
    table = _cuttings(across)
    found = linprog(np.ones(table.shape[1]), A_ub=-table, b_ub=-np.ones(len(across)))
    assert found.success
    return float(found.fun)
