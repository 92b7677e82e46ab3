"""Fillings of a capacity: the greatest weight that fits, and which sums of sizes there are, in whole numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

# A size and what it weighs.
Choice = tuple[int, int]
# Real cloth stays far below; they bound the time and the memory that a hostile certificate can take.
MOST_WORK = 5_000_000
MOST_BITS = 200_000_000


class TooMuchWork(Exception):
    """A certificate that would take longer to check than any for real cloth."""


def heaviest(groups: Iterable[Sequence[Choice]], capacity: int) -> int:
    """Return the greatest sum of weights of at most one choice of each group whose sizes fit the capacity together.

    Kept are the fillings that no other one beats: each is heavier than all that take no more room.
    """
    # Sizes with weights below 0, so that of equal sizes the heavier one comes first.
    best: list[Choice] = [(0, 0)]
    work = 0
    for group in groups:
        before = best
        for size, weight in group:
            if size <= capacity and weight > 0:
                grown = [(room + size, total - weight) for room, total in before if room + size <= capacity]
                best = list(_unbeaten(best, grown))
                work += len(best)
        if work > MOST_WORK:
            raise TooMuchWork
    return -best[-1][1]


def _unbeaten(first: list[Choice], second: list[Choice]) -> Iterator[Choice]:
    """Merge two lists in order of size; yield those that weigh more than everything before them."""
    heaviest_yet = 1
    for filling in sorted(first + second):
        if filling[1] < heaviest_yet:
            heaviest_yet = filling[1]
            yield filling


def sums(groups: Sequence[Iterable[int]], most: int) -> int:
    """Return the sums up to `most` of at most one number of each group, as the bits of a whole number."""
    if (most + 1) * max(1, len(groups)) > MOST_BITS:
        raise TooMuchWork
    kept = (1 << (most + 1)) - 1
    reached = 1
    for group in groups:
        before = reached
        for number in group:
            if number <= most:
                reached |= before << number
        reached &= kept
    return reached
