"""A dual active-set method in floats: which inequalities bind at the nearest point. It searches; it never judges."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grading.form import CONSTANT
from grading.solve.face import Face
from grading.solve.row import Number, Row

Floats = NDArray[np.float64]
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
    """Least weighted square over a face, subject to rows that are not below zero; m rows, n dimensions.

    gram      (m, m) inner products of the scaled rows in the metric of the weights
    scale     (m,) what each row was divided by
    at_rest   (m,) rows without their constants at the unconstrained minimum
    constants (m,) their constants
    moves     (n, m) how each multiplier moves the point
    """

    gram: Floats
    scale: Floats
    at_rest: Floats
    constants: Floats
    moves: Floats
    rest: Floats
    rest_value: float

    def solve(self, constants: Floats | None = None) -> Outcome:
        """Goldfarb and Idnani, A numerically stable dual method, Math. Programming 27 (1983), on the Gram matrix."""
        slack = (self.at_rest + (self.constants if constants is None else constants)) / self.scale
        active, multipliers, infeasible = _dual_active_set(self.gram, slack)
        rise = 0.5 * float(multipliers @ self.gram[np.ix_(active, active)] @ multipliers)
        point = self.rest + self.moves[:, active] @ (multipliers / self.scale[active])
        return Outcome(tuple(active), infeasible, self.rest_value + rise, point)


def prepare(
    face: Face,
    weight: Mapping[str, Number],
    wish: Mapping[str, Number],
    rows: Sequence[Row],
) -> FloatProgram | None:
    """The program in floats, or None where the weights do not single out one point (or floats cannot tell)."""
    names = list(face.rows)
    index = {name: place for place, name in enumerate(names)}
    spread = _dense([face.rows[name] for name in names], {name: i for i, name in enumerate(face.free)})
    origin = np.array([float(face.rows[name].get(CONSTANT, 0)) for name in names])
    heavy = np.array([float(weight.get(name, 0)) for name in names])
    target = np.array([float(wish[name]) if name in weight else 0.0 for name in names])
    hessian = 2 * spread.T @ (heavy[:, None] * spread)
    sizes = np.sqrt(np.diag(hessian))
    if sizes.size and sizes.min() <= 0:
        return None
    try:
        root = np.linalg.cholesky(hessian / np.outer(sizes, sizes))
    except np.linalg.LinAlgError:
        return None
    if sizes.size and np.diag(root).min() < 1e-6:
        return None
    normals = _dense(rows, index)
    # With the scaled Cholesky factor as metric, both the Gram matrix and the moves are plain products.
    half = np.linalg.solve(root, (spread / sizes).T) if sizes.size else np.zeros((0, len(names)))
    pull = half @ (2 * heavy * (target - origin))
    rest = origin + half.T @ pull
    legs = half @ normals.T
    gram = legs.T @ legs
    lengths = np.sqrt(np.diag(gram))
    scale = np.where(lengths > 1e-9 * max(1.0, float(lengths.max(initial=0.0))), lengths, 1.0)
    return FloatProgram(
        gram=gram / np.outer(scale, scale),
        scale=scale,
        at_rest=normals @ rest,
        constants=np.array([float(row.get(CONSTANT, 0)) for row in rows]),
        moves=half.T @ legs,
        rest=rest,
        rest_value=float(heavy @ (rest - target) ** 2),
    )


def _dense(rows: Sequence[Row], columns: Mapping[str, int]) -> Floats:
    matrix = np.zeros((len(rows), len(columns)))
    for place, row in enumerate(rows):
        for name, value in row.items():
            if name:
                matrix[place, columns[name]] = float(value)
    return matrix


def _dual_active_set(gram: Floats, slack: Floats) -> tuple[list[int], Floats, bool]:
    active: list[int] = []
    multipliers = np.zeros(0)
    start = slack
    for _ in range(20 * len(slack) + 20):
        slack = start + gram[:, active] @ multipliers
        slack[active] = 0.0
        worst = int(np.argmin(slack)) if slack.size else -1
        if worst < 0 or slack[worst] >= -SLACK:
            break
        active, multipliers, infeasible = _add(gram, active, multipliers, worst, -float(slack[worst]))
        if infeasible:
            return active, multipliers, True
    return active, multipliers, False


def _add(
    gram: Floats, active: list[int], multipliers: Floats, worst: int, lack: float
) -> tuple[list[int], Floats, bool]:
    own = 0.0
    while True:
        ratios = np.linalg.solve(gram[np.ix_(active, active)], gram[active, worst]) if active else np.zeros(0)
        reach = float(gram[worst, worst] - gram[worst, active] @ ratios)
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
