"""Whether items that fill a length of cloth exactly may be cut in three stages without waste: OR-Tools CP-SAT.

Without waste, the pieces of a column are equally wide and add up to the strip's height, and the columns of all strips
of one height add up to a multiple of the cloth's width. That is needed, though not enough.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from ortools.sat.python import cp_model

from grading.packing.task import PackingTask

Column = tuple[int, tuple[int, ...]]
"""Its width, and the items in it."""


def excluded_without_waste(task: PackingTask, length: int) -> bool:
    """True if no plan of strips has this length, in which the items have no room to spare."""
    assert sum(item.across * item.along for item in task.items) == task.width * length
    model = cp_model.CpModel()
    chosen_with = defaultdict(list)
    lengths = []
    for height, columns in _columns(task, length).items():
        strips = model.new_int_var(0, length // height, "")
        choices = [model.new_bool_var("") for _ in columns]
        model.add(
            sum(width * choice for (width, _), choice in zip(columns, choices, strict=True)) == task.width * strips
        )
        lengths.append(height * strips)
        for (_, items), choice in zip(columns, choices, strict=True):
            for item in items:
                chosen_with[item].append(choice)
    model.add(sum(lengths) == length)
    for item in range(len(task.items)):
        model.add_exactly_one(chosen_with[item])
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return bool(status == cp_model.INFEASIBLE)


def _columns(task: PackingTask, length: int) -> dict[int, list[Column]]:
    """Every set of equally wide items, by what their heights add up to."""
    columns = defaultdict(list)
    heights = defaultdict(set)
    for index, item in enumerate(task.items):
        heights[item.across].add((index, item.along))
        if item.turnable:
            heights[item.along].add((index, item.across))
    for width, pieces in heights.items():
        for items, height in _stacks(sorted(pieces), length):
            columns[height].append((width, items))
    return columns


def _stacks(pieces: list[tuple[int, int]], most: int) -> Iterator[tuple[tuple[int, ...], int]]:
    for place, (index, height) in enumerate(pieces):
        if height <= most:
            yield (index,), height
            for items, more in _stacks(pieces[place + 1 :], most - height):
                yield (index, *items), height + more
