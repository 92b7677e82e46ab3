"""The whole-number program: the point of a lattice that changes least from the nearest one, by HiGHS.

Unknowns are whole steps away from a reference point, so that all numbers are small. HiGHS searches in floats; what it
finds is judged elsewhere, exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd, lcm

from grading.solve.lattice import Lattice
from grading.solve.row import Number, Row, fraction, rational, substituted, value_of
from grading.solve.whole import INFINITY, WholeProgram, search

MOST_STEPS = 10_000
"""How many steps a measure may lie from its reference; reaches of dimensions bind long before."""
FINER = 1e-4
"""What one step of a measure weighs in the second order, in units of the least weight of a dimension."""
SPARE = 1e-9
"""Given to reaches, in steps, so that floats do not cut off their ends; what is found is judged exactly."""


@dataclass(frozen=True)
class Bounds:
    """A row of dimensions that must lie between two values, in mm; None is open."""

    row: Row
    least: Number | None
    most: Number | None


@dataclass(frozen=True)
class Pull:
    """A dimension that wishes to stay: its nearest value and reach in mm, and what a mm of change costs."""

    dimension: str
    value: float
    reach: float
    cost: float


@dataclass(frozen=True)
class _Origin:
    """The reference point: whole steps of each measure, mm of each loose dimension."""

    places: Mapping[str, Number]
    columns: Mapping[str, int]
    step: Number

    def shifted(self, row: Row) -> tuple[dict[int, Number], Number]:
        """A row of a lattice in steps: coefficients of the columns, and its value at the reference."""
        terms: dict[int, Number] = {}
        for name, value in row.items():
            if name:
                # A loose column counts steps, a measure's row is in mm for one step.
                terms[self.columns[name]] = value if not name.startswith("measure:") else value / self.step
        return terms, value_of(row, self.places) / self.step


@dataclass(frozen=True)
class Program:
    """What does not change from one try to the next. `measured` is the nearest point: steps (not whole) of each
    measure, mm of each loose dimension."""

    lattice: Lattice
    step: Fraction
    measured: Mapping[str, float]
    pulls: tuple[Pull, ...]


def least_change(
    program: Program, bounds: Iterable[Bounds], stop: Callable[[], bool] | None = None
) -> dict[str, Fraction] | None:
    """Whole steps of each measure and mm of each loose dimension, or None if the program is infeasible.

    Among points of equal cost, larger measures win, those listed later the more; so ties are always broken alike.
    Raises Stopped.
    """
    lattice, step = program.lattice, program.step
    places = {name: Fraction(round(program.measured[name])) for name in lattice.whole}
    places |= {name: step * round(program.measured[name] / float(step)) for name in lattice.loose}
    names = [*lattice.whole, *lattice.loose]
    columns = {name: index for index, name in enumerate(names)}
    origin = _Origin({name: rational(value) for name, value in places.items()}, columns, rational(step))
    model = WholeProgram()
    for index in range(len(lattice.whole)):
        model.column(-FINER * (1 + (index + 1) / len(names)), -MOST_STEPS, MOST_STEPS, whole=True)
    for _ in lattice.loose:
        model.column(0.0, -MOST_STEPS, MOST_STEPS, whole=False)
    for tie in lattice.ties:
        _add_tie(model, origin, tie)
    if not _add_pulls(model, origin, program):
        return None
    if not all(_add_bounds(model, origin, substituted(bound.row, lattice.rows), bound) for bound in bounds):
        return None
    found = search(model, stop)
    if found is None:
        return None
    result = {name: places[name] + round(found[columns[name]]) for name in lattice.whole}
    return result | {name: places[name] + step * Fraction(found[columns[name]]) for name in lattice.loose}


def _add_tie(model: WholeProgram, origin: _Origin, tie: Row) -> None:
    value = value_of(tie, origin.places)
    terms = {origin.columns[name]: factor for name, factor in tie.items() if name}
    scale = lcm(*(int(factor.denominator) for factor in terms.values()), int(value.denominator))
    model.row({column: float(factor * scale) for column, factor in terms.items()}, *[float(-value * scale)] * 2)


def _add_pulls(model: WholeProgram, origin: _Origin, program: Program) -> bool:
    """Reach and cost of each dimension, those that move alike taken together. False if one cannot be reached."""
    least_cost = min((pull.cost for pull in program.pulls), default=1.0)
    step = float(program.step)
    alike: dict[tuple[tuple[tuple[int, float], ...], float], float] = {}
    shapes: dict[tuple[tuple[tuple[int, float], ...], float], tuple[dict[int, Number], float]] = {}
    for pull in program.pulls:
        terms, at_reference = origin.shifted(program.lattice.rows[pull.dimension])
        offset = float(at_reference) - pull.value / step
        reach = pull.reach / step + SPARE
        if not terms and abs(offset) > reach:
            return False
        if terms:
            model.row({column: float(value) for column, value in terms.items()}, -reach - offset, reach - offset)
            key = (tuple(sorted((column, float(value)) for column, value in terms.items())), round(offset, 9))
            alike[key] = alike.get(key, 0.0) + pull.cost / least_cost
            shapes[key] = (terms, offset)
    for key, cost in alike.items():
        _add_change(model, *shapes[key], cost)
    return True


def _add_change(model: WholeProgram, terms: Mapping[int, Number], offset: float, cost: float) -> None:
    """A column that is not below |terms + offset|, steps; tight between whole numbers where the terms are whole."""
    scale = lcm(*(int(value.denominator) for value in terms.values()))
    scaled = {column: float(value * scale) for column, value in terms.items()}
    offset *= scale
    change = model.column(cost / scale, 0.0, MOST_STEPS * scale, whole=False)
    model.row({**scaled, change: -1.0}, -INFINITY, -offset)
    model.row({**{column: -value for column, value in scaled.items()}, change: -1.0}, -INFINITY, offset)
    if not all(model.whole[column] for column in terms):
        return
    # k + offset with k whole: |k + offset| has no corner between whole k, so the chord below holds for all of them.
    nearest = -round(offset)
    part = offset + nearest * 1.0
    sign = 1.0 if part > 0 else -1.0
    slope = -sign * (1 - 2 * abs(part))
    model.row(
        {**{column: slope * value for column, value in scaled.items()}, change: -1.0},
        -INFINITY,
        -abs(part) + slope * nearest,
    )


def _add_bounds(model: WholeProgram, origin: _Origin, row: Row, bound: Bounds) -> bool:
    terms, at_reference = origin.shifted(row)
    ends = [None if end is None else end / origin.step - at_reference for end in (bound.least, bound.most)]
    if not terms:
        return (ends[0] is None or ends[0] <= 0) and (ends[1] is None or ends[1] >= 0)
    least, most = ends
    if all(model.whole[column] for column in terms):
        scale = rational(lcm(*(int(factor.denominator) for factor in terms.values())))
        common = rational(gcd(*(int((factor * scale).numerator) for factor in terms.values())))
        if scale < 10**6:
            factor = scale / common
            lower = -INFINITY if least is None else float(ceil(fraction(least * factor)))
            upper = INFINITY if most is None else float(-ceil(fraction(-most * factor)))
            model.row({column: float(value * factor) for column, value in terms.items()}, lower, upper)
            return lower <= upper
    rough = {column: float(value) for column, value in terms.items()}
    whole = {column: float(round(value)) for column, value in rough.items() if model.whole[column] and round(value)}
    if len(whole) > 1:
        # One column for the whole part: the search then branches on it and not on each of its terms.
        total = model.column(0.0, -MOST_STEPS, MOST_STEPS, whole=True)
        model.row({**whole, total: -1.0}, 0.0, 0.0)
        rough = {column: value - whole.get(column, 0.0) for column, value in rough.items()} | {total: 1.0}
    model.row(
        {column: value for column, value in rough.items() if value},
        -INFINITY if least is None else float(least),
        INFINITY if most is None else float(most),
    )
    return True
