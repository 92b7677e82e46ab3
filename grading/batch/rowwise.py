"""One row at a time, by the exact method of single sizes: where no affine map is the answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.batch.posing import failing_first
from grading.document import SizeRequest
from grading.model import Model, pose
from grading.solve import Compiled
from grading.solve.branches import NoBranch, choose
from grading.solve.nearest import Infeasible, Stop
from grading.solve.row import fraction
from grading.solve.task import task_of


@dataclass(frozen=True)
class RowAnswer:
    """The nearest point of a row in mm and the inequalities that hold it, or the relations that exclude it."""

    point: Mapping[str, Fraction] | None
    reason: tuple[str, ...]


def solve_row(model: Model, compiled: Compiled, request: SizeRequest, stop: Stop | None) -> RowAnswer:
    """Solve one row. Raises Undetermined, Stopped."""
    problem = pose(model, request)
    task = task_of(problem, problem.relations, compiled)
    try:
        point = choose(task, problem.stock, stop).point
    except Infeasible as error:
        return RowAnswer(None, failing_first(error.multipliers, task.inequalities))
    except NoBranch as error:
        return RowAnswer(None, failing_first(error.labels, task.inequalities))
    inequalities = {*task.inequalities, *(label for label, (_, equal) in task.curved.items() if not equal)}
    held = tuple(label for label, value in point.multipliers.items() if value and label in inequalities)
    return RowAnswer({name: fraction(value) for name, value in point.values.items()}, tuple(sorted(held)))
