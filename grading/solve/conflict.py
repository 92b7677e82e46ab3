"""Conflicts: irreducible sets of relations that cannot hold together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

from grading.errors import RelationInConflict
from grading.model.relation import Relation

Item = TypeVar("Item")


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
