"""Conflicts: irreducible sets of relations that cannot hold together, and multipliers that show it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction
from typing import TypeVar

from grading.errors import ConflictBranch, RelationInConflict
from grading.exact import PI40
from grading.form import CONSTANT, Form
from grading.model.relation import Relation

Item = TypeVar("Item")
Order = tuple[int, int, int]


def named(relations: Iterable[Relation]) -> list[RelationInConflict]:
    """Relations as a person meets them."""
    return [RelationInConflict(each.id, each.says, each.because, each.path) for each in relations]


def spared(relations: Sequence[Item], cannot_hold: Callable[[Sequence[Item]], bool]) -> list[Item]:
    """An irreducible part of relations that cannot hold together, later ones spared first.

    Divide and conquer after Junker, QUICKXPLAIN (AAAI 2004): about k log(n/k) questions for k of n.
    """

    def explain(kept: list[Item], grown: bool, among: list[Item]) -> list[Item]:
        if grown and cannot_hold(kept):
            return []
        if len(among) == 1:
            return among
        half = len(among) // 2
        first, second = among[:half], among[half:]
        of_second = explain([*kept, *first], True, second)
        of_first = explain([*kept, *of_second], bool(of_second), first)
        return of_first + of_second

    return explain([], False, list(relations)) if relations else []


def branch_shown(
    relations: Sequence[Relation],
    multipliers: Mapping[str, Fraction],
    stock: Mapping[str, Fraction],
    order: Order | None = None,
) -> ConflictBranch | None:
    """Multipliers scaled, in the order of the relations; None unless they show the contradiction, exactly."""
    given = {relation.id: relation for relation in relations}
    if not multipliers or not set(multipliers) <= set(given):
        return None
    used = {label: Fraction(multipliers[label]) for label in given if multipliers.get(label)}
    total = _constant(given[label].form.times(factor) for label, factor in used.items())
    if total is None or not total:
        return None
    sign = -1 if total > 0 else 1
    if any(sign * factor < 0 and not given[label].is_equation for label, factor in used.items()):
        return None
    scale = sign / abs(next(iter(used.values())))
    return ConflictBranch(dict(stock), {label: factor * scale for label, factor in used.items()}, order)


def _constant(forms: Iterable[Form]) -> Fraction | None:
    """What forms add up to, pi as PI40, if that is a constant."""
    total = Form()
    for form in forms:
        total += form
    if total.roots or any(
        total.plain.get(name, Fraction(0)) + PI40 * total.pi.get(name, Fraction(0)) for name in total.names
    ):
        return None
    return total.constant + PI40 * total.pi.get(CONSTANT, Fraction(0))
