from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import product

import pytest

from grading.packing.errors import DoesNotFit, NoStrips
from grading.packing.guillotine import StripPlan, cut_in_strips
from grading.packing.task import Item, PackingTask
from tests.grading.packing import exhaustive
from tests.grading.packing.exact_strips import excluded_without_waste
from tests.grading.packing.one_dimension import equally_long, least_strips, widths
from tests.grading.packing.tasks import bag, published, small

FEW_TRIALS = 300


def _cut(task: PackingTask, plan: StripPlan) -> None:
    """Cut as a person would: across the cloth, then each strip, then each column; every piece comes out once."""
    cut_out = []
    start = 0
    for strip in plan.strips:
        assert strip.y == start
        edge = 0
        for column in strip.columns:
            assert column.x == edge
            edge += column.width
            cut_out += list(_pieces(task, plan, strip.y, strip.height, column.x, column.width, column.items))
        assert edge <= task.width
        start += strip.height
    assert start == plan.length == plan.packing.length
    assert sorted(cut_out) == list(range(len(task.items)))


def _pieces(
    task: PackingTask, plan: StripPlan, y: int, height: int, x: int, width: int, items: tuple[int, ...]
) -> Iterator[int]:
    place = y
    for index in items:
        position, item = plan.packing.positions[index], task.items[index]
        assert (position.x, position.y) == (x, place)
        assert item.turnable or not position.turned
        assert (item.along if position.turned else item.across) <= width
        place += item.across if position.turned else item.along
        yield index
    assert place <= y + height


@pytest.mark.parametrize("turnable", [False, True])
@pytest.mark.parametrize("seed", range(5))
def test_cutting_strips_then_columns_then_pieces_gives_every_piece_once(seed: int, turnable: bool) -> None:
    task = bag(40, 280, seed, turnable=turnable)
    _cut(task, cut_in_strips(task, FEW_TRIALS))
    _cut(task, cut_in_strips(task, 0))


@pytest.mark.parametrize("seed", range(25))
def test_strips_of_a_few_pieces_are_the_best_of_all_ways_to_cut_them(seed: int) -> None:
    """Every way to put the pieces into columns and the columns into strips, each piece turned or not, is listed."""
    task = small(seed, most=4, motifs=False)
    task = PackingTask(task.width, tuple(Item(item.across, item.along, item.turnable) for item in task.items))
    plan = cut_in_strips(task, FEW_TRIALS)
    _cut(task, plan)
    assert plan.length == _least_by_listing(task)


def _least_by_listing(task: PackingTask) -> int:
    ways = [
        [(item.across, item.along), (item.along, item.across)] if item.turnable else [(item.across, item.along)]
        for item in task.items
    ]
    return min(
        sum(max(height for _, height in strip) for strip in strips)
        for lying in product(*ways)
        for columns in _partitions(list(lying))
        for strips in _partitions([(max(w for w, _ in column), sum(h for _, h in column)) for column in columns])
        if all(sum(width for width, _ in strip) <= task.width for strip in strips)
    )


def _partitions(things: list[tuple[int, int]]) -> Iterator[list[list[tuple[int, int]]]]:
    if not things:
        yield []
        return
    for rest in _partitions(things[1:]):
        yield [[things[0]], *rest]
        for place, group in enumerate(rest):
            yield [*rest[:place], [things[0], *group], *rest[place + 1 :]]


@pytest.mark.parametrize("seed", range(20))
def test_equally_long_pieces_take_as_few_strips_as_cutting_widths_does(seed: int) -> None:
    """SciPy's milp over every set of widths that fits side by side."""
    across = widths(seed)
    assert cut_in_strips(equally_long(across, 30), FEW_TRIALS).length == 30 * least_strips(across)


@pytest.mark.parametrize("seed", range(15))
def test_strips_are_never_shorter_than_the_shortest_packing(seed: int) -> None:
    task = small(seed, most=5, motifs=False)
    task = PackingTask(task.width, tuple(Item(item.across, item.along, item.turnable) for item in task.items))
    assert cut_in_strips(task, FEW_TRIALS).length >= exhaustive.least_length(task)


def test_strips_of_few_published_items_are_the_shortest_possible() -> None:
    """Hopper and Turton (2001), up to 29 items, with turning: no cloth is left where a general solver does not exclude
    that, and one step is added where it does."""
    excluded = set()
    for name, length, task in published(turnable=True, seed=1):
        if len(task.items) < 30:
            plan = cut_in_strips(task, 1000)
            _cut(task, plan)
            assert plan.length == length + excluded_without_waste(task, length), name
            excluded |= {name} if plan.length > length else set()
    assert excluded == {"C1-P2", "C2-P1", "C2-P2", "C2-P3", "C3-P1", "C3-P2"}


def test_strips_of_published_items_leave_little_cloth() -> None:
    gaps = []
    for name, length, task in published(turnable=True, seed=1):
        if name[:2] in ("C4", "C5"):
            plan = cut_in_strips(task, 1000)
            _cut(task, plan)
            gaps.append(plan.length / length - 1)
    assert sum(gaps) / len(gaps) < 0.035


def test_the_same_seed_cuts_alike_and_more_trials_never_cut_worse() -> None:
    task = bag(30, 260, 7, turnable=True)
    plans = [cut_in_strips(task, effort, seed=3) for effort in (0, 200, 200)]
    assert plans[1] == plans[2]
    assert plans[1].length < plans[0].length


def test_each_better_length_is_told() -> None:
    task, told = bag(30, 260, 8, turnable=True), list[int]()
    plan = cut_in_strips(task, 200, progress=told.append)
    assert told == sorted(told, reverse=True)
    assert len(set(told)) == len(told) > 1
    assert told[-1] == plan.length


def test_a_search_that_is_stopped_gives_a_plan() -> None:
    task, asked = bag(40, 280, 9, turnable=True), list[int]()
    plan = cut_in_strips(task, 1_000_000, stop=lambda: asked.append(1) is None and len(asked) > 2)
    _cut(task, plan)
    assert len(asked) == 3


def test_steps_finer_than_the_cells_are_cut_without_overlap() -> None:
    chance = random.Random(1)
    items = tuple(Item(chance.randrange(900, 40_001), chance.randrange(900, 40_001), True) for _ in range(20))
    task = PackingTask(113_777, (*items, Item(113_777, 1003), Item(56_889, 907), Item(56_888, 911)))
    plan = cut_in_strips(task, 100)
    _cut(task, plan)
    area = sum(item.across * item.along for item in task.items) / task.width
    assert plan.length < 1.15 * area


def test_pieces_at_the_fold_or_with_a_motif_are_refused_by_name() -> None:
    with pytest.raises(NoStrips) as fold:
        cut_in_strips(PackingTask(100, (Item(10, 10), Item(10, 10, at_fold=True))))
    assert (fold.value.item, fold.value.at_fold) == (1, True)
    with pytest.raises(NoStrips) as motif:
        cut_in_strips(PackingTask(100, (Item(10, 10, motif=(0, 0)),), repeat=(20, 20)))
    assert (motif.value.item, motif.value.at_fold) == (0, False)


def test_a_piece_too_wide_for_the_cloth_is_refused() -> None:
    with pytest.raises(DoesNotFit):
        cut_in_strips(PackingTask(100, (Item(101, 10),)))


def test_nothing_is_cut_from_nothing() -> None:
    assert cut_in_strips(PackingTask(100, ())).strips == ()
