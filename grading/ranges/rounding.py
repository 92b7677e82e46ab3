"""How far a size may have to move to lie on the ruler: a bound for each dimension, whatever the size.

All sizes on the ruler that keep the exact joins are x = R (offset + B t) for whole t (see `grading.solve.lattice`).
A size before the ruler has a real t. Rounding t to whole numbers moves it by at most 1/2 in each place; for each join with
pi one place is kept back and rounded last, so that the join is off by at most half of what one step there does. So a
size on the ruler is always found within the bounds given here, and the search for the least change finds one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from grading.exact import PI40
from grading.form import CONSTANT, Form
from grading.model import Problem, Relation
from grading.ranges.whole import Solutions, solve_whole
from grading.solve.compiled import column_order
from grading.solve.judge import REACHED
from grading.solve.lattice import Lattice, OffRuler, lattice_of
from grading.solve.row import Row, fraction, row_of

LOOSE_PART = Fraction(1, 2)
"""Parts of a step by which a dimension that no measure decides may be rounded."""


class NotOnRuler(Exception):
    """A reason why no bound can be given: the measures or joins that stand in the way."""

    def __init__(self, reason: str) -> None:
        self.reason = reason
        super().__init__(reason)


@dataclass(frozen=True)
class Movement:
    """What rounding may do: each dimension as a row over the places of t (mm), and the greatest error of each place.

    Loose dimensions (which no measure decides) are places of their own.
    """

    rows: Mapping[str, Mapping[int, Fraction]]
    errors: tuple[Fraction, ...]

    def of_form(self, form: Form) -> Fraction:
        """How far a form without roots may move, in mm."""
        total: dict[int, Fraction] = {}
        for terms, factor in ((form.plain, Fraction(1)), (form.pi, PI40)):
            for name, coefficient in terms.items():
                if name == CONSTANT:
                    continue
                for place, value in self.rows[name].items():
                    total[place] = total.get(place, Fraction(0)) + coefficient * factor * value
        return sum((abs(value) * self.errors[place] for place, value in total.items()), Fraction(0))

    def of_dimension(self, name: str) -> Fraction:
        """How far a dimension may move, in mm."""
        return sum((abs(value) * self.errors[place] for place, value in self.rows[name].items()), Fraction(0))


def movement(problem: Problem, relations: Sequence[Relation], still: Mapping[str, Fraction]) -> Movement:
    """The bound on the movement of every dimension for a branch of stock.

    `relations` are the problem's, with those of the stock chosen; `still` gives the dimensions that have one value at
    every size asked for, in mm. Raises NotOnRuler.
    """
    lattice = _lattice(problem, relations)
    free, solutions = _whole_unknowns(lattice, frozenset(still))
    rows = {name: _over_places(row, lattice, free, solutions) for name, row in lattice.rows.items()}
    whole = len(solutions.basis)
    errors = [Fraction(1, 2)] * whole + [LOOSE_PART * problem.ruler.step] * len(lattice.loose)
    for name, value in still.items():
        place, factor = next(iter(rows[name].items()), (whole, Fraction(1)))
        constant = _constant(lattice.rows[name], free, solutions)
        if len(rows[name]) == 1 and place < whole and ((value - constant) / factor).denominator == 1:
            errors[place] = Fraction(0)
    _keep_back([relation for relation in relations if relation.tolerance is not None], rows, errors)
    return Movement(rows, tuple(errors))


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
            raise NotOnRuler(f"{relation.says}: a slanted length is joined to another one")
        if relation.is_equation and relation.tolerance is None and relation.origin not in REACHED:
            equations[relation.id] = row_of(relation.form.plain)
            if relation.form.pi:
                equations[f"{relation.id}:pi"] = row_of(relation.form.pi)
    order = column_order(problem.dimensions)
    try:
        return lattice_of(problem.dimensions, order, equations, problem.measures, problem.ruler.step)
    except OffRuler as error:
        raise NotOnRuler(f"these cannot lie on the ruler together: {', '.join(error.labels)}") from None


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
    spared = {label for name in still for label in lattice.rows[name] if len(lattice.rows[name].keys() - {CONSTANT}) == 1}
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


def _keep_back(
    relations: Sequence[Relation], rows: Mapping[str, Mapping[int, Fraction]], errors: list[Fraction]
) -> None:
    """See that rounding keeps each join with a tolerance, where need be by a place that is rounded in view of it.

    A place is kept back for a join if no other join that is still to be seen to has it: the joins are then rounded in
    the reverse order, each when all of its other places are whole.
    """
    joins = _different_joins(relations, rows)
    tight = [join for join in joins if _off(join.moves, errors) > join.tolerance]
    order: list[tuple[_Join, int]] = []
    while tight:
        found = next(_private_places(tight, errors), None)
        if found is None:
            raise NotOnRuler(f"{tight[0].says}: rounding may leave it off by more than its tolerance")
        order.append(found)
        tight.remove(found[0])
    for join, place in reversed(order):
        rest = _off({p: v for p, v in join.moves.items() if p != place}, errors)
        errors[place] = rest / abs(join.moves[place]) + Fraction(1, 2)
    seen_to = {id(join) for join, _ in order}
    for join in joins:
        if id(join) not in seen_to and _off(join.moves, errors) > join.tolerance:
            raise NotOnRuler(f"{join.says}: rounding may leave it off by more than its tolerance")


@dataclass(frozen=True)
class _Join:
    says: str
    moves: Mapping[int, Fraction]
    tolerance: Fraction


def _different_joins(relations: Sequence[Relation], rows: Mapping[str, Mapping[int, Fraction]]) -> list[_Join]:
    joins: dict[tuple[tuple[int, Fraction], ...], _Join] = {}
    for relation in relations:
        moves = _moves(relation.form, rows)
        first = next(iter(sorted(moves)), None)
        sign = -1 if first is not None and moves[first] < 0 else 1
        key = tuple(sorted((place, value * sign) for place, value in moves.items()))
        tolerance = relation.tolerance or Fraction(0)
        if key not in joins or joins[key].tolerance > tolerance:
            joins[key] = _Join(relation.says, moves, tolerance)
    return list(joins.values())


def _off(moves: Mapping[int, Fraction], errors: Sequence[Fraction]) -> Fraction:
    return sum((abs(value) * errors[place] for place, value in moves.items()), Fraction(0))


def _private_places(joins: Sequence[_Join], errors: Sequence[Fraction]) -> Iterator[tuple[_Join, int]]:
    """A join and a place of it that no other of these joins has and one step of which is within its tolerance."""
    for join in joins:
        others = {place for other in joins if other is not join for place in other.moves}
        for place, value in join.moves.items():
            if errors[place] and place not in others and abs(value) / 2 <= join.tolerance:
                yield join, place


def _moves(form: Form, rows: Mapping[str, Mapping[int, Fraction]]) -> dict[int, Fraction]:
    moves: dict[int, Fraction] = {}
    for terms, factor in ((form.plain, Fraction(1)), (form.pi, PI40)):
        for name, coefficient in terms.items():
            if name != CONSTANT:
                for place, value in rows[name].items():
                    moves[place] = moves.get(place, Fraction(0)) + coefficient * factor * value
    return {place: value for place, value in moves.items() if value}
