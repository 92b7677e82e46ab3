"""The lattice: all points at which exact relations hold and every measure is a whole number of steps."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from grading.form import CONSTANT
from grading.model.problem import Measure
from grading.solve.elimination import Elimination, Inconsistent, eliminate
from grading.solve.row import ZERO, Number, Row, constant_of, rational, row_of, substituted


class OffRuler(Exception):
    """Labels of rows and of measures that no point can keep together."""

    def __init__(self, labels: Iterable[str]) -> None:
        self.labels = tuple(labels)
        super().__init__(", ".join(self.labels))


@dataclass(frozen=True)
class Lattice:
    """Each dimension (in mm) as a row of whole unknowns (steps) and loose ones (mm).

    whole   unknowns "measure:N" that are whole numbers, N the place of the measure that is so many steps long
    loose   dimensions that no measure decides
    rows    each dimension as a row of both
    ties    rows of whole unknowns that must be zero: measures that are fractions of others
    """

    whole: tuple[str, ...]
    loose: tuple[str, ...]
    rows: Mapping[str, Row]
    ties: tuple[Row, ...]


def measure_label(place: int) -> str:
    """The label of a measure, by its place in the problem's list."""
    return f"measure:{place}"


def lattice_of(
    dimensions: Sequence[str],
    order: Sequence[str],
    equations: Mapping[str, Row],
    measures: Sequence[Measure],
    step: Fraction,
) -> Lattice:
    """The lattice of exact equations and measures. Raises OffRuler if it is shown to be empty."""
    try:
        reduced = eliminate(equations, order)
    except Inconsistent as error:
        raise OffRuler(error.multipliers) from None
    size = rational(step)
    kept = _different(reduced, measures, size)
    # Measures that are small parts of others decide first: the others are then whole multiples of them.
    kept.sort(key=lambda place: (_coarseness(substituted(row_of(measures[place].form.plain), reduced.solution)), place))
    rows = dict(equations)
    for place in kept:
        rows[measure_label(place)] = {**row_of(measures[place].form.plain), measure_label(place): -size}
    labels = [measure_label(place) for place in kept]
    solved = eliminate(rows, [*order, *reversed(labels)])
    ties = []
    fractional = []
    for label in labels:
        if label in solved.solution:
            tie = _tie(solved, label)
            if tie is not None:
                ties.append(tie)
                fractional.append(label)
    return Lattice(
        whole=tuple(label for label in labels if label not in solved.solution or label in fractional),
        loose=tuple(name for name in dimensions if name not in solved.solution),
        rows={name: solved.solution[name] if name in solved.solution else {name: rational(1)} for name in dimensions},
        ties=tuple(ties),
    )


def _different(reduced: Elimination, measures: Sequence[Measure], step: Number) -> list[int]:
    """Places of measures that say something that no other says; constants only if they are off the ruler."""
    seen = set()
    kept = []
    for place, measure in enumerate(measures):
        if not measure.form.is_rational:
            raise OffRuler([measure_label(place)])
        row = substituted(row_of(measure.form.plain), reduced.solution)
        steps = row.pop(CONSTANT, ZERO) / step
        names = sorted(row)
        if names and row[names[0]] < 0:
            row, steps = {name: -value for name, value in row.items()}, -steps
        part = steps - (steps.numerator // steps.denominator)
        key = (tuple((name, row[name]) for name in names), part)
        if key not in seen and (names or part):
            kept.append(place)
        seen.add(key)
    return kept


def _coarseness(row: Row) -> tuple[float, int]:
    sizes = [abs(float(value)) for name, value in row.items() if name]
    return max(sizes, default=0.0), len(sizes)


def _tie(solved: Elimination, label: str) -> Row | None:
    """What makes a dependent measure whole: nothing, or a row of whole numbers. Raises OffRuler if nothing can."""
    row = solved.solution[label]
    constant = constant_of(row)
    if all(value.denominator == 1 for name, value in row.items() if name):
        if constant.denominator != 1:
            raise OffRuler([label, *(other for other in solved.combination[label] if other != label)])
        return None
    return {**row, label: rational(-1)}
