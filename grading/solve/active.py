"""A dual active-set method in floats: which inequalities bind at the nearest point. It searches; it never judges."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from grading.form import CONSTANT
from grading.solve.face import Face
from grading.solve.row import Number, Row
from grading.solve.sparse import Floats, Metric, Sparse, metric_of, sparse_of

SLACK = 1e-10
"""What counts as not violated, relative to the change of the weighted sum that a row can make."""
FLAT = 1e-11
"""What part of a row, squared, counts as depending on the active ones."""


@dataclass(frozen=True)
class Outcome:
    """Where the method ended. `infeasible` means that floats found no point; `value` is the weighted sum."""

    active: tuple[int, ...]
    infeasible: bool
    value: float
    point: Floats


@dataclass(frozen=True)
class FloatProgram:
    """Least weighted square over a face, subject to rows that are not below zero; m rows, n dimensions, k free.

    legs      (m, k) scaled rows in the metric of the weights, each of length 1 (or 0: a constant row)
    scale     (m,) what each row was divided by
    at_rest   (m,) rows without their constants at the unconstrained minimum
    constants (m,) their constants
    spread    (n, k) how free dimensions move the point
    """

    legs: Sparse
    scale: Floats
    at_rest: Floats
    constants: Floats
    spread: Sparse
    metric: Metric
    rest: Floats
    rest_value: float

    def solve(self, constants: Floats | None = None) -> Outcome:
        """Goldfarb and Idnani, A numerically stable dual method, Math. Programming 27 (1983), on the Gram matrix."""
        slack = (self.at_rest + (self.constants if constants is None else constants)) / self.scale
        active, multipliers, infeasible = _dual_active_set(self.legs, slack)
        way = multipliers @ self.legs.dense(active)
        point = self.rest + self.spread.times(self.metric.transposed_times(way))
        return Outcome(tuple(active), infeasible, self.rest_value + 0.5 * float(way @ way), point)


def prepare(
    face: Face,
    weight: Mapping[str, Number],
    wish: Mapping[str, Number],
    rows: Sequence[Row],
) -> FloatProgram | None:
    """The program in floats, or None where the weights do not single out one point (or floats cannot tell)."""
    names = list(face.rows)
    spread = sparse_of([face.rows[name] for name in names], {name: place for place, name in enumerate(face.free)})
    origin = np.array([float(face.rows[name].get(CONSTANT, 0)) for name in names])
    heavy = np.array([float(weight.get(name, 0)) for name in names])
    target = np.array([float(wish[name]) if name in weight else 0.0 for name in names])
    metric = metric_of(spread, heavy)
    if metric is None:
        return None
    # In the metric, inner products of rows and their moves are plain products.
    pull = metric.times(spread.transposed_times(2 * heavy * (target - origin)))
    rest = origin + spread.times(metric.transposed_times(pull))
    matrix = sparse_of(rows, {name: place for place, name in enumerate(names)})
    legs = metric.of_rows(matrix.times_matrix(spread))
    lengths = np.sqrt(np.bincount(legs.rows, legs.values**2, len(rows)))
    scale = np.where(lengths > 1e-9 * max(1.0, float(lengths.max(initial=0.0))), lengths, 1.0)
    return FloatProgram(
        legs=replace(legs, values=legs.values / scale[legs.rows]),
        scale=scale,
        at_rest=matrix.times(rest),
        constants=np.array([float(row.get(CONSTANT, 0)) for row in rows]),
        spread=spread,
        metric=metric,
        rest=rest,
        rest_value=float(heavy @ (rest - target) ** 2),
    )


def _dual_active_set(legs: Sparse, start: Floats) -> tuple[list[int], Floats, bool]:
    active: list[int] = []
    multipliers = np.zeros(0)
    for _ in range(20 * len(start) + 20):
        slack = start + legs.times(multipliers @ legs.dense(active))
        slack[active] = 0.0
        worst = int(np.argmin(slack)) if slack.size else -1
        if worst < 0 or slack[worst] >= -SLACK:
            break
        active, multipliers, infeasible = _add(legs, active, multipliers, worst, -float(slack[worst]))
        if infeasible:
            return active, multipliers, True
    return active, multipliers, False


def _add(
    legs: Sparse, active: list[int], multipliers: Floats, worst: int, lack: float
) -> tuple[list[int], Floats, bool]:
    own, leg = 0.0, legs.dense([worst])[0]
    while True:
        some = legs.dense(active)
        ratios = np.linalg.solve(some @ some.T, some @ leg) if active else np.zeros(0)
        reach = float(leg @ leg - (some @ leg) @ ratios)
        full = lack / reach if reach > FLAT else np.inf
        blocking = np.flatnonzero(ratios > 1e-12)
        steps = np.maximum(multipliers[blocking], 0.0) / ratios[blocking]
        step = float(steps.min()) if steps.size else np.inf
        if full <= step:
            if full == np.inf:
                return active, multipliers, True
            return [*active, worst], np.append(multipliers - full * ratios, own + full), False
        dropped = int(blocking[int(np.argmin(steps))])
        multipliers = np.delete(multipliers - step * ratios, dropped)
        active = [*active[:dropped], *active[dropped + 1 :]]
        own += step
        lack -= step * max(reach, 0.0)
