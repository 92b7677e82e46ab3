"""Lengths refuted by cuts along the strip: what would have to lie in the columns of so short a strip is too much."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from grading.packing.ways import Kind, Lengths
from grading.packing.weighing import ALMOST, Demand, Floats, Weighed, Weighing, rounds_for

LEAP = 8
"""Lengths up to one part in so many above a refuted one are tried with the same weights."""


@dataclass(frozen=True)
class Refuted:
    """No packing is as short as `length`: with these whole weights (for each kind and way) it would hold too much."""

    length: int
    weights: tuple[tuple[int, ...], ...]


def refute(
    kinds: tuple[Kind, ...],
    lengths: Lengths,
    width: int,
    known: int,
    effort: int,
    stop: Callable[[], bool] | None = None,
) -> Refuted | None:
    """The greatest length from `known` (itself not below any item's least) that is found to be too short, if any."""
    best: Refuted | None = None
    length, rows = known, list[Floats]()
    while effort > 0 and not (stop is not None and stop()):
        demands = _demands(kinds, length)
        weighing = Weighing(demands, length, rows)
        rounds = rounds_for(weighing, effort)
        if not rounds:
            break
        judged = weighing.search(rounds, lambda bound, most: _decided(width, bound, most), stop)
        effort -= 1 + len(weighing.rows) - len(rows)
        if judged.bound <= width:
            break
        best = _furthest(kinds, demands, length, judged, width)
        length = lengths.up(best.length + 1)
        rows = weighing.rows if _demands(kinds, length) == demands else []
    return best


def _decided(width: int, bound: Fraction, most: Fraction) -> bool:
    return bound > width or most <= width + ALMOST


def _demands(kinds: tuple[Kind, ...], length: int) -> list[Demand]:
    return [
        Demand(kind.count, tuple((way.along, way.across) for way in kind.ways if way.along <= length)) for kind in kinds
    ]


def _furthest(kinds: tuple[Kind, ...], demands: list[Demand], length: int, judged: Weighed, width: int) -> Refuted:
    """The greatest length that the same weights refute, with the same ways."""
    longer = [way.along for kind in kinds for way in kind.ways if way.along > length]
    last = min([length + length // LEAP, *(along - 1 for along in longer)])
    heaviest = Weighing(demands, last).greatest([weight for each in judged.weights for weight in each])
    refuted = int(np.flatnonzero(heaviest * width < judged.total)[-1])
    coarse = Weighing(demands, refuted).simplified(judged, lambda trial: trial.bound > width)
    weights = tuple(_all_ways(kind, each, length) for kind, each in zip(kinds, coarse.weights, strict=True))
    return Refuted(refuted, weights)


def _all_ways(kind: Kind, weights: tuple[int, ...], length: int) -> tuple[int, ...]:
    """With 0 for the ways that are too long."""
    left = iter(weights)
    return tuple(next(left) if way.along <= length else 0 for way in kind.ways)
