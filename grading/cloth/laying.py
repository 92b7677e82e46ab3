"""Laying the items of a cloth: the shortest arrangement that is found, and how short none can be."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from grading.cloth.items import Item
from grading.cloth.layout import Arrangement, Laid
from grading.cloth.searching import Search, best_packing, bound_on
from grading.cloth.stuff import Stuff
from grading.errors import Fault, LayoutFaults, PieceDoesNotFit
from grading.packing.bound import Bound
from grading.packing.errors import DoesNotFit
from grading.packing.task import Item as PackedItem
from grading.packing.task import Packing, PackingTask, Position


def task_of(stuff: Stuff, items: Sequence[Item]) -> PackingTask:
    """The items as rectangles in steps of the grid, the gap to the next part of each; in a right border's mirror."""
    return PackingTask(
        stuff.steps(stuff.width + stuff.gap),
        tuple(_packed(stuff, item) for item in items),
        (stuff.steps(stuff.repeat[0]), stuff.steps(stuff.repeat[1])),
    )


def _packed(stuff: Stuff, item: Item) -> PackedItem:
    across, along = stuff.steps(item.across + stuff.gap), stuff.steps(item.along + stuff.gap)
    motif = None
    if item.corner is not None:
        x = mirrored(stuff, item.corner[0], item.across)
        repeat = stuff.repeat[0]
        motif = stuff.steps(x % repeat if repeat else x), stuff.steps(item.corner[1])
    return PackedItem(across, along, item.turnable, motif, item.on_fold or item.on_border)


def mirrored(stuff: Stuff, x: Fraction, across: Fraction) -> Fraction:
    """A place across in the mirror of a right border, and back; else as it is."""
    return stuff.width - x - across if stuff.material.border == "right" else x


def lay(stuff: Stuff, items: Sequence[Item], how: Search, start: Packing | None = None) -> Arrangement:
    """Lay items on a cloth by free cutting, no longer than `start`, than in strips, and than without turning.

    Raises PieceDoesNotFit, LayoutFaults.
    """
    bound = bound_of(stuff, items, how)
    packing = best_packing(task_of(stuff, items), bound, how, steps_told(stuff, how, bound), start)
    pieces = placed(stuff, items, packing)
    return Arrangement(pieces, laid_length(pieces), bound_length(stuff, bound), bound.certificate)


def steps_told(stuff: Stuff, how: Search, bound: Bound) -> Callable[[int], None] | None:
    """What is told a length in steps with the gap, and tells it on in mm without, with the least that there can be."""
    told, least = how.told, bound_length(stuff, bound)
    return None if told is None else lambda steps: told(steps * stuff.grid - stuff.gap, least)


def bound_of(stuff: Stuff, items: Sequence[Item], how: Search) -> Bound:
    """How short no arrangement of items can be, in steps with the gap. Raises PieceDoesNotFit, LayoutFaults."""
    try:
        return bound_on(task_of(stuff, items), how)
    except DoesNotFit as refused:
        raise refusal(stuff, items[refused.item], refused) from None


def bound_length(stuff: Stuff, bound: Bound) -> Fraction:
    """The length that no arrangement is below, without the gap after the last piece."""
    return max(bound.length * stuff.grid - stuff.gap, Fraction(0))


def laid_length(pieces: Sequence[Laid]) -> Fraction:
    """How far the pieces reach along the cloth."""
    return max((laid.y + laid.along for laid in pieces), default=Fraction(0))


def placed(stuff: Stuff, items: Sequence[Item], packing: Packing) -> tuple[Laid, ...]:
    """The items at the places of a packing."""
    laid = []
    for item, position in zip(items, packing.positions, strict=True):
        across = item.along if position.turned else item.across
        x = mirrored(stuff, position.x * stuff.grid, across)
        laid.append(Laid(item, stuff.start + x, position.y * stuff.grid, position.turned))
    return tuple(laid)


def packing_of(stuff: Stuff, pieces: Sequence[Laid]) -> Packing:
    """Pieces in their places as a packing."""
    from_left = [mirrored(stuff, laid.x - stuff.start, laid.across) for laid in pieces]
    positions = tuple(
        Position(stuff.steps(x), stuff.steps(laid.y), laid.by_quarter)
        for x, laid in zip(from_left, pieces, strict=True)
    )
    return Packing(stuff.steps(laid_length(pieces) + stuff.gap), positions)


def refusal(stuff: Stuff, item: Item, refused: DoesNotFit) -> PieceDoesNotFit | LayoutFaults:
    """Why an item does not fit, with what would help."""
    needs, width = item.across, stuff.width
    if item.corner is not None and needs <= width:
        problem = (
            f"on its motif it would reach {stuff.text(refused.across * stuff.grid - stuff.gap)} across {stuff.role},"
            f" and {stuff.text(width)} are there"
        )
        return LayoutFaults(
            [Fault(f"pieces.{item.piece}.motif", problem, "move the motif on the print, or take a wider cloth")]
        )
    remedies = list(_remedies(stuff, item))
    return PieceDoesNotFit(
        stuff.role, item.letter, item.piece, item.layer, stuff.text(needs), stuff.text(width), remedies
    )


def _remedies(stuff: Stuff, item: Item) -> list[str]:
    remedies = []
    if not item.turnable and item.along <= stuff.width and item.kind == "piece":
        remedies.append(f"let it be turned, which takes {stuff.text(item.along)} across (direction: any)")
    if stuff.style == "folded":
        remedies.append(
            f"lay this cloth single (settings.cloths.{stuff.role}.style: scissors), or cut the piece on the fold"
        )
    beside = stuff.washed - stuff.width * (2 if stuff.style == "folded" else 1)
    wide = item.across * (2 if stuff.style == "folded" else 1) + beside
    if stuff.sheet is None:
        remedies.append(f"take a cloth of at least {stuff.text(stuff.ruler.raised(wide / stuff.kept[0]))} usable width")
    else:
        remedies.append("take larger sheets")
    remedies.append("split the piece in two, joined by a seam")
    return remedies
