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
from grading.ranges.whole import Solutions, single_out, solve_whole
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

    Loose dimensions (which no measure decides) are places of their own. `held` are those dimensions each of which is
    rounded by a place of its own in view of all that is rounded before: the greatest error of each, in mm.
    """

    rows: Mapping[str, Mapping[int, Fraction]]
    errors: tuple[Fraction, ...]
    held: Mapping[str, Fraction]

    def of_form(self, form: Form) -> Fraction:
        """How far a form without roots may move, in mm."""
        by_places = _off(_moves(form, self.rows), self.errors)
        by_dimensions = Fraction(0)
        for terms, factor in ((form.plain, Fraction(1)), (form.pi, PI40)):
            for name, coefficient in terms.items():
                if name != CONSTANT:
                    by_dimensions += abs(coefficient * factor) * self.of_dimension(name)
        return min(by_places, by_dimensions)

    def of_dimension(self, name: str) -> Fraction:
        """How far a dimension may move, in mm."""
        by_places = _off(self.rows[name], self.errors)
        return min(by_places, self.held.get(name, by_places))


def movement(problem: Problem, relations: Sequence[Relation], still: Mapping[str, Fraction]) -> Movement:
    """The bound on the movement of every dimension for a branch of stock.

    `relations` are the problem's, with those of the stock chosen; `still` gives the dimensions that have one value at
    every size asked for, in mm. Raises NotOnRuler.
    """
    lattice = _lattice(problem, relations)
    free, solutions = _whole_unknowns(lattice, frozenset(still))
    near = [name for name in problem.dimensions if name not in still and problem.reach[name] <= problem.ruler.step]
    solutions, own = _singled_out(lattice, free, solutions, [*still, *near])
    rows = {name: _over_places(row, lattice, free, solutions) for name, row in lattice.rows.items()}
    whole = len(solutions.basis)
    errors = [Fraction(1, 2)] * whole + [LOOSE_PART * problem.ruler.step] * len(lattice.loose)
    still_places: dict[int, Fraction] = {}
    for name, value in still.items():
        rest = value - _constant(lattice.rows[name], free, solutions)
        rest -= sum(
            (factor * still_places.get(place, Fraction(0)) for place, factor in rows[name].items()), Fraction(0)
        )
        unknown = [place for place in rows[name] if place not in still_places]
        if len(unknown) == 1 and unknown[0] < whole:
            at = rest / rows[name][unknown[0]]
            if at.denominator == 1:
                errors[unknown[0]], still_places[unknown[0]] = Fraction(0), at
    held: dict[str, Fraction] = {}
    for name in near:
        if name in own:
            place, factor = own[name], abs(rows[name][own[name]])
            rest = _off({p: v for p, v in rows[name].items() if p != place}, errors)
            errors[place], held[name] = rest / factor + Fraction(1, 2), factor / 2
    reserved = frozenset(own.values())
    _keep_back(reserved, [relation for relation in relations if relation.tolerance is not None], rows, errors)
    return Movement(rows, tuple(errors), held)


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


def _keep_back(
    reserved: frozenset[int],
    relations: Sequence[Relation],
    rows: Mapping[str, Mapping[int, Fraction]],
    errors: list[Fraction],
) -> None:
    """See that rounding keeps each join with a tolerance, where need be by a place that is rounded in view of it.

    A place is kept back for a join if no other join that is still to be seen to has it: the joins are then rounded in
    the reverse order, each when all of its other places are whole.
    """
    joins = _different_joins(relations, rows)
    independent, shares = _independent(joins)
    tight = [join for join in independent if _off(join.moves, errors) > join.tolerance]
    order: list[tuple[_Join, int]] = []
    while tight:
        found = min(
            _private_places(tight, errors, reserved), key=lambda pair: _spread(pair, rows, errors), default=None
        )
        if found is None:
            raise NotOnRuler(f"{tight[0].says}: rounding may leave it off by more than its tolerance")
        order.append(found)
        tight.remove(found[0])
    off = {}
    for join, place in reversed(order):
        rest = _off({p: v for p, v in join.moves.items() if p != place}, errors)
        errors[place] = rest / abs(join.moves[place]) + Fraction(1, 2)
        off[id(join)] = abs(join.moves[place]) / 2
    for join in independent:
        off.setdefault(id(join), _off(join.moves, errors))
    for join, parts in zip(joins, shares, strict=True):
        least = min(sum((abs(share) * off[id(other)] for other, share in parts), Fraction(0)), _off(join.moves, errors))
        if least > join.tolerance:
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


def _independent(joins: Sequence[_Join]) -> tuple[list[_Join], list[list[tuple[_Join, Fraction]]]]:
    """Joins none of which follows from the others, and each join as a sum of multiples of these."""
    independent: list[_Join] = []
    reduced: list[tuple[int, dict[int, Fraction], dict[int, Fraction]]] = []
    shares: list[list[tuple[_Join, Fraction]]] = []
    for join in joins:
        rest, used = dict(join.moves), dict[int, Fraction]()
        for pivot, row, parts in reduced:
            factor = rest.get(pivot, Fraction(0))
            if factor:
                rest = _less(rest, row, factor)
                used = _less(used, parts, -factor)
        if rest:
            pivot = next(iter(rest))
            scale = 1 / rest[pivot]
            own = len(independent)
            parts = {key: -value * scale for key, value in used.items()} | {own: scale}
            reduced.append((pivot, {key: value * scale for key, value in rest.items()}, parts))
            independent.append(join)
            used = {own: Fraction(1)}
        shares.append([(independent[key], value) for key, value in used.items()])
    return independent, shares


def _less(row: Mapping[int, Fraction], other: Mapping[int, Fraction], factor: Fraction) -> dict[int, Fraction]:
    total = {key: row.get(key, Fraction(0)) - factor * other.get(key, Fraction(0)) for key in {**row, **other}}
    return {key: value for key, value in total.items() if value}


def _off(moves: Mapping[int, Fraction], errors: Sequence[Fraction]) -> Fraction:
    return sum((abs(value) * errors[place] for place, value in moves.items()), Fraction(0))


def _spread(
    pair: tuple[_Join, int], rows: Mapping[str, Mapping[int, Fraction]], errors: Sequence[Fraction]
) -> tuple[Fraction, int]:
    """How far keeping this place back may move a dimension."""
    join, place = pair
    rest = _off({p: v for p, v in join.moves.items() if p != place}, errors) / abs(join.moves[place])
    return rest * max(abs(row[place]) for row in rows.values() if place in row), place


def _private_places(
    joins: Sequence[_Join], errors: Sequence[Fraction], reserved: frozenset[int]
) -> Iterator[tuple[_Join, int]]:
    """A join and a place of it, not reserved, that no other of these has and one step of which is within tolerance."""
    for join in joins:
        others = {place for other in joins if other is not join for place in other.moves}
        for place, value in join.moves.items():
            if errors[place] and place not in others | reserved and abs(value) / 2 <= join.tolerance:
                yield join, place


def _moves(form: Form, rows: Mapping[str, Mapping[int, Fraction]]) -> dict[int, Fraction]:
    moves: dict[int, Fraction] = {}
    for terms, factor in ((form.plain, Fraction(1)), (form.pi, PI40)):
        for name, coefficient in terms.items():
            if name != CONSTANT:
                for place, value in rows[name].items():
                    moves[place] = moves.get(place, Fraction(0)) + coefficient * factor * value
    return {place: value for place, value in moves.items() if value}
