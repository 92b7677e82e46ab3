"""Layouts: where each piece lies on its cloth, and what follows for what is bought."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from grading.cloth.items import Item
from grading.cloth.settings import LayoutSettings
from grading.cloth.stuff import Stuff
from grading.grade import Grade

QUARTER_TURN = 90


@dataclass(frozen=True)
class Laid:
    """An item in its place: its corner nearest to (0, 0), x from the left edge of the washed width; mm on the grid.

    `sheet` counts from 0. `nested` is a number from 1 that two have in common that lie head to tail.
    """

    item: Item
    x: Fraction
    y: Fraction
    by_quarter: bool = False
    sheet: int | None = None
    nested: int | None = None

    @property
    def across(self) -> Fraction:
        """How far it reaches across the cloth."""
        return self.item.along if self.by_quarter else self.item.across

    @property
    def along(self) -> Fraction:
        """How far it reaches along the cloth."""
        return self.item.across if self.by_quarter else self.item.along

    @property
    def turned(self) -> int:
        """By how much it is turned, clockwise."""
        return self.item.turned + (QUARTER_TURN if self.by_quarter else 0)


@dataclass(frozen=True)
class Column:
    """A column of a strip: pieces one after another along the cloth, by their places in the layout."""

    x: Fraction
    across: Fraction
    pieces: tuple[int, ...]


@dataclass(frozen=True)
class Strip:
    """A strip cut off across the whole cloth, and the columns that it is cut into."""

    y: Fraction
    along: Fraction
    columns: tuple[Column, ...]


@dataclass(frozen=True)
class Free:
    """A rectangle of cloth that no piece takes; on the sheet of this number where the cloth is sold in sheets."""

    x: Fraction
    y: Fraction
    across: Fraction
    along: Fraction
    sheet: int | None = None


@dataclass(frozen=True)
class Arrangement:
    """Where the items of a cloth lie, and how long that is; with a length that no arrangement of them is below.

    Lengths in mm, exact. `sheets` of cloths that are sold so; `strips` of cloths that are cut so.
    """

    pieces: tuple[Laid, ...]
    length: Fraction
    least: Fraction
    certificate: Mapping[str, Any]
    strips: tuple[Strip, ...] | None = None
    sheets: int | None = None

    @property
    def is_nested(self) -> bool:
        """Whether pieces lie head to tail in pairs, so that `least` is that with these pairs."""
        return any(laid.nested is not None for laid in self.pieces)

    @property
    def cloth(self) -> Fraction:
        """The cloth that the pieces take, in mm²: of a nested pair the box about both."""
        nested: dict[int, list[Laid]] = {}
        for laid in self.pieces:
            if laid.nested is not None:
                nested.setdefault(laid.nested, []).append(laid)
        alone = sum((laid.item.cloth for laid in self.pieces if laid.nested is None), Fraction(0))
        return alone + sum(map(_about, nested.values()), Fraction(0))


def _about(pieces: Sequence[Laid]) -> Fraction:
    """The area of the box about pieces, in mm²."""
    across = max(laid.x + laid.across for laid in pieces) - min(laid.x for laid in pieces)
    along = max(laid.y + laid.along for laid in pieces) - min(laid.y for laid in pieces)
    return across * along


@dataclass(frozen=True)
class Cost:
    """An amount of money, exact to two decimals."""

    amount: Decimal
    currency: str


@dataclass(frozen=True)
class Purchase:
    """What is bought of a cloth; lengths in mm as bought. Of sheets only how many.

    repeats  how many repeats the needed length takes up, where pieces lie by the print
    waste    the part of the cloth laid on that no piece takes
    """

    waste: Fraction
    cost: Cost | None
    needed: Fraction | None = None
    spare: Fraction | None = None
    unit: Fraction | None = None
    length: Fraction | None = None
    repeats: int | None = None
    sheets: int | None = None


@dataclass(frozen=True)
class OtherWidth:
    """The same pieces on a cloth of another usable width, as bought: how long, what to buy; None: one does not fit."""

    usable_width: Fraction
    length: Fraction | None
    buy: Fraction | None


@dataclass(frozen=True)
class Layout:
    """How the pieces of one cloth are laid, and what follows from it.

    `hurried` where there was no time for other widths and fat quarters.
    """

    stuff: Stuff
    arrangement: Arrangement
    buy: Purchase
    offcuts: tuple[Free, ...]
    cuts: tuple[str, ...]
    widths: tuple[OtherWidth, ...]
    fat_quarters: int | None
    hurried: bool = False


@dataclass(frozen=True)
class Layouts:
    """The layouts of all cloths of a grade with a width or a sheet; `without` the roles of those that have none."""

    grade: Grade
    settings: LayoutSettings
    cloths: Mapping[str, Layout]
    without: tuple[str, ...]
