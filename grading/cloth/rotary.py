"""Laying for a rotary cutter: strips across the whole cloth, columns of a strip, pieces of a column."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from grading.cloth.items import Item
from grading.cloth.laying import bound_length, bound_of, laid_length, placed, steps_told, task_of
from grading.cloth.layout import Arrangement, Column, Strip
from grading.cloth.searching import Search, best_plan
from grading.cloth.stuff import Stuff
from grading.packing.guillotine import StripPlan


def lay_in_strips(stuff: Stuff, items: Sequence[Item], how: Search, start: Arrangement | None = None) -> Arrangement:
    """Lay items so that straight cuts free them, no longer than `start` and than without turning.

    Raises PieceDoesNotFit, LayoutFaults.
    """
    bound = bound_of(stuff, items, how)
    plan = best_plan(task_of(stuff, items), how, steps_told(stuff, how, bound))
    pieces = placed(stuff, items, plan.packing)
    found = Arrangement(
        pieces, laid_length(pieces), bound_length(stuff, bound), bound.certificate, _strips(stuff, plan)
    )
    if start is not None and start.length < found.length:
        return replace(start, least=found.least, certificate=found.certificate)
    return found


def _strips(stuff: Stuff, plan: StripPlan) -> tuple[Strip, ...]:
    """The strips and columns in mm, without the gaps that follow them."""

    def length(steps: int) -> Fraction:
        return steps * stuff.grid

    return tuple(
        Strip(
            length(strip.y),
            length(strip.height) - stuff.gap,
            tuple(
                Column(stuff.start + length(column.x), length(column.width) - stuff.gap, column.items)
                for column in strip.columns
            ),
        )
        for strip in plan.strips
    )
