"""What is laid on a cloth: each piece of the cut list, strips that are joined, blocks that bias binding is cut from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import isqrt
from typing import Literal

from grading.cloth.bias import Block, block_of
from grading.cloth.prints import Anchor, lies_by_print, place_on_print
from grading.cloth.stuff import Stuff
from grading.cloth.turning import Sort, lie_of
from grading.cut import Row
from grading.cut.cut_list import default_allowance, joined
from grading.document.pieces import RectangleOutline
from grading.grade import Grade

Kind = Literal["piece", "strip", "block"]


@dataclass(frozen=True)
class Item:
    """One entry of a layout before it has its place; measures in mm on the grid, as it lies when not turned by 90.

    turned    0 or 180, clockwise
    turnable  whether it may be turned by 90 degrees instead
    on_fold   whether it lies on the fold of the folded cloth, with half its measure across
    pair      whether it is two pieces, one in each layer of the folded cloth
    corner    where its corner nearest to (0, 0) lies on the repeat, x from where the width begins; None: anywhere
    on_border whether it lies on the border
    parts     of a nested pair the two that it is, in their places in its box
    """

    letter: str
    piece: str
    layer: str
    copy: int
    mirrored: bool
    across: Fraction
    along: Fraction
    kind: Kind = "piece"
    turned: int = 0
    turnable: bool = False
    on_fold: bool = False
    pair: bool = False
    corner: tuple[Fraction, Fraction] | None = None
    on_border: bool = False
    block: Block | None = None
    parts: tuple[Part, ...] = ()

    @property
    def cloth(self) -> Fraction:
        """The cloth that it takes, in mm²: of both layers where it is in both."""
        return self.across * self.along * (2 if self.pair or self.on_fold else 1)


@dataclass(frozen=True)
class Part:
    """An item of a nested pair, and where its box lies in the pair's, when that is not turned by 90; mm."""

    item: Item
    x: Fraction
    y: Fraction


@dataclass(frozen=True)
class Entry:
    """How one entry of a row is laid: as a pair, or alone and of which sort."""

    mirrored: bool
    pair: bool = False


def items_of(
    grade: Grade, stuff: Stuff, anchors: Mapping[Sort, Anchor], bias: Literal["strips", "continuous"]
) -> tuple[Item, ...]:
    """Everything that is laid on a cloth, in the order of the cut list. Raises LayoutFaults, PieceDoesNotFit."""
    rows = [row for row in grade.cut_list if row.material == stuff.role]
    return tuple(item for row in rows for item in _row_items(grade, stuff, row, anchors, bias))


def _row_items(
    grade: Grade,
    stuff: Stuff,
    row: Row,
    anchors: Mapping[Sort, Anchor],
    bias: Literal["strips", "continuous"],
) -> Iterator[Item]:
    is_binding = not row.uses
    if is_binding and row.grain == "bias":
        block = block_of(row, stuff, default_allowance(grade.model), bias)
        yield Item(row.letter, row.piece, row.layer, 1, False, block.across, block.along, "block", block=block)
        return
    may_join = is_binding or grade.model.pieces[row.piece].written.strip
    room = stuff.width * (2 if stuff.style == "folded" else 1)
    if may_join and row.first.across > stuff.width:
        yield from _strips(row, stuff, room, default_allowance(grade.model))
    elif is_binding:
        yield from _pieces(row, stuff, symmetric=True)
    else:
        yield from _cut_pieces(grade, stuff, row, anchors)


def _strips(row: Row, stuff: Stuff, room: Fraction, allowance: Fraction) -> Iterator[Item]:
    """Strips of the whole room and one of the rest, for each piece of the row.

    Of folded cloth they lie on the fold, half as long; there also one that needs no join.
    """
    strips = joined(row.first.across, room, allowance)
    lengths = [row.first.across] if strips is None else [room] * (strips.count - 1)
    if strips is not None:
        lengths.append(strips.total - room * (strips.count - 1))
    on_fold = stuff.style == "folded"
    copy = 0
    for mirrored in (False,) * row.count + (True,) * row.mirrored:
        for length in lengths:
            copy += 1
            across = stuff.raised(length / 2 if on_fold else length)
            along = stuff.raised(row.first.along)
            yield Item(row.letter, row.piece, row.layer, copy, mirrored, across, along, "strip", on_fold=on_fold)


def _entries(row: Row, stuff: Stuff, *, symmetric: bool, on_fold: bool) -> list[Entry]:
    if stuff.style != "folded" or on_fold:
        return [Entry(False)] * row.count + [Entry(True)] * row.mirrored
    both = min(row.count, row.mirrored)
    left, mirrored = max(row.count, row.mirrored) - both, row.mirrored > row.count
    more = left // 2 if symmetric else 0
    return [Entry(False, pair=True)] * (both + more) + [Entry(mirrored)] * (left - 2 * more)


def _pieces(row: Row, stuff: Stuff, *, symmetric: bool) -> Iterator[Item]:
    """The pieces of a row without a drawing: straight bindings that need no join."""
    across, along = stuff.raised(row.first.across), stuff.raised(row.first.along)
    for number, entry in enumerate(_entries(row, stuff, symmetric=symmetric, on_fold=False), 1):
        yield Item(
            row.letter,
            row.piece,
            row.layer,
            number,
            entry.mirrored,
            across,
            along,
            turnable=stuff.direction == "any",
            pair=entry.pair,
        )


def _cut_pieces(grade: Grade, stuff: Stuff, row: Row, anchors: Mapping[Sort, Anchor]) -> Iterator[Item]:
    drawn = grade.pieces[row.piece]
    written = drawn.piece.written
    across, along = _measures(row, stuff)
    on_fold = stuff.style == "folded" and written.on_fold
    on_border = written.on_border is not None and stuff.material.border is not None
    symmetric = isinstance(written.outline, RectangleOutline)
    for number, entry in enumerate(_entries(row, stuff, symmetric=symmetric, on_fold=on_fold), 1):
        lie = lie_of(drawn, stuff, mirrored=entry.mirrored)
        anchor = anchors.get(Sort(row.piece, entry.mirrored)) if lies_by_print(grade, row) else None
        corner = None if anchor is None else place_on_print(grade, stuff, row, lie, anchor)
        is_free = corner is None and not on_border and not on_fold and row.grain != "bias"
        yield Item(
            row.letter,
            row.piece,
            row.layer,
            number,
            entry.mirrored,
            across,
            along,
            turned=lie.turned,
            turnable=stuff.direction == "any" and is_free,
            on_fold=on_fold,
            pair=entry.pair,
            corner=corner,
            on_border=on_border,
        )


def _measures(row: Row, stuff: Stuff) -> tuple[Fraction, Fraction]:
    """Across and along as it lies: on the bias in a square about it, on the fold of folded cloth half of it."""
    if row.grain == "bias":
        side = least_root((row.first.across + row.first.along) ** 2 / 2, stuff.grid)
        return side, side
    halved = stuff.style == "folded" and row.on_fold is not None
    across = row.first.across / 2 if halved else row.first.across
    return stuff.raised(across), stuff.raised(row.first.along)


def least_root(area: Fraction, step: Fraction) -> Fraction:
    """The least multiple of the step whose square is not below an area; exact."""
    wanted = area / (step * step)
    whole = -((-wanted).__floor__())
    root = isqrt(whole)
    return step * (root if root * root >= whole else root + 1)
