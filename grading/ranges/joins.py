"""Joins that hold within a tolerance: which places are kept back and rounded last, so that each is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from grading.model import Relation
from grading.ranges.places import PI_ROOM, NotOnRuler, moves, off


@dataclass(frozen=True)
class _Join:
    """A join: its row over places, and by how much it may be off, in mm."""

    says: str
    because: str
    path: str
    moves: Mapping[int, Fraction]
    tolerance: Fraction


@dataclass(frozen=True)
class _Sum:
    """A join as a sum of multiples of independent ones, by their places in the list of these."""

    join: _Join
    shares: Mapping[int, Fraction]


def keep_back(
    reserved: frozenset[int],
    relations: Sequence[Relation],
    rows: Mapping[str, Mapping[int, Fraction]],
    errors: list[Fraction],
) -> None:
    """See that rounding keeps each join with a tolerance, where need be by a place that is rounded in view of it.

    `errors` of places kept back are made larger in place. Raises NotOnRuler where no way was found: first only joins
    that would be too far off have a place kept back, then all that rounding moves.
    """
    independent, sums = _independent(_different_joins(relations, rows))
    moved = {index: off(join.moves, errors) for index, join in enumerate(independent)}
    tight = [index for index, most in moved.items() if most > independent[index].tolerance]
    spread = _spreads(rows)
    try:
        found = _kept(_order(independent, tight, errors, reserved, spread), independent, sums, errors)
    except NotOnRuler:
        every = [index for index, most in moved.items() if most]
        found = _kept(_order(independent, every, errors, reserved, spread), independent, sums, errors)
    errors[:] = found


def _order(
    independent: Sequence[_Join],
    wanted: Sequence[int],
    errors: Sequence[Fraction],
    reserved: frozenset[int],
    spread: Mapping[int, Fraction],
) -> list[tuple[int, int]]:
    """Which place is kept back for which join, in the order in which they are rounded.

    The last one is chosen first: a place that no other join has that is still to be seen to. So each is rounded when
    all other places of its join are whole.
    """
    left, order = list(wanted), list[tuple[int, int]]()
    while left:
        pairs = []
        for index in left:
            join = independent[index]
            others = {place for other in left if other != index for place in independent[other].moves}
            for place, value in join.moves.items():
                if errors[place] and place not in others | reserved and abs(value) / 2 <= join.tolerance:
                    rest = off({p: v for p, v in join.moves.items() if p != place}, errors) / abs(value)
                    pairs.append((rest * spread[place], place, index))
        if not pairs:
            raise _too_far_off(independent[left[0]])
        _, place, index = min(pairs)
        left.remove(index)
        order.append((index, place))
    return order[::-1]


def _kept(
    order: Sequence[tuple[int, int]], independent: Sequence[_Join], sums: Sequence[_Sum], before: Sequence[Fraction]
) -> list[Fraction]:
    """The errors of all places after those in order are rounded; raises NotOnRuler if a join may be too far off.

    A join whose place is rounded may be put anywhere between two bounds that are a step of it apart. So besides it,
    joins that are sums of it and of those rounded before are kept by it, as far as their bounds leave such a step.
    """
    errors, left, done = list(before), dict[int, Fraction](), set[int]()
    for index, place in order:
        join = independent[index]
        step = abs(join.moves[place])
        bounds: list[tuple[dict[int, Fraction], Fraction]] = [({}, join.tolerance)]
        for number, other in enumerate(sums):
            share = other.shares.get(index)
            if not share or number in done or other.join is join or not other.shares.keys() <= {*left, index}:
                continue
            centre = {key: -value / share for key, value in other.shares.items() if key != index}
            bound = (centre, other.join.tolerance / abs(share))
            if all(_between(bound, known, left) >= step for known in (*bounds, bound)):
                bounds.append(bound)
                done.add(number)
        beyond = max(off(centre, _listed(left)) - half + step / 2 for centre, half in bounds)
        left[index] = min(step / 2 + max(beyond, Fraction(0)), join.tolerance)
        rest = off({p: v for p, v in join.moves.items() if p != place}, errors)
        errors[place] = (rest + left[index]) / step
    for index, join in enumerate(independent):
        left.setdefault(index, off(join.moves, errors))
    for number, other in enumerate(sums):
        if number not in done:
            most = min(off(other.shares, _listed(left)), off(other.join.moves, errors))
            if most > other.join.tolerance:
                raise _too_far_off(other.join)
    return errors


def _between(
    one: tuple[dict[int, Fraction], Fraction], other: tuple[dict[int, Fraction], Fraction], left: Mapping[int, Fraction]
) -> Fraction:
    """The least length that two intervals (centre over joins, half the length) have in common."""
    apart = {key: one[0].get(key, Fraction(0)) - other[0].get(key, Fraction(0)) for key in {*one[0], *other[0]}}
    return one[1] + other[1] - off(apart, _listed(left))


def _listed(values: Mapping[int, Fraction]) -> list[Fraction]:
    return [values.get(index, Fraction(0)) for index in range(max(values, default=-1) + 1)]


def _too_far_off(join: _Join) -> NotOnRuler:
    return NotOnRuler(f"{join.says}: on the ruler it may be off by more than its tolerance", join.because, join.path)


def _different_joins(relations: Sequence[Relation], rows: Mapping[str, Mapping[int, Fraction]]) -> list[_Join]:
    joins: dict[tuple[tuple[int, Fraction], ...], _Join] = {}
    for relation in relations:
        over = moves(relation.form, rows)
        first = next(iter(sorted(over)), None)
        sign = -1 if first is not None and over[first] < 0 else 1
        key = tuple(sorted((place, value * sign) for place, value in over.items()))
        tolerance = (relation.tolerance or Fraction(0)) - (PI_ROOM if relation.form.pi else 0)
        if key not in joins or joins[key].tolerance > tolerance:
            joins[key] = _Join(relation.says, relation.because, relation.path, over, tolerance)
    return list(joins.values())


def _independent(joins: Sequence[_Join]) -> tuple[list[_Join], list[_Sum]]:
    """Joins none of which follows from the others, and each join as a sum of multiples of these."""
    independent: list[_Join] = []
    reduced: list[tuple[int, dict[int, Fraction], dict[int, Fraction]]] = []
    sums: list[_Sum] = []
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
        sums.append(_Sum(join, used))
    return independent, sums


def _less(row: Mapping[int, Fraction], other: Mapping[int, Fraction], factor: Fraction) -> dict[int, Fraction]:
    total = {key: row.get(key, Fraction(0)) - factor * other.get(key, Fraction(0)) for key in {**row, **other}}
    return {key: value for key, value in total.items() if value}


def _spreads(rows: Mapping[str, Mapping[int, Fraction]]) -> dict[int, Fraction]:
    """How far one step of each place moves a dimension at most, in mm."""
    spread: dict[int, Fraction] = {}
    for row in rows.values():
        for place, value in row.items():
            spread[place] = max(spread.get(place, Fraction(0)), abs(value))
    return spread
