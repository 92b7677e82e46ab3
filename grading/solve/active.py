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
    """Least weighted square over a face, subject to rows that are not below zero; m rows, n dimensions, k free.

    legs      (m, k) scaled rows in the metric of the weights, each of length 1 (or 0: a constant row)
    scale     (m,) what each row was divided by
    at_rest   (m,) rows without their constants at the unconstrained minimum
    constants (m,) their constants
    half      (k, n) how each leg moves the point
    """

    legs: Floats
    scale: Floats
    at_rest: Floats
    constants: Floats
    half: Floats
    rest: Floats
    rest_value: float

    def solve(self, constants: Floats | None = None) -> Outcome:
        """Goldfarb and Idnani, A numerically stable dual method, Math. Programming 27 (1983), on the Gram matrix."""
        slack = (self.at_rest + (self.constants if constants is None else constants)) / self.scale
        active, multipliers, infeasible = _dual_active_set(self.legs, slack)
        way = multipliers @ self.legs[active]
        return Outcome(tuple(active), infeasible, self.rest_value + 0.5 * float(way @ way), self.rest + way @ self.half)


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
    # With the scaled Cholesky factor as metric, inner products of rows and their moves are plain products.
    half = np.zeros((len(sizes), len(names)))
    if sizes.size:
        half = np.asarray(np.linalg.solve(root, (spread / sizes).T), dtype=np.float64)
    rest = origin + half.T @ (half @ (2 * heavy * (target - origin)))
    legs, at_rest = _legs(rows, index, half, rest)
    lengths = np.sqrt((legs**2).sum(axis=1))
    scale = np.where(lengths > 1e-9 * max(1.0, float(lengths.max(initial=0.0))), lengths, 1.0)
    return FloatProgram(
        legs=legs / scale[:, None],
        scale=scale,
        at_rest=at_rest,
        constants=np.array([float(row.get(CONSTANT, 0)) for row in rows]),
        half=half,
        rest=rest,
        rest_value=float(heavy @ (rest - target) ** 2),
    )


def _legs(rows: Sequence[Row], index: Mapping[str, int], half: Floats, rest: Floats) -> tuple[Floats, Floats]:
    """The rows in the metric, and their values at rest without constants, from their few coefficients."""
    entries = [
        (place, index[name], float(value)) for place, row in enumerate(rows) for name, value in row.items() if name
    ]
    legs, at_rest = np.zeros((len(rows), len(half))), np.zeros(len(rows))
    if entries:
        places, columns = (np.array(part) for part in list(zip(*entries, strict=True))[:2])
        values = np.array([value for _, _, value in entries])
        np.add.at(legs, places, values[:, None] * half.T[columns])
        np.add.at(at_rest, places, values * rest[columns])
    return legs, at_rest


def _dense(rows: Sequence[Row], columns: Mapping[str, int]) -> Floats:
    matrix = np.zeros((len(rows), len(columns)))
    for place, row in enumerate(rows):
        for name, value in row.items():
            if name:
                matrix[place, columns[name]] = float(value)
    return matrix


def _dual_active_set(legs: Floats, start: Floats) -> tuple[list[int], Floats, bool]:
    active: list[int] = []
    multipliers = np.zeros(0)
    for _ in range(20 * len(start) + 20):
        slack = start + legs @ (multipliers @ legs[active])
        slack[active] = 0.0
        worst = int(np.argmin(slack)) if slack.size else -1
        if worst < 0 or slack[worst] >= -SLACK:
            break
        active, multipliers, infeasible = _add(legs, active, multipliers, worst, -float(slack[worst]))
        if infeasible:
            return active, multipliers, True
    return active, multipliers, False


def _add(
    legs: Floats, active: list[int], multipliers: Floats, worst: int, lack: float
) -> tuple[list[int], Floats, bool]:
    own, leg = 0.0, legs[worst]
    while True:
        some = legs[active]
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
