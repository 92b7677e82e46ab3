"""The check of a packing names what is wrong, and agrees with a general geometry library on overlaps."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import combinations

import pytest
from shapely import box

from grading.packing.check import WrongPacking, check_packing
from grading.packing.task import Item, Packing, PackingTask, Position

TASK = PackingTask(
    10,
    (Item(4, 3), Item(6, 2, turnable=True), Item(2, 2, motif=(1, 2)), Item(3, 5, at_fold=True)),
    repeat=(5, 4),
)
RIGHT = Packing(8, (Position(0, 0), Position(4, 0, turned=False), Position(6, 2), Position(0, 3)))


def with_position(index: int, position: Position, length: int = 8) -> Packing:
    positions = list(RIGHT.positions)
    positions[index] = position
    return Packing(length, tuple(positions))


def test_right_packing_passes() -> None:
    check_packing(TASK, RIGHT)


@pytest.mark.parametrize(
    ("packing", "told"),
    [
        (with_position(1, Position(3, 0)), "items 0 and 1 overlap"),
        (with_position(1, Position(5, 0)), "leaves the strip of 10"),
        (with_position(0, Position(-1, 0)), "leaves the strip"),
        (with_position(0, Position(0, -1)), "leaves the strip"),
        (with_position(0, Position(5, 4, turned=True)), "is turned and may not be"),
        (with_position(2, Position(6, 2, turned=True)), "is turned and may not be"),
        (with_position(2, Position(7, 2)), "is off its motif"),
        (with_position(2, Position(6, 3)), "is off its motif"),
        (with_position(3, Position(1, 3)), "does not lie at the fold"),
        (replace(RIGHT, length=9), "the last item ends at 8"),
        (replace(RIGHT, positions=RIGHT.positions[:3]), "3 positions for 4 items"),
    ],
)
def test_what_is_wrong_is_told(packing: Packing, told: str) -> None:
    with pytest.raises(WrongPacking, match=told):
        check_packing(TASK, packing)


def test_turnable_item_may_be_turned() -> None:
    check_packing(TASK, with_position(1, Position(4, 0, turned=True)))


def test_motif_counts_only_where_there_is_a_repeat() -> None:
    across_only = replace(TASK, repeat=(5, 0))
    check_packing(across_only, with_position(2, Position(6, 3)))


def test_overlaps_are_those_of_a_geometry_library() -> None:
    chance = random.Random(7)
    seen = set()
    for _ in range(400):
        count = chance.randint(2, 5)
        items = tuple(Item(chance.randint(1, 5), chance.randint(1, 5)) for _ in range(count))
        positions = tuple(Position(chance.randint(0, 7), chance.randint(0, 9)) for _ in items)
        shapes = [
            box(place.x, place.y, place.x + item.across, place.y + item.along)
            for item, place in zip(items, positions, strict=True)
        ]
        overlap = any(one.intersection(other).area > 0 for one, other in combinations(shapes, 2))
        packing = Packing(max(int(shape.bounds[3]) for shape in shapes), positions)
        try:
            check_packing(PackingTask(12, items), packing)
            found = False
        except WrongPacking:
            found = True
        assert found == overlap
        seen.add(found)
    assert seen == {False, True}
