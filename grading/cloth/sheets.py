"""Pieces laid on sheets: as few sheets as are found, and how few there can be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from grading.cloth.items import Item
from grading.cloth.laying import bound_of, lay
from grading.cloth.layout import Arrangement, Laid
from grading.cloth.searching import GLANCE, Search
from grading.cloth.stuff import Stuff
from grading.errors import Fault, LayoutFaults, PieceDoesNotFit
from grading.packing.bound import Bound


@dataclass(frozen=True)
class Leaf:
    """An item as it is laid on sheets: turned for good where it would be too long otherwise."""

    item: Item
    as_laid: Item

    def back(self, laid: Laid, sheet: int) -> Laid:
        """Its place on a sheet, as the item that it stands for."""
        is_turned = self.as_laid.across != self.item.across
        return Laid(self.item, laid.x, laid.y, laid.by_quarter or is_turned, sheet)


def lay_on_sheets(stuff: Stuff, items: Sequence[Item], how: Search) -> Arrangement:
    """Lay items on sheets, of which `stuff.sheet` is the measure along.

    Each sheet takes what a short arrangement of all that is left has within its length, then what else goes beside;
    the others go on to the next. So many sheets end to end are a cloth that holds all: a bound on its length is one on
    their number. Raises PieceDoesNotFit, LayoutFaults.
    """
    along = stuff.sheet or Fraction(0)
    bound = bound_of(stuff, items, how)
    leaves = [_leaf(stuff, item, along) for item in items]
    placed: dict[int, Laid] = {}
    left, sheets = list(range(len(items))), 0
    while left:
        taken = _fill(stuff, leaves, left, along, how)
        if not taken:
            raise _never_lies(stuff, items[left[0]])
        placed |= {index: leaves[index].back(laid, sheets) for index, laid in taken.items()}
        left = [index for index in left if index not in taken]
        sheets += 1
    pieces = tuple(placed[index] for index in range(len(items)))
    return Arrangement(pieces, sheets * along, least_sheets(stuff, bound) * along, bound.certificate, sheets=sheets)


def least_sheets(stuff: Stuff, bound: Bound) -> int:
    """How many sheets there are at least, by a bound on the length of cloth."""
    along = stuff.sheet or Fraction(0)
    return max(-(-(bound.length * stuff.grid) // (along + stuff.gap)), 1)


def _leaf(stuff: Stuff, item: Item, along: Fraction) -> Leaf:
    fits = item.along <= along and item.across <= stuff.width
    turns = item.turnable and item.across <= along and item.along <= stuff.width
    if fits:
        return Leaf(item, item if turns else replace(item, turnable=False))
    if turns:
        return Leaf(item, replace(item, across=item.along, along=item.across, turnable=False))
    needs = f"{stuff.text(item.across)} × {stuff.text(item.along)}"
    width = f"{stuff.text(stuff.width)} × {stuff.text(along)}"
    remedies = ("take larger sheets", "split the piece in two, joined by a seam")
    raise PieceDoesNotFit(stuff.role, item.letter, item.piece, item.layer, needs, width, remedies)


def _never_lies(stuff: Stuff, item: Item) -> LayoutFaults:
    problem = f"on its motif it reaches further than one sheet of {stuff.role}"
    return LayoutFaults([Fault(f"pieces.{item.piece}.motif", problem, "move the motif, or take larger sheets")])


def _fill(stuff: Stuff, leaves: Sequence[Leaf], left: Sequence[int], along: Fraction, how: Search) -> dict[int, Laid]:
    """What goes on the next sheet, by its place in the items."""
    taken = _within(stuff, leaves, left, along, how)
    for index in sorted(left, key=lambda index: -leaves[index].item.cloth):
        if index in taken or not _has_room(stuff, leaves, [*taken, index], along):
            continue
        tried = _within(stuff, leaves, [*taken, index], along, replace(how, effort=GLANCE))
        if len(tried) > len(taken):
            taken = tried
    return taken


def _within(
    stuff: Stuff, leaves: Sequence[Leaf], chosen: Sequence[int], along: Fraction, how: Search
) -> dict[int, Laid]:
    """Those that an arrangement of the chosen ones has within the length of a sheet."""
    arranged = lay(stuff, [leaves[index].as_laid for index in chosen], replace(how, told=None))
    return {index: laid for index, laid in zip(chosen, arranged.pieces, strict=True) if laid.y + laid.along <= along}


def _has_room(stuff: Stuff, leaves: Sequence[Leaf], chosen: Sequence[int], along: Fraction) -> bool:
    return sum(leaves[index].item.cloth for index in chosen) <= stuff.width * along
