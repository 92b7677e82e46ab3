"""Rectangles on a strip: what is to be packed, and where each was put.

All lengths are whole numbers of one step, exactly. The strip lies with its width across (x, from 0) and runs along
(y, from 0) without end; the length that is used is made least.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Item:
    """A rectangle to be placed once, in steps; gaps between neighbours are part of its measures.

    `turnable`: it may be turned by 90 degrees. `motif`: its corner nearest to (0, 0) lies at a place that is this one
    modulo the task's repeat; such an item is not turned. `at_fold`: it lies with its side on x = 0, not turned.
    """

    across: int
    along: int
    turnable: bool = False
    motif: tuple[int, int] | None = None
    at_fold: bool = False


@dataclass(frozen=True)
class PackingTask:
    """Items for a strip of this width. `repeat` is that of the print across and along, in steps; 0: none that way."""

    width: int
    items: tuple[Item, ...]
    repeat: tuple[int, int] = (0, 0)


@dataclass(frozen=True)
class Position:
    """Where an item's corner nearest to (0, 0) lies, in steps, and whether the item is turned by 90 degrees."""

    x: int
    y: int
    turned: bool = False


@dataclass(frozen=True)
class Packing:
    """A position for each item of a task, in its order, and the length of strip that they take, in steps."""

    length: int
    positions: tuple[Position, ...]
