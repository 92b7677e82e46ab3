"""Searches for short packings: by free cutting, by strips, with and without turning, never worse for more freedom."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from grading.cloth.settings import Effort
from grading.packing.bound import Bound, least_length
from grading.packing.errors import DoesNotFit
from grading.packing.guillotine import StripPlan, cut_in_strips
from grading.packing.search import THOROUGH, search
from grading.packing.search import Effort as Placements
from grading.packing.shortest import shortest
from grading.packing.task import Packing, PackingTask

Stop = Callable[[], bool]
Told = Callable[[Fraction, Fraction], None]
AnyEffort = Effort | Literal["glance"]

GLANCE: Literal["glance"] = "glance"
"""The effort for what is only told of besides: other widths, fat quarters."""
SEARCHED: Mapping[AnyEffort, Placements] = {
    "glance": Placements(100_000),
    "quick": Placements(1_000_000),
    "usual": Placements(3_000_000),
    "thorough": THOROUGH,
}
TRIALS: Mapping[AnyEffort, int] = {"glance": 40, "quick": 300, "usual": 1000, "thorough": 60_000}
"""How many trials a search for strips has."""
FEW = 15
"""Up to so many pieces the shortest arrangement is looked for by a constraint program too."""
PROVEN: Mapping[AnyEffort, float] = {"glance": 0, "quick": 0.03, "usual": 0.05, "thorough": 20}
"""How many deterministic seconds that has: about as many on one core of 2025."""
BOUNDED: Mapping[AnyEffort, int] = {"glance": 0, "quick": 50, "usual": 100, "thorough": 400}
"""How many rounds the search for a length that nothing is below has."""


@dataclass(frozen=True)
class Search:
    """How an arrangement is searched for; `told` is told each length found and the
    least that there can be, in mm."""

    effort: AnyEffort
    seed: int
    stop: Stop | None = None
    told: Told | None = None


Steps = Callable[[int], None]


def bound_on(task: PackingTask, how: Search) -> Bound:
    """How short no packing of a task can be. Raises DoesNotFit."""
    return least_length(task, BOUNDED[how.effort], how.stop)


def best_plan(task: PackingTask, how: Search, told: Steps | None) -> StripPlan:
    """The shortest plan of strips found, with turning or without. Raises DoesNotFit."""
    plans = [_plan(task, how, told)]
    if _can_turn(task):
        with suppress(DoesNotFit):
            plans.append(_plan(_upright(task), how, told))
    return min(plans, key=lambda plan: plan.length)


def best_packing(
    task: PackingTask, bound: Bound, how: Search, told: Steps | None, start: Packing | None = None
) -> Packing:
    """The shortest packing found: no longer than `start`, than what is found without turning, and than strips.

    Raises DoesNotFit.
    """
    if _can_turn(task):
        upright, unturned = _upright(task), start
        if start is not None and any(place.turned for place in start.positions):
            unturned = None
        with suppress(DoesNotFit):
            found = _packing(upright, bound_on(upright, how), how, told, unturned)
            start = found if start is None or found.length < start.length else start
    return _packing(task, bound, how, told, start)


def _can_turn(task: PackingTask) -> bool:
    return any(item.turnable for item in task.items)


def _upright(task: PackingTask) -> PackingTask:
    return replace(task, items=tuple(replace(item, turnable=False) for item in task.items))


def _plan(task: PackingTask, how: Search, told: Steps | None) -> StripPlan:
    return cut_in_strips(task, TRIALS[how.effort], how.seed, how.stop, told)


def _packing(task: PackingTask, bound: Bound, how: Search, told: Steps | None, start: Packing | None) -> Packing:
    found = min((start, *_strips(task, how, told)), key=_length)
    if found is not None and found.length <= bound.length:
        return found
    found = search(task, SEARCHED[how.effort], how.seed, how.stop, told, found, bound.length)
    limit = PROVEN[how.effort]
    if not limit or found.length <= bound.length or len(task.items) > FEW:
        return found
    return shortest(task, found, bound.length, limit, how.stop).packing


def _length(packing: Packing | None) -> float:
    return float("inf") if packing is None else packing.length


def _strips(task: PackingTask, how: Search, told: Steps | None) -> Iterator[Packing]:
    """Strips are free cutting too, where nothing is held by a print or at a side."""
    if not any(item.at_fold or item.motif is not None for item in task.items):
        yield _plan(task, how, told).packing
