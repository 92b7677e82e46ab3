"""The least length of a small task by listing every place of every item: a general solver chooses among the places.

Each pair (item, place) is a choice; each square of the strip holds one item at most. Nothing is shared with the
library but the task; OR-Tools CP-SAT only sees choices and squares.
"""

from __future__ import annotations

from collections import defaultdict

from ortools.sat.python import cp_model

from grading.packing.task import Item, PackingTask


def least_length(task: PackingTask) -> int:
    """The least length; every whole length from 0 on is tried."""
    length = 0
    while not fits(task, length):
        length += 1
    return length


def fits(task: PackingTask, length: int) -> bool:
    """Whether the items can lie on a strip of this length."""
    model = cp_model.CpModel()
    squares = defaultdict(list)
    for item in task.items:
        choices = []
        for w, h in {(item.across, item.along)} | ({(item.along, item.across)} if _turns(item) else set()):
            for x in range(task.width - w + 1):
                for y in range(length - h + 1):
                    if _allowed(task, item, x, y):
                        choice = model.new_bool_var("")
                        choices.append(choice)
                        for square in ((a, b) for a in range(x, x + w) for b in range(y, y + h)):
                            squares[square].append(choice)
        model.add_exactly_one(choices)
    for choices in squares.values():
        model.add_at_most_one(choices)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.INFEASIBLE)
    return status != cp_model.INFEASIBLE


def _turns(item: Item) -> bool:
    return item.turnable and item.motif is None and not item.at_fold


def _allowed(task: PackingTask, item: Item, x: int, y: int) -> bool:
    if item.at_fold and x:
        return False
    if item.motif is None:
        return True
    places = zip((x, y), item.motif, task.repeat, strict=True)
    return all(not repeat or (place - offset) % repeat == 0 for place, offset, repeat in places)
