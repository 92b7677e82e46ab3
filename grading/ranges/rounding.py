"""How far a size may have to move to lie on the ruler: a bound for each dimension, whatever the size.

All sizes on the ruler that keep the exact equations are x = R (offset + B t) + L y for whole t and any y, the loose
dimensions (see `grading.solve.lattice`; B is that of `grading.ranges.whole`). A size before the ruler has a real t,
one only. Rounding t and y in a fixed order (see `movement`) gives a size on the ruler that is off in each place by at
most the error given here; so one within these bounds always exists. It is not the one that is printed, which changes
least of all that keep every rule: that there is one at all is what is shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from grading.exact import PI40
from grading.form import CONSTANT, Form
from grading.model import Problem, Relation
from grading.ranges.joins import keep_back
from grading.ranges.places import NotOnRuler, moves, off
from grading.ranges.whole import Solutions, single_out, solve_whole
from grading.solve.compiled import column_order
from grading.solve.judge import REACHED
from grading.solve.lattice import Lattice, OffRuler, lattice_of, measure_label
from grading.solve.row import Row, fraction, row_of

LOOSE_PART = Fraction(1, 2)
"""Parts of a step by which a dimension that no measure decides may be rounded."""


@dataclass(frozen=True)
class Movement:
    """What rounding may do: each dimension as a row over the places of t (mm), and the greatest error of each place.

    Loose dimensions (which no measure decides) are places of their own, after the `whole` ones. `held` are those
    dimensions each of which is rounded by a place of its own in view of all that is rounded before: the greatest error
    of each, in mm. `constants` are the dimensions where all places are zero; `at_rest` are the places that have
    one whole value at every size, which rounding leaves as it is.
    """

    rows: Mapping[str, Mapping[int, Fraction]]
    constants: Mapping[str, Fraction]
    errors: tuple[Fraction, ...]
    held: Mapping[str, Fraction]
    at_rest: Mapping[int, Fraction]
    whole: int

    def of_form(self, form: Form) -> Fraction:
        """How far a form without roots may move, in mm."""
        by_places = off(moves(form, self.rows), self.errors)
        by_dimensions = Fraction(0)
        for terms, factor in ((form.plain, Fraction(1)), (form.pi, PI40)):
            for name, coefficient in terms.items():
                if name != CONSTANT:
                    by_dimensions += abs(coefficient * factor) * self.of_dimension(name)
        return min(by_places, by_dimensions)

    def of_dimension(self, name: str) -> Fraction:
        """How far a dimension may move, in mm."""
        by_places = off(self.rows[name], self.errors)
        return min(by_places, self.held.get(name, by_places))

    def first_below(self, form: Form) -> Fraction | None:
        """The greatest value below zero (mm) that a form takes on the ruler; None where its values are not apart.

        Over whole t a rational form takes the values constant + multiples of what divides all coefficients of the
        places that are not at rest.
        """
        over = moves(form, self.rows)
        if not form.is_rational or any(place >= self.whole for place in over):
            return None
        value = sum(
            (number * (self.constants[name] if name else 1) for name, number in form.plain.items()), Fraction(0)
        )
        value += sum((over.pop(place, Fraction(0)) * at for place, at in self.at_rest.items()), Fraction(0))
        if not over:
            return value if value < 0 else None
        apart = _divisor(over.values())
        return value % apart - apart


def _divisor(values: Iterable[Fraction]) -> Fraction:
    """The greatest rational of which all of these are multiples."""
    listed = list(values)
    scale = lcm(*(value.denominator for value in listed))
    return Fraction(gcd(*(int(value * scale) for value in listed)), scale)


def movement(problem: Problem, relations: Sequence[Relation], still: Mapping[str, Fraction]) -> Movement:
    """The bound on the movement of every dimension for a branch of stock.

    `relations` are the problem's, with those of the stock chosen; `still` gives the dimensions that have one value at
    every size asked for, in mm. Raises NotOnRuler.

    The order of rounding, on which the bounds rest: loose dimensions to whole steps; then the places of held
    dimensions, each in view of those before it; then all others, each by itself, but for the places kept back; and
    these last, each in view of all others of its join.
    """
    lattice = _lattice(problem, relations)
    free, solutions = _whole_unknowns(lattice, frozenset(still))
    near = [name for name in problem.dimensions if name not in still and problem.reach[name] <= problem.ruler.step]
    solutions, own = _singled_out(lattice, free, solutions, [*still, *near])
    rows = {name: _over_places(row, lattice, free, solutions) for name, row in lattice.rows.items()}
    constants = {name: _constant(row, free, solutions) for name, row in lattice.rows.items()}
    whole = len(solutions.basis)
    errors = [Fraction(1, 2)] * whole + [LOOSE_PART * problem.ruler.step] * len(lattice.loose)
    at_rest = _places_at_rest(still, rows, constants, whole)
    for place in at_rest:
        errors[place] = Fraction(0)
    held: dict[str, Fraction] = {}
    for name in near:
        if name in own:
            place, factor = own[name], abs(rows[name][own[name]])
            rest = off({p: v for p, v in rows[name].items() if p != place}, errors)
            errors[place], held[name] = rest / factor + Fraction(1, 2), factor / 2
    # Loose places are rounded first and are in view of held ones, so they cannot be kept back.
    reserved = frozenset({*own.values(), *range(whole, len(errors))})
    keep_back(reserved, [relation for relation in relations if relation.tolerance is not None], rows, errors)
    return Movement(rows, constants, tuple(errors), held, at_rest, whole)


def _places_at_rest(
    still: Mapping[str, Fraction],
    rows: Mapping[str, Mapping[int, Fraction]],
    constants: Mapping[str, Fraction],
    whole: int,
) -> dict[int, Fraction]:
    """Places of t that are one whole number at every size, as dimensions that stay show: rounding leaves them."""
    known: dict[int, Fraction] = {}
    for name, value in still.items():
        unknown = [place for place in rows[name] if place not in known]
        if len(unknown) != 1 or unknown[0] >= whole:
            continue
        rest = value - constants[name]
        rest -= sum((factor * known[place] for place, factor in rows[name].items() if place in known), Fraction(0))
        at = rest / rows[name][unknown[0]]
        if at.denominator == 1:
            known[unknown[0]] = at
    return known


def _singled_out(
    lattice: Lattice, free: list[str], solutions: Solutions, held: Sequence[str]
) -> tuple[Solutions, dict[str, int]]:
    """The same solutions, in places of t such that held dimensions have each a place of their own besides those of
    earlier ones; and these places. A dimension that follows from earlier ones has none.
    """
    columns = [list(column) for column in solutions.basis]
    own: dict[str, int] = {}
    for name in held:
        row = {label: fraction(value) for label, value in lattice.rows[name].items() if label in free}
        if len(own) < len(columns) and single_out(columns, len(own), [row.get(label, Fraction(0)) for label in free]):
            own[name] = len(own)
    return Solutions(solutions.offset, tuple(tuple(column) for column in columns)), own


def _constant(row: Row, free: list[str], solutions: Solutions) -> Fraction:
    """What a dimension is where t is zero, loose dimensions apart."""
    total = Fraction(0)
    for label, number in row.items():
        if label == CONSTANT:
            total += fraction(number)
        elif label in free:
            total += fraction(number) * solutions.offset[free.index(label)]
    return total


def _lattice(problem: Problem, relations: Sequence[Relation]) -> Lattice:
    equations: dict[str, Row] = {}
    for relation in relations:
        if relation.form.roots:
            says = f"{relation.says}: nothing is shown of slanted or curved lengths"
            raise NotOnRuler(says, relation.because, relation.path)
        if relation.is_equation and relation.tolerance is None and relation.origin not in REACHED:
            equations[relation.id] = row_of(relation.form.plain)
            if relation.form.pi:
                equations[f"{relation.id}:pi"] = row_of(relation.form.pi)
    order = column_order(problem.dimensions)
    try:
        return lattice_of(problem.dimensions, order, equations, problem.measures, problem.ruler.step)
    except OffRuler as error:
        raise NotOnRuler(f"these cannot lie on the ruler together: {_named(problem, relations, error)}") from None


def _named(problem: Problem, relations: Sequence[Relation], error: OffRuler) -> str:
    """Measures and relations in a maker's words, at most six."""
    words = {relation.id: relation.says for relation in relations}
    words |= {measure_label(place): measure.about for place, measure in enumerate(problem.measures)}
    listed = list(dict.fromkeys(words.get(label.removesuffix(":pi"), label) for label in error.labels))
    return ", ".join(listed[:6]) + (f" and {len(listed) - 6} more" if len(listed) > 6 else "")


