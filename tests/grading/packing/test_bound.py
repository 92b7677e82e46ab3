from __future__ import annotations

import json
import random
from itertools import combinations_with_replacement
from math import ceil
from typing import Any

import pytest

from grading.packing.bound import Bound, least_length
from grading.packing.columns import refute
from grading.packing.dual import FAMILIES, dual_functions
from grading.packing.errors import DoesNotFit
from grading.packing.stacked import longest_item, one_after_another
from grading.packing.task import Item, PackingTask
from grading.packing.ways import Lengths, kinds_of, reachable_width
from tests.grading.packing import exhaustive
from tests.grading.packing.one_dimension import equally_long, least_shares, least_strips, widths
from tests.grading.packing.recheck import Rechecker
from tests.grading.packing.tasks import bag, plain, published, small


def _rechecked(task: PackingTask, certificate: Any) -> int:
    """The length that the certificate shows, both read anew from a file."""
    return Rechecker(json.loads(json.dumps(plain(task)))).length(json.loads(json.dumps(certificate)))


@pytest.mark.parametrize("seed", range(60))
def test_no_bound_of_a_few_items_is_above_their_least_length_and_each_can_be_rechecked(seed: int) -> None:
    task = small(seed)
    bound = least_length(task)
    assert bound.length <= exhaustive.least_length(task)
    assert _rechecked(task, bound.certificate) == bound.length


@pytest.mark.parametrize("seed", range(30))
def test_a_refuted_length_is_too_short_indeed(seed: int) -> None:
    task = small(seed)
    kinds = kinds_of(task)
    refuted = refute(kinds, Lengths(task), reachable_width(task), longest_item(task)[1], effort=50)
    if refuted is not None:
        assert not exhaustive.fits(task, refuted.length)


@pytest.mark.parametrize("turnable", [False, True])
def test_the_bound_of_published_perfect_packings_is_their_length(turnable: bool) -> None:
    """Hopper and Turton (2001): the items fill the length that is given without a gap, so that none shorter can do."""
    for name, length, task in published(turnable=turnable, seed=1):
        assert least_length(task, effort=5).length == length, name


@pytest.mark.parametrize("turnable", [False, True])
@pytest.mark.parametrize("seed", range(4))
def test_the_bound_of_a_bag_can_be_rechecked(seed: int, turnable: bool) -> None:
    task = bag(14, 180, seed, turnable=turnable)
    bound = least_length(task)
    assert _rechecked(task, bound.certificate) == bound.length


@pytest.mark.parametrize("seed", range(20))
def test_equally_long_items_need_the_strips_that_cutting_widths_needs(seed: int) -> None:
    """SciPy's milp and linprog over every cutting: the bound lies between the program in parts and the whole one."""
    across = widths(seed)
    bound = least_length(equally_long(across, 30))
    assert 30 * ceil(least_shares(across) - 1e-9) <= bound.length <= 30 * least_strips(across)


@pytest.mark.parametrize("seed", range(40))
def test_weights_of_any_kind_never_show_more_than_is_true(seed: int) -> None:
    """The mathematics of the certificates: whatever weights are claimed, what they show holds."""
    task, chance = small(seed), random.Random(seed)
    true = exhaustive.least_length(task)
    weights = [
        {
            "across": kind.across,
            "along": kind.along,
            "at_fold": kind.at_fold,
            "ways": [chance.randint(0, 5) for _ in kind.ways],
        }
        for kind in kinds_of(task)
    ]
    assert any(weight for entry in weights for weight in entry["ways"])
    assert _rechecked(task, {"kind": "bars", "weights": weights}) <= true
    with pytest.raises(AssertionError):
        _rechecked(task, {"kind": "columns", "refuted": true, "weights": weights})


def test_weights_do_not_show_the_length_for_wider_cloth() -> None:
    task = bag(8, 120, 1, turnable=False)
    bound = least_length(task)
    assert bound.certificate["kind"] == "bars"
    assert _rechecked(PackingTask(task.width + 20, task.items), bound.certificate) < bound.length


def test_items_wider_than_half_the_cloth_lie_one_after_another() -> None:
    task = PackingTask(100, (Item(51, 20), Item(60, 30), Item(49, 40), Item(40, 10)))
    assert one_after_another(task) == ([0, 1], 50)
    assert least_length(PackingTask(100, (Item(51, 20), Item(60, 30)))).length == 50


def test_items_at_the_fold_lie_one_after_another() -> None:
    task = PackingTask(100, tuple(Item(10, along, at_fold=True) for along in (10, 20, 30)))
    bound = least_length(task)
    assert bound.length == 60
    assert _rechecked(task, bound.certificate) == 60


def test_a_motif_moves_an_item_away_from_the_start() -> None:
    task = PackingTask(100, (Item(20, 30, motif=(0, 47)),), repeat=(0, 40))
    bound = least_length(task)
    assert bound == Bound(37, {"kind": "longest", "item": 0})
    assert _rechecked(task, bound.certificate) == 37


def test_items_that_fit_side_by_side_but_not_on_the_repeat_lie_one_after_another() -> None:
    items = (Item(40, 30, motif=(10, 0)), Item(40, 30, motif=(10, 0)))
    task = PackingTask(100, items, repeat=(60, 30))
    assert least_length(task).length == 60
    assert exhaustive.least_length(PackingTask(10, (Item(4, 3, motif=(1, 0)),) * 2, repeat=(6, 3))) == 6
    assert least_length(PackingTask(110, items, repeat=(60, 30))).length < 60


@pytest.mark.parametrize("width", range(2, 14))
def test_dual_functions_never_count_more_than_their_total(width: int) -> None:
    for function in dual_functions(width, range(1, width + 1)):
        assert FAMILIES[function.name](width, function.parameter).total == function.total
        for count in range(1, 5):
            for measures in combinations_with_replacement(range(1, width + 1), count):
                if sum(measures) <= width:
                    assert sum(map(function.value, measures)) <= function.total, (function, measures)


def test_the_bound_does_not_depend_on_the_order_of_the_items() -> None:
    task = bag(20, 200, 3, turnable=False)
    turned_around = PackingTask(task.width, task.items[::-1])
    assert least_length(task).length == least_length(turned_around).length


def test_coarser_and_finer_steps_give_the_same_bound() -> None:
    task = bag(12, 180, 5, turnable=True)
    finer = PackingTask(
        task.width * 7, tuple(Item(item.across * 7, item.along * 7, item.turnable) for item in task.items)
    )
    assert least_length(finer).length == 7 * least_length(task).length


def test_a_bound_that_is_stopped_holds_all_the_same() -> None:
    task = bag(12, 150, 2, turnable=False)
    bound = least_length(task, stop=lambda: True)
    assert 0 < bound.length <= least_length(task).length
    assert _rechecked(task, bound.certificate) == bound.length


def test_nothing_needs_no_length() -> None:
    assert least_length(PackingTask(100, ())) == Bound(0, {"kind": "none"})


def test_an_item_too_wide_for_the_cloth_is_named_with_both_widths() -> None:
    with pytest.raises(DoesNotFit) as refused:
        least_length(PackingTask(100, (Item(10, 10), Item(130, 120, turnable=True))))
    assert (refused.value.item, refused.value.across, refused.value.width) == (1, 120, 100)
