"""Cloths: the strip or sheet that pieces of one material are laid on, once washed and put on the grid."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from grading.verify.cloth.layout_settings import FOLDED, SCISSORS, LayoutSettings
from grading.verify.document.materials import Material
from grading.verify.exact.fraction import Fraction
from grading.verify.unreadable import refuse

# Of ruler, gap and repeat together; no sensible cloth comes near it, and it bounds the numbers of hostile input.
FINEST_GRID = Fraction(1, 10**9)


@dataclass(frozen=True)
class Cloth:
    """What pieces are laid on, in mm; `left` is where they may begin across, `width` how far they may go from there.

    `repeat` is that of the washed print across and along, None in a way in which it has none; `sheet_along` is how much
    of a washed sheet can be used along. `layers` is 2 for cloth that is folded.
    """

    role: str
    material: Material
    style: str
    usable_width: Fraction
    washed_width: Fraction
    left: Fraction
    width: Fraction
    grid: Fraction
    gap: Fraction
    repeat: tuple[Fraction | None, Fraction | None]
    sheet_along: Fraction | None

    @property
    def is_folded(self) -> bool:
        """Whether two layers are cut at a time."""
        return self.style == FOLDED

    @property
    def layers(self) -> int:
        """How many layers are cut at a time."""
        return 2 if self.is_folded else 1

    def raised(self, length: Fraction) -> Fraction:
        """Return the least multiple of the grid that is not below a length."""
        return math.ceil(length / self.grid) * self.grid

    def steps(self, length: Fraction) -> int:
        """Return a multiple of the grid in steps."""
        return int(length / self.grid)

    def is_on_grid(self, length: Fraction) -> bool:
        """Whether a length is a multiple of the grid."""
        return (length / self.grid).denominator == 1


def cloth_of(role: str, material: Material, settings: LayoutSettings, step: Fraction, held: bool, tied: bool) -> Cloth:
    """Return the cloth of a material that has a width or a sheet.

    `held`: the print holds a piece of it in its place; `tied`: that, or a piece lies on its border.
    """
    bought = material.usable_width if material.sheet is None else material.sheet[0]
    if bought is None:
        refuse("has neither a usable width nor sheets", f"materials.{role}")
    style = SCISSORS if tied or material.sheet is not None else settings.style_of(role)
    shrunk_across, shrunk_along = material.shrinkage
    washed = bought * (1 - shrunk_across)
    repeat = material.repeat
    across = None if repeat is None or repeat.across is None else repeat.across * (1 - shrunk_across)
    along = None if repeat is None or repeat.along is None else repeat.along * (1 - shrunk_along)
    grid = common_part([step, settings.gap, *((across or 0, along or 0) if held else ())])
    left = Fraction(0) if style == FOLDED else settings.edge
    room = washed / 2 - settings.edge if style == FOLDED else washed - 2 * settings.edge
    width = math.floor(room / grid) * grid
    if width <= 0:
        refuse("leaves no width to lay pieces on", f"materials.{role}.usable_width")
    sheet = None if material.sheet is None else material.sheet[1] * (1 - shrunk_along)
    return Cloth(
        role,
        material,
        style,
        bought,
        washed,
        left,
        width,
        grid,
        settings.gap,
        (across, along),
        None if sheet is None else math.floor(sheet / grid) * grid,
    )


def common_part(lengths: Iterable[Fraction | int]) -> Fraction:
    """Return the greatest length of which all are whole multiples; those of 0 do not count."""
    fractions = [Fraction(length) for length in lengths if length]
    scale = math.lcm(*(length.denominator for length in fractions))
    found = Fraction(math.gcd(*(int(length * scale) for length in fractions)), scale)
    if found < FINEST_GRID:
        refuse("ruler, gap and repeat have no common part that cloth could be measured in", "settings")
    return found