def _whole_unknowns(lattice: Lattice, still: frozenset[str]) -> tuple[list[str], Solutions]:
    used = {label for row in lattice.rows.values() for label in row}
    free = [label for label in lattice.whole if label in used]
    conditions = [
        (
            [fraction(tie[label]) if label in tie else Fraction(0) for label in free],
            fraction(tie[CONSTANT]) if CONSTANT in tie else Fraction(0),
        )
        for tie in lattice.ties
    ]
    spared = {
        label for name in still for label in lattice.rows[name] if len(lattice.rows[name].keys() - {CONSTANT}) == 1
    }
    solutions = solve_whole(len(free), conditions, frozenset(free.index(label) for label in spared if label in free))
    if solutions is None:
        raise NotOnRuler("no size has all of its measures on this ruler")
    return free, solutions


def _over_places(row: Row, lattice: Lattice, free: list[str], solutions: Solutions) -> dict[int, Fraction]:
    places: dict[int, Fraction] = {}
    for label, number in row.items():
        if label == CONSTANT:
            continue
        value = fraction(number)
        if label in lattice.loose:
            places[len(solutions.basis) + lattice.loose.index(label)] = value
            continue
        for place, column in enumerate(solutions.basis):
            part = column[free.index(label)]
            if part:
                places[place] = places.get(place, Fraction(0)) + value * part
    return {place: value for place, value in places.items() if value}
