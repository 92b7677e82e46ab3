"""Bias binding: the block of cloth that it is cut from, in strips at 45 degrees or as one continuous strip."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import count
from math import isqrt
from typing import Literal

from grading.cloth.stuff import Stuff
from grading.cut import Row
from grading.errors import PieceDoesNotFit
from grading.exact import Enclosure, enclose_root

ROOT_2 = enclose_root(Fraction(2))


@dataclass(frozen=True)
class Block:
    """A block of cloth for a binding: its measures in mm on the grid, and the strips that it gives, each so long along
    its middle and so wide.
    """

    across: Fraction
    along: Fraction
    strips: int
    centre: Enclosure
    strip_width: Fraction


def block_of(row: Row, stuff: Stuff, allowance: Fraction, method: Literal["strips", "continuous"]) -> Block:
    """The block of least length for a row of bias binding; of equal ones that with the fewest strips.

    Raises PieceDoesNotFit where no block is as narrow as the cloth.
    """
    total, width = row.count * row.first.across, row.first.along
    if method == "continuous":
        side = least_square(total, width, allowance, stuff.grid)
        if side > stuff.width:
            raise _too_wide(row, stuff, side, "cut it in strips (bias: strips)")
        return Block(side, side, 1, Enclosure(total, total), width)
    best: Block | None = None
    for strips in count(1):
        block = strip_block(total, width, allowance, strips, stuff.grid)
        if best is not None and block.along - block.across >= best.along:
            return best
        if block.across <= stuff.width and (best is None or block.along < best.along):
            best = block
        if best is None and stuff.width <= 2 * allowance:  # more strips never become this narrow
            raise _too_wide(row, stuff, block.across, "take smaller allowances for the joins")
    raise AssertionError  # pragma: no cover


def _too_wide(row: Row, stuff: Stuff, needs: Fraction, remedy: str) -> PieceDoesNotFit:
    return PieceDoesNotFit(
        stuff.role, row.letter, row.piece, row.layer, stuff.text(needs), stuff.text(stuff.width), (remedy,)
    )


def strip_block(total: Fraction, width: Fraction, allowance: Fraction, strips: int, grid: Fraction) -> Block:
    """The block that gives a length of binding in so many strips at 45 degrees.

    Joined with the thread, a strip loses allowance × sqrt(2) along its middle at each end of a join. Each strip runs
    from side to side of the block, so that its middle is as long as the block is wide, times sqrt(2), and takes
    width × sqrt(2) along the selvage. (Baldt, Clothing for Women, 1916, ch. XXII tabulates width × sqrt(2).)
    """
    joins = 2 * allowance * (strips - 1)
    centre = ROOT_2.times(joins / strips) + Enclosure(total / strips, total / strips)
    # across = centre / sqrt(2) = (total × sqrt(2) / 2 + joins) / strips
    half = ROOT_2.times(total / 2)
    across = Enclosure((half.low + joins) / strips, (half.high + joins) / strips)
    along = across + ROOT_2.times(strips * width)
    return Block(_raised(across, grid), _raised(along, grid), strips, centre, width)


def _raised(true: Enclosure, grid: Fraction) -> Fraction:
    """The least multiple of the grid not below a length with a root, enclosed to 40 digits."""
    return -((-true.low) // grid) * grid if true.low == true.high else -((-true.high) // grid) * grid


def least_square(total: Fraction, width: Fraction, allowance: Fraction, grid: Fraction) -> Fraction:
    """The side of the least square on the grid that gives a continuous bias strip, whose area less the seams at its
    sides is that of the strip.
    """
    wanted = (total * width) / (grid * grid)
    whole = -((-wanted).__floor__())
    root = isqrt(whole)
    below = root if root * root >= whole else root + 1  # the least n with n × n at least the area
    # (side - 2a)² >= area: with a off the grid the side is looked for from below
    steps = below + (2 * allowance // grid).__floor__() - 1
    while (steps * grid - 2 * allowance) ** 2 < total * width or steps * grid < 2 * allowance:
        steps += 1
    return steps * grid
