"""The skyline against a plain list of heights, and both decoders against what their packings use."""

from __future__ import annotations

import random
from itertools import pairwise

import numpy as np
import pytest

from grading.packing.annealing import BY_GAPS, decode
from grading.packing.check import check_packing
from grading.packing.sequence import LEAST_WASTE, LOWEST
from grading.packing.skyline import ENDLESS, lay
from grading.packing.table import ACROSS, ALONG, START, WAY, Table, Whole, X, Y, table_of
from grading.packing.task import PackingTask
from tests.grading.packing import tasks

WIDTH = 24
RULES = (BY_GAPS, LOWEST, LEAST_WASTE)


def test_skyline_is_that_of_a_list_of_heights() -> None:
    chance = random.Random(1)
    for _ in range(200):
        heights = [0] * WIDTH
        edges, tops = np.zeros(2 * WIDTH, dtype=np.int64), np.zeros(2 * WIDTH, dtype=np.int64)
        edges[1], count = WIDTH, 1
        for _ in range(20):
            near = chance.randrange(WIDTH)
            far = chance.randint(near + 1, WIDTH)
            top = max(heights[near:far]) + chance.randint(1, 3)
            segment = int(np.searchsorted(edges[:count], near, side="right")) - 1
            count = lay(edges, tops, count, segment, near, far, top)
            heights[near:far] = [top] * (far - near)
            assert edges[count] == WIDTH
            spans = list(zip(pairwise(edges[: count + 1].tolist()), tops[:count].tolist(), strict=True))
            assert [height for (begin, end), height in spans for _ in range(end - begin)] == heights
            assert all(one != other for one, other in pairwise(tops[:count].tolist()))


def decoded(table: Table, order: Whole, rule: int, target: int, limit: int) -> tuple[int, int, Whole]:
    places = np.zeros((3, table.count), dtype=np.int64)
    length, beyond = decode(
        order, rule, target, limit, table.strip, table.items, table.ways, table.widths, table.width_table,
        table.heights, table.height_table, table.sets, table.lists, table.edges, table.tops, places,
    )  # fmt: skip
    return length, beyond, places


def random_order(table: Table, chance: random.Random) -> Whole:
    starts = table.items[START].tolist()
    ways = [chance.randrange(first, end) for first, end in pairwise(starts)]
    chance.shuffle(ways)
    return np.array(ways, dtype=np.int64)


def skyline_beyond(task: PackingTask, table: Table, places: Whole, target: int) -> int:
    """The area under the skyline of the placed items that lies beyond the target."""
    heights = [0] * task.width
    for item in range(table.count):
        way, near, end = places[WAY, item], places[X, item], places[Y, item]
        for x in range(near, near + table.ways[ACROSS, way]):
            heights[x] = max(heights[x], int(end + table.ways[ALONG, way]))
    return sum(max(0, height - target) for height in heights)


@pytest.mark.parametrize("rule", RULES)
def test_orders_become_packings_and_their_area_beyond_the_target_is_told(rule: int) -> None:
    chance = random.Random(2)
    for seed in range(40):
        task = tasks.bag(12, 120, seed, turnable=seed % 2 == 0)
        table = table_of(task)
        order = random_order(table, chance)
        length, _, places = decoded(table, order, rule, 0, ENDLESS)
        check_packing(task, table.packing(length, places))
        for target in (length - 1, length * 3 // 4, length // 2):
            _, beyond, again = decoded(table, order, rule, target, ENDLESS)
            assert (again == places).all()
            raised = beyond - skyline_beyond(task, table, places, target)
            assert raised == 0 if rule != BY_GAPS else raised >= 0


@pytest.mark.parametrize("rule", RULES)
def test_decoding_is_given_up_only_above_the_limit(rule: int) -> None:
    chance = random.Random(3)
    given_up = 0
    for seed in range(40):
        task = tasks.bag(12, 120, seed, turnable=True)
        table = table_of(task)
        order = random_order(table, chance)
        length, _, _ = decoded(table, order, rule, 0, ENDLESS)
        target = length * 9 // 10
        _, beyond, _ = decoded(table, order, rule, target, ENDLESS)
        assert decoded(table, order, rule, target, beyond)[1] == beyond
        if beyond:
            assert decoded(table, order, rule, target, beyond - 1)[:2] == (ENDLESS, ENDLESS)
            given_up += 1
    assert given_up
