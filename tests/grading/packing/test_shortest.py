from __future__ import annotations

import pytest
import z3

from grading.packing.check import WrongPacking, check_packing
from grading.packing.pushing import pushed
from grading.packing.shortest import Shortest, shortest
from grading.packing.task import Item, Packing, PackingTask, Position
from grading.packing.ways import first_across, first_along, ways_of
from tests.grading.packing import exhaustive
from tests.grading.packing.tasks import bag, small


def _one_beyond_another(task: PackingTask) -> Packing:
    end, positions = 0, []
    for index, item in enumerate(task.items):
        way = ways_of(task, index)[0]
        y = first_along(task, item, end)
        positions.append(Position(first_across(task, item, 0), y, way.turned))
        end = y + way.along
    return Packing(end, tuple(positions))


@pytest.mark.parametrize("seed", range(60))
def test_the_shortest_packing_of_a_few_items_is_found_and_proven(seed: int) -> None:
    task = small(seed)
    answer = shortest(task, _one_beyond_another(task))
    check_packing(task, answer.packing)
    assert answer.proven
    assert answer.packing.length == exhaustive.least_length(task)


@pytest.mark.parametrize("seed", range(8))
def test_another_solver_finds_nothing_shorter_and_the_same_length(seed: int) -> None:
    """z3 on whole numbers: the length is possible, one step less is not."""
    task = small(seed, most=4)
    length = shortest(task, _one_beyond_another(task)).packing.length
    assert _fits(task, length)
    assert not _fits(task, length - 1)


def _fits(task: PackingTask, length: int) -> bool:
    solver, boxes = z3.Solver(), []
    for index, item in enumerate(task.items):
        x, y, turned = z3.Int(f"x{index}"), z3.Int(f"y{index}"), z3.Bool(f"turned{index}")
        if not item.turnable or item.motif is not None or item.at_fold:
            solver.add(z3.Not(turned))
        w, h = z3.If(turned, item.along, item.across), z3.If(turned, item.across, item.along)
        solver.add(x >= 0, y >= 0, x + w <= task.width, y + h <= length)
        if item.at_fold:
            solver.add(x == 0)
        if item.motif is not None:
            for place, offset, repeat in zip((x, y), item.motif, task.repeat, strict=True):
                if repeat:
                    solver.add((place - offset) % repeat == 0)
        solver.add(*(z3.Or(x + w <= a, a + c <= x, y + h <= b, b + d <= y) for a, b, c, d in boxes))
        boxes.append((x, y, w, h))
    answer = solver.check()
    assert answer in (z3.sat, z3.unsat)
    return bool(answer == z3.sat)


def test_a_packing_as_short_as_the_bound_is_proven_at_once() -> None:
    task = PackingTask(10, (Item(10, 3), Item(10, 4)))
    start = _one_beyond_another(task)
    assert shortest(task, start, least=7, limit=0.0) == Shortest(start, proven=True)


def test_a_gap_in_the_start_is_closed_before_anything_else() -> None:
    task = PackingTask(10, (Item(10, 3), Item(10, 4)))
    loose = Packing(9, (Position(0, 0), Position(0, 5)))
    assert shortest(task, loose, least=7).packing == Packing(7, (Position(0, 0), Position(0, 3)))


def test_items_that_a_motif_holds_are_not_pushed_off_it() -> None:
    task = PackingTask(10, (Item(4, 3, motif=(1, 1)), Item(4, 3)), repeat=(5, 4))
    loose = Packing(12, (Position(6, 9), Position(0, 9)))
    assert pushed(task, loose) == Packing(4, (Position(6, 1), Position(0, 0)))


def test_the_same_question_has_the_same_answer() -> None:
    task = bag(9, 150, 4, turnable=True)
    start = _one_beyond_another(task)
    assert shortest(task, start, limit=0.5) == shortest(task, start, limit=0.5)


def test_a_search_that_is_stopped_gives_what_is_known() -> None:
    task = bag(30, 280, 1, turnable=True)
    answer = shortest(task, _one_beyond_another(task), limit=1000.0, stop=lambda: True)
    check_packing(task, answer.packing)
    assert not answer.proven


def test_somebody_who_never_stops_it_gets_the_same() -> None:
    task = small(3)
    start = _one_beyond_another(task)
    assert shortest(task, start, stop=lambda: False) == shortest(task, start)


def test_a_start_that_overlaps_is_refused() -> None:
    task = PackingTask(10, (Item(6, 3), Item(6, 4)))
    with pytest.raises(WrongPacking):
        shortest(task, Packing(4, (Position(0, 0), Position(3, 0))))
