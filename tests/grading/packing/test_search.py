"""The search: every packing keeps its task, is near the least length, and is the same for the same question."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.packing.check import WrongPacking, check_packing
from grading.packing.errors import DoesNotFit
from grading.packing.search import QUICK, Effort, search
from grading.packing.task import Item, Packing, PackingTask, Position
from tests.grading.packing import tasks
from tests.grading.packing.exhaustive import least_length

LITTLE = Effort(200_000)
MANY_SMALL = 60


def mixed(seed: int, *, motif: bool, fold: bool, turnable: bool) -> PackingTask:
    """A bag's pieces, of which every third has a motif, every fifth lies at the fold."""
    task = tasks.bag(30, 210, seed, turnable=turnable)
    items = []
    for index, item in enumerate(task.items):
        at_fold = fold and index % 5 == 1
        place = (0 if at_fold else index * 7 % 40, index * 11 % 60)
        items.append(replace(item, motif=place if motif and index % 3 == 0 else None, at_fold=at_fold))
    return replace(task, items=tuple(items), repeat=(40, 60))


@pytest.mark.parametrize("motif", [False, True])
@pytest.mark.parametrize("fold", [False, True])
@pytest.mark.parametrize("turnable", [False, True])
def test_items_of_every_kind_lie_as_they_must(*, motif: bool, fold: bool, turnable: bool) -> None:
    for seed in range(3):
        task = mixed(seed, motif=motif, fold=fold, turnable=turnable)
        check_packing(task, search(task, LITTLE, seed))


def test_small_tasks_are_packed_as_short_as_can_be() -> None:
    """All but a few, whose shortest packings neither decoder makes."""
    longer = []
    for seed in range(MANY_SMALL):
        task = tasks.small(seed)
        try:
            packing = search(task, Effort(1_000_000))
        except DoesNotFit:
            continue
        least = least_length(task)
        assert packing.length >= least
        if packing.length > least:
            longer.append(seed)
    assert len(longer) <= MANY_SMALL // 30, longer


@pytest.mark.parametrize("turnable", [False, True])
def test_published_tasks_up_to_29_items_are_packed_without_waste(*, turnable: bool) -> None:
    for name, least, task in tasks.published(turnable=turnable, seed=1):
        if len(task.items) < 30:
            assert search(task, Effort(40_000_000), least=least).length == least, name


def test_large_published_tasks_come_within_two_percent_soon() -> None:
    for name, least, task in tasks.published(turnable=True, seed=1):
        if len(task.items) > 90:
            assert search(task, QUICK).length <= 1.02 * least, name


def test_same_question_gives_the_same_packing() -> None:
    task = mixed(5, motif=True, fold=True, turnable=True)
    assert search(task, LITTLE, seed=3) == search(task, LITTLE, seed=3)
    assert len({search(task, LITTLE, seed=seed).positions for seed in range(4)}) > 1


def test_progress_tells_each_better_length() -> None:
    told: list[int] = []
    packing = search(tasks.bag(40, 212, 2, turnable=False), LITTLE, progress=told.append)
    assert told
    assert told == sorted(set(told), reverse=True)
    assert packing.length == told[-1]


def test_search_ends_when_asked_and_still_gives_a_packing() -> None:
    asked: list[int] = []

    def stop() -> bool:
        asked.append(1)
        return len(asked) == 3

    task = tasks.bag(40, 212, 2, turnable=False)
    check_packing(task, search(task, Effort(10**15), stop=stop))
    assert len(asked) == 3


def test_search_ends_at_the_lower_bound() -> None:
    task = PackingTask(10, (Item(5, 4), Item(5, 4), Item(10, 2)))
    assert search(task, Effort(10**15)).length == 6
    two = PackingTask(10, (Item(6, 4), Item(6, 4)))
    assert search(two, Effort(10**15), least=8).length == 8


def test_known_packing_is_never_made_longer() -> None:
    task = tasks.bag(40, 212, 2, turnable=False)
    known = search(task, QUICK, seed=1)
    for seed in range(3):
        assert search(task, Effort(1), seed=seed, start=known).length <= known.length
    assert search(task, LITTLE, start=known, least=known.length) == known


def test_known_packing_with_turned_items_is_taken_up() -> None:
    task = PackingTask(10, (Item(4, 10, turnable=True), Item(10, 3, turnable=True)))
    known = Packing(7, (Position(0, 0, turned=True), Position(0, 4)))
    assert search(task, LITTLE, start=known) == known


def test_known_packing_must_be_one() -> None:
    task = PackingTask(10, (Item(4, 4), Item(4, 4)))
    with pytest.raises(WrongPacking):
        search(task, LITTLE, start=Packing(4, (Position(0, 0), Position(3, 0))))


def test_item_too_wide_turns_where_it_may() -> None:
    assert search(PackingTask(10, (Item(12, 4, turnable=True),)), LITTLE) == Packing(12, (Position(0, 0, turned=True),))


@pytest.mark.parametrize(
    ("item", "across"),
    [
        (Item(12, 4), 12),
        (Item(12, 11, turnable=True), 11),
        (Item(12, 4, turnable=True, at_fold=True), 12),
        (Item(8, 4, motif=(3, 0)), 11),
        (Item(4, 4, motif=(3, 0), at_fold=True), 7),
    ],
)
def test_item_that_cannot_lie_on_the_strip_is_named(item: Item, across: int) -> None:
    with pytest.raises(DoesNotFit) as refused:
        search(PackingTask(10, (Item(2, 2), item), repeat=(6, 0)), LITTLE)
    assert (refused.value.item, refused.value.across, refused.value.width) == (1, across, 10)


def test_nothing_takes_no_length() -> None:
    assert search(PackingTask(10, ()), LITTLE) == Packing(0, ())


def test_fine_steps_do_not_overflow() -> None:
    """A thousandth of a millimetre: 1.5 m across, 40 pieces."""
    coarse = tasks.bag(40, 300, 4, turnable=True)
    fine = PackingTask(
        coarse.width * 5000,
        tuple(replace(item, across=item.across * 5000 - 1, along=item.along * 5000 - 1) for item in coarse.items),
    )
    assert search(fine, LITTLE).length <= search(coarse, LITTLE).length * 5000 * 1.03
