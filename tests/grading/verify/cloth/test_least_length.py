"""Certificates of the least length: none is accepted that says more than the true least length.

True least lengths are found by OR-Tools' CP-SAT over every way to lay a few rectangles (turned, at the edge, held by a
motif), and by trying all places for the smallest ones. The three functions of widths are compared with every choice of
widths that fit side by side.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from grading.packing import task as packing
from grading.packing.bound import least_length as search_bound
from grading.packing.task import PackingTask
from grading.verify.cloth.bounds import Item, NotShown, Strip, least_length
from grading.verify.cloth.fillings import TooMuchWork, heaviest, sums

Json = dict[str, Any]


def shown(strip: Strip, certificate: Any) -> int:
    """What a certificate shows; -1 where nothing."""
    try:
        return least_length(strip, certificate)
    except NotShown:
        return -1


def true_least(strip: Strip) -> int:
    """The least length of a strip, by a solver that knows nothing of bounds."""
    model = cp_model.CpModel()
    most = sum(max(item.across, item.along) + strip.repeat[1] for item in strip.items)
    length = model.new_int_var(0, most, "length")
    across, along = [], []
    for number, item in enumerate(strip.items):
        ways = [(item.across, item.along)]
        if item.may_turn and not item.at_edge and item.place is None:
            ways.append((item.along, item.across))
        chosen = [model.new_bool_var(f"{number} {way}") for way in ways]
        model.add_exactly_one(chosen)
        x, y = model.new_int_var(0, strip.width, f"x{number}"), model.new_int_var(0, most, f"y{number}")
        for axis, place, repeat in ((0, x, strip.repeat[0]), (1, y, strip.repeat[1])):
            if item.place is not None and repeat:
                count = model.new_int_var(0, most, f"{number} {axis}")
                model.add(place == item.place[axis] % repeat + repeat * count)
        if item.at_edge:
            model.add(x == 0)
        for way, is_chosen in zip(ways, chosen, strict=True):
            model.add(x + way[0] <= strip.width).only_enforce_if(is_chosen)
            model.add(y + way[1] <= length).only_enforce_if(is_chosen)
            across.append(model.new_optional_fixed_size_interval_var(x, way[0], is_chosen, f"across {number} {way}"))
            along.append(model.new_optional_fixed_size_interval_var(y, way[1], is_chosen, f"along {number} {way}"))
    model.add_no_overlap_2d(across, along)
    model.minimize(length)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return int(solver.objective_value)


def tried_least(strip: Strip) -> int:
    """The least length of unturned rectangles, by trying every place."""
    best = sum(item.along for item in strip.items)
    for xs in itertools.product(*(range(strip.width - item.across + 1) for item in strip.items)):
        for ys in itertools.product(range(best), repeat=len(xs)):
            ends = [y + item.along for y, item in zip(ys, strip.items, strict=True)]
            if max(ends) < best and not any(
                xs[a] < xs[b] + strip.items[b].across
                and xs[b] < xs[a] + strip.items[a].across
                and ys[a] < ends[b]
                and ys[b] < ends[a]
                for a in range(len(xs))
                for b in range(a)
            ):
                best = max(ends)
    return best


def plain(*sizes: tuple[int, int], width: int, may_turn: bool = False) -> Strip:
    return Strip(width, (0, 0), tuple(Item(across, along, may_turn) for across, along in sizes))


def weight(across: int, along: int, *ways: int, at_fold: bool = False) -> Json:
    return {"across": across, "along": along, "at_fold": at_fold, "ways": list(ways)}


def certificates(strip: Strip, chance: random.Random) -> Iterator[Json]:
    """Certificates of every kind, most of them far too bold."""
    yield {"kind": "area"}
    for name in ("large and small", "counted", "rounded"):
        for parameter in range(1, strip.width + 2):
            yield {"kind": "dual function", "name": name, "parameter": parameter}
    for index in range(len(strip.items)):
        yield {"kind": "longest", "item": index}
    for count in range(1, len(strip.items) + 1):
        for items in itertools.combinations(range(len(strip.items)), count):
            yield {"kind": "one after another", "items": list(items)}
    for _ in range(30):
        weights = {}
        for item, ways in zip(strip.items, strip.ways, strict=True):
            entry = weight(item.across, item.along, *(chance.randint(0, 6) for _ in ways), at_fold=item.at_edge)
            weights[item.across, item.along, item.at_edge, len(ways)] = entry
        listed = list(weights.values())
        yield {"kind": "bars", "weights": listed}
        for refuted in range(max(item.along for item in strip.items), sum(item.along for item in strip.items)):
            yield {"kind": "columns", "refuted": refuted, "weights": listed}


def drawn_strip(chance: random.Random) -> Strip:
    width = chance.randint(5, 12)
    repeat = chance.choice([(0, 0), (0, 0), (3, 4), (4, 0), (0, 5)])
    items = []
    for _ in range(chance.randint(2, 5)):
        at_edge = chance.random() < 0.2
        place = (chance.randint(0, 7), chance.randint(0, 7)) if repeat != (0, 0) and chance.random() < 0.4 else None
        if at_edge and place is not None:
            place = (0, place[1])
        across = chance.randint(1, width - (place[0] % repeat[0] if place and repeat[0] else 0))
        items.append(Item(across, chance.randint(1, 7), chance.random() < 0.5, at_edge, place))
    return Strip(width, repeat, tuple(items))


@pytest.mark.parametrize("seed", range(40))
def test_no_certificate_shows_more_than_the_true_least_length(seed: int) -> None:
    chance = random.Random(seed)
    strip = drawn_strip(chance)
    least = true_least(strip)
    best = 0
    for certificate in certificates(strip, chance):
        found = shown(strip, certificate)
        assert found <= least, (strip, certificate)
        best = max(best, found)
    # And they are worth something: half of the least length is always shown, mostly all of it.
    assert 2 * best >= least


@pytest.mark.parametrize("sizes", [[(2, 2), (1, 3)], [(3, 1), (2, 2), (1, 2)], [(2, 1), (2, 1), (3, 2)]])
def test_the_solver_of_these_tests_agrees_with_trying_every_place(sizes: list[tuple[int, int]]) -> None:
    strip = plain(*sizes, width=4)
    assert true_least(strip) == tried_least(strip)


def test_the_area_is_raised_to_a_length_that_pieces_can_have() -> None:
    # 3 x 5 x 4 on 10: 6, but pieces of 4 after each other give 4, 8, 12.
    assert shown(plain((5, 4), (5, 4), (5, 4), width=10), {"kind": "area"}) == 8
    # 4 x 3 = 12 wide is above 10: the width that counts is 9, so 5 pieces of 3 x 3 need 45/9 = 5, raised to 6.
    assert shown(plain(*[(3, 3)] * 5, width=10), {"kind": "area"}) == 6


def test_a_print_that_holds_pieces_lets_none_be_pushed_together() -> None:
    items = tuple(Item(3, 3, False, False, (1, 2)) for _ in range(5))
    held = Strip(10, (5, 5), items)
    # 45 on 10, raised to a whole step.
    assert shown(held, {"kind": "area"}) == 5
    # The first one lies at 2 along: 2 + 3.
    assert shown(held, {"kind": "longest", "item": 0}) == 5
    # At 1 and at 6 across: 6 + 3 = 9 fit on 10, and on 8 they do not.
    pair = {"kind": "one after another", "items": [0, 1]}
    assert shown(held, pair) == -1
    assert shown(Strip(8, (5, 5), items), pair) == 6


def test_pieces_that_cannot_lie_side_by_side_lie_one_after_another() -> None:
    strip = plain((6, 2), (5, 3), (4, 4), width=10)
    assert shown(strip, {"kind": "one after another", "items": [0, 1]}) == 5
    assert shown(strip, {"kind": "one after another", "items": [0, 2]}) == -1
    assert shown(strip, {"kind": "one after another", "items": [0, 0]}) == -1
    turned = plain((6, 2), (5, 3), width=10, may_turn=True)
    assert shown(turned, {"kind": "one after another", "items": [0, 1]}) == -1
    at_fold = Strip(10, (0, 0), (Item(2, 3, False, True), Item(2, 4, False, True)))
    assert shown(at_fold, {"kind": "one after another", "items": [0, 1]}) == 7


def test_bars_weigh_what_lies_side_by_side() -> None:
    # Any two of 6 are above 10, and one of 6 and one of 4 weigh 1: as long as the three of 6 after each other.
    strip = plain((6, 2), (6, 3), (6, 4), (4, 2), width=10)
    certificate = {"kind": "bars", "weights": [weight(6, 2, 1), weight(6, 3, 1), weight(6, 4, 1)]}
    assert shown(strip, certificate) == 9
    heavier = {"kind": "bars", "weights": [weight(6, 2, 9), weight(6, 3, 1), weight(6, 4, 1), weight(4, 2, 2)]}
    assert shown(strip, heavier) == 3
    assert shown(strip, {"kind": "bars", "weights": []}) == 0
    # An entry for pieces at the fold, or with two ways, is about no piece of these.
    assert shown(strip, {"kind": "bars", "weights": [weight(6, 2, 1, at_fold=True), weight(6, 3, 1, 1)]}) == 0


def test_columns_rule_lengths_out() -> None:
    # 3 x 5 x 4 on 10: no column of 7 crosses two of 4, and 3 x 5 do not lie in 10.
    strip = plain((5, 4), (5, 4), (5, 4), width=10)
    certificate = {"kind": "columns", "refuted": 7, "weights": [weight(5, 4, 1)]}
    assert shown(strip, certificate) == 8
    assert shown(strip, certificate | {"refuted": 8}) == -1
    assert shown(strip, certificate | {"refuted": 3, "weights": []}) == 4


@pytest.mark.parametrize(
    "certificate",
    [
        None,
        [],
        {},
        {"kind": 1},
        {"kind": "hope"},
        {"kind": "dual function", "name": "counted", "parameter": 6},
        {"kind": "dual function", "name": "counted", "parameter": 0},
        {"kind": "dual function", "name": "counted", "parameter": True},
        {"kind": "dual function", "name": "counted", "parameter": 2.0},
        {"kind": "dual function", "name": "other", "parameter": 2},
        {"kind": "bars"},
        {"kind": "bars", "weights": [None]},
        {"kind": "bars", "weights": [weight(5, 4, -1)]},
        {"kind": "bars", "weights": [weight(5, 4, 10**40)]},
        {"kind": "bars", "weights": [weight(5, 4, 1), weight(5, 4, 2)]},
        {"kind": "columns", "weights": []},
        {"kind": "columns", "refuted": -1, "weights": []},
        {"kind": "longest"},
        {"kind": "longest", "item": 3},
        {"kind": "longest", "item": -1},
        {"kind": "one after another"},
        {"kind": "one after another", "items": [0, 1, 2, 0]},
        {"kind": "one after another", "items": ["0"]},
    ],
)
def test_what_is_no_certificate_shows_nothing(certificate: Any) -> None:
    assert shown(plain((5, 4), (5, 4), (5, 4), width=10), certificate) == -1


def test_a_piece_that_is_wider_than_the_cloth_is_no_task() -> None:
    assert shown(plain((11, 4), width=10), {"kind": "area"}) == -1
    assert shown(plain((11, 4), width=10, may_turn=True), {"kind": "area"}) == 11


@pytest.mark.parametrize("name", ["large and small", "counted", "rounded"])
def test_the_functions_of_widths_never_give_pieces_side_by_side_more_than_their_total(name: str) -> None:
    for width in range(1, 15):
        for parameter in range(1, width + 2):
            # Rows of 1 along, of all pieces that fit side by side: a function that gave them too much would show 2.
            for sizes in _side_by_side(width):
                strip = Strip(width, (1, 0), tuple(Item(size, 1, False, False, (0, 0)) for size in sizes))
                assert shown(strip, {"kind": "dual function", "name": name, "parameter": parameter}) <= 1


def _side_by_side(width: int, least: int = 1) -> Iterator[tuple[int, ...]]:
    for first in range(least, width + 1):
        yield (first,)
        for rest in _side_by_side(width - first, first):
            yield (first, *rest)


@given(
    st.lists(st.lists(st.tuples(st.integers(1, 9), st.integers(0, 9)), min_size=1, max_size=2), max_size=6),
    st.integers(0, 20),
)
@settings(max_examples=300, deadline=None)
def test_fillings_are_the_heaviest_of_all(groups: list[list[tuple[int, int]]], capacity: int) -> None:
    choices = itertools.product(*([(0, 0), *group] for group in groups))
    fillings = [(sum(size for size, _ in taken), sum(weight for _, weight in taken)) for taken in choices]
    assert heaviest(groups, capacity) == max(weight for size, weight in fillings if size <= capacity)
    sizes = [{size for size, _ in group} for group in groups]
    reached = {size for size, _ in fillings if size <= capacity}
    assert sums(sizes, capacity) == sum(1 << size for size in reached)


def test_hostile_certificates_take_no_longer_than_real_ones() -> None:
    with pytest.raises(TooMuchWork):
        heaviest([[(3**n, 3**n)] for n in range(60)], 3**60)
    with pytest.raises(TooMuchWork):
        sums([[1]] * 1000, 10**9)
    wide = Strip(10**11, (0, 0), (Item(1, 1, False),))
    assert shown(wide, {"kind": "area"}) == -1


def tasks(count: int) -> Iterator[PackingTask]:
    chance = random.Random(7)
    while count:
        width = chance.choice([30, 100, 500])
        repeat = chance.choice([(0, 0), (0, 0), (chance.randint(5, 90), chance.randint(5, 90)), (0, 40), (40, 0)])
        items: list[packing.Item] = []
        for _ in range(chance.randint(1, 12)):
            place = (chance.randint(0, 90), chance.randint(0, 90)) if any(repeat) and chance.random() < 0.3 else None
            at_fold = place is None and chance.random() < 0.15
            measures = chance.randint(1, width), chance.randint(1, width)
            item = packing.Item(*measures, turnable=chance.random() < 0.6, motif=place, at_fold=at_fold)
            items += [item] * chance.choice([1, 1, 1, 2, 4])
        first = PackingTask(width, tuple(items), repeat)
        strip = as_strip(first)
        if all(strip.ways):
            count -= 1
            yield first


def as_strip(task: PackingTask) -> Strip:
    items = (Item(item.across, item.along, item.turnable, item.at_fold, item.motif) for item in task.items)
    return Strip(task.width, task.repeat, tuple(items))


def test_the_certificates_that_are_searched_for_show_what_they_say() -> None:
    kinds = set()
    for task in tasks(60):
        bound = search_bound(task)
        assert shown(as_strip(task), bound.certificate) >= bound.length > 0
        kinds.add(bound.certificate["kind"])
    assert len(kinds) >= 4
