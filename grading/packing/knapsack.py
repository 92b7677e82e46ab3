"""The most valuable filling of a capacity, exactly, where of each group one option at most may be taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from grading.packing.kernel import kernel

Whole = npt.NDArray[np.int64]
Choices = npt.NDArray[np.int16]
Flags = npt.NDArray[np.bool_]


@kernel("void(int64[::1], int64[::1], int64[::1], int64[::1], int16[:, ::1])")
def _fill(starts: Whole, sizes: Whole, values: Whole, greatest: Whole, taken: Choices) -> None:
    """Greatest value at each capacity, and the option (from 1) of each group that reaches it; sizes are above zero."""
    capacity = greatest.shape[0] - 1
    greatest[:] = 0
    for group in range(starts.shape[0] - 1):
        first, last = starts[group], starts[group + 1]
        for room in range(capacity, -1, -1):
            best, chosen = greatest[room], 0
            for option in range(first, last):
                if sizes[option] <= room:
                    value = greatest[room - sizes[option]] + values[option]
                    if value > best:
                        best, chosen = value, option - first + 1
            greatest[room] = best
            taken[group, room] = chosen


@kernel("void(int64[::1], int64[::1], int64, int64, int64[::1], int64[::1], boolean[:, ::1])", lean=True)
def fill_one_by_one(
    sizes: Whole, values: Whole, count: int, capacity: int, greatest: Whole, after: Whole, taken: Flags
) -> None:
    """The same for groups of one option: also the greatest value of the whole capacity `after` the first 1, 2, ...

    Only what stands before `count` is read, and up to `capacity` written. Of the first n options, the last one that is
    `taken` at a capacity belongs to the best filling; the others are found by walking back from what it leaves.
    """
    for room in range(capacity + 1):
        greatest[room] = 0
    for option in range(count):
        size, value, kept = sizes[option], values[option], taken[option]
        for room in range(min(size, capacity + 1)):
            kept[room] = False
        for room in range(capacity, size - 1, -1):
            better = greatest[room - size] + value > greatest[room]
            kept[room] = better
            if better:
                greatest[room] = greatest[room - size] + value
        after[option] = greatest[capacity]


@dataclass(frozen=True)
class Filling:
    """The greatest value for each capacity from 0, and for the last one the option taken of each group (-1: none)."""

    greatest: Whole
    options: tuple[int, ...]


def best_filling(groups: Sequence[Sequence[tuple[int, int]]], capacity: int) -> Filling:
    """Fill the capacity with options (size, value), one of a group at most.

    Exact: whole numbers, values below 2^62 in all. Time and memory grow as groups times capacity.
    """
    starts = np.cumsum([0, *(len(group) for group in groups)], dtype=np.int64)
    sizes = np.array([size for group in groups for size, _ in group], dtype=np.int64)
    values = np.array([value for group in groups for _, value in group], dtype=np.int64)
    greatest = np.zeros(capacity + 1, dtype=np.int64)
    taken = np.zeros((len(groups), capacity + 1), dtype=np.int16)
    _fill(starts, sizes, values, greatest, taken)
    options, room = [-1] * len(groups), capacity
    for group in range(len(groups) - 1, -1, -1):
        option = int(taken[group, room]) - 1
        if option >= 0:
            options[group] = option
            room -= groups[group][option][0]
    return Filling(greatest, tuple(options))
