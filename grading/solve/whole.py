"""A mixed whole-number program and its search by HiGHS. Floats: what it finds is judged elsewhere, exactly."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import highspy
import numpy as np

from grading.errors import Stopped

MOST_NODES = 20_000
"""Nodes of the search tree, after which the best point found so far stands."""
SEED = 1
INFINITY: float = highspy.kHighsInf


@dataclass
class WholeProgram:
    """Columns with costs and bounds, rows with two bounds, built one by one."""

    costs: list[float] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    indices: list[int] = field(default_factory=list)
    values: list[float] = field(default_factory=list)
    row_lower: list[float] = field(default_factory=list)
    row_upper: list[float] = field(default_factory=list)

    def column(self, cost: float, lower: float, upper: float, *, whole: bool) -> int:
        """Add a column; gives its index."""
        self.costs.append(cost)
        self.lower.append(lower)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.costs) - 1

    def row(self, terms: Mapping[int, float], lower: float, upper: float) -> None:
        """Add a row {column: coefficient} between two bounds."""
        self.starts.append(len(self.indices))
        self.indices += terms.keys()
        self.values += terms.values()
        self.row_lower.append(lower)
        self.row_upper.append(upper)

    def program(self) -> highspy.HighsLp:
        """The program as HiGHS takes it."""
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.costs), len(self.row_lower)
        lp.col_cost_, lp.col_lower_, lp.col_upper_ = (np.array(x) for x in (self.costs, self.lower, self.upper))
        lp.row_lower_, lp.row_upper_ = np.array(self.row_lower), np.array(self.row_upper)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.array([*self.starts, len(self.indices)], dtype=np.int32)
        lp.a_matrix_.index_ = np.array(self.indices, dtype=np.int32)
        lp.a_matrix_.value_ = np.array(self.values, dtype=np.float64)
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        lp.integrality_ = [kinds[whole] for whole in self.whole]
        return lp


class Undecided(Exception):
    """The search ended without a point and without showing that there is none."""


class _Quiet(highspy.Highs):
    """HiGHS without its banner, which is otherwise printed before output can be turned off."""

    def enableCallbacks(self) -> None:  # noqa: N802
        """Turn output off first."""
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]


def search(program: WholeProgram, stop: Callable[[], bool] | None) -> list[float] | None:
    """The columns of the least-cost point (the best found within MOST_NODES), or None if there is none.

    One thread and a fixed seed: the same program always ends at the same point. Raises Stopped, Undecided.
    """
    create: Callable[[], Any] = _Quiet
    solver = create()
    for option, value in {
        "threads": 1,
        "random_seed": SEED,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 1e-7,
        "mip_max_nodes": MOST_NODES,
        "mip_feasibility_tolerance": 1e-7,
    }.items():
        solver.setOptionValue(option, value)
    solver.passModel(program.program())
    asked = []
    if stop is not None:

        def interrupt(event: Any) -> None:
            if stop():
                asked.append(True)
                event.interrupt()

        solver.cbMipInterrupt += interrupt
    solver.run()
    if asked:
        raise Stopped
    status = solver.getModelStatus()
    if status in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kModelEmpty):
        return list(solver.getSolution().col_value)
    if status == highspy.HighsModelStatus.kInfeasible:
        return None
    has_point = solver.getInfo().primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    if status == highspy.HighsModelStatus.kSolutionLimit and has_point:
        return list(solver.getSolution().col_value)
    raise Undecided
