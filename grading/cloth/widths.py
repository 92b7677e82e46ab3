"""The same pieces on cloths of other widths, and on fat quarters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from grading.cloth.arranging import Order, arrange, order_of
from grading.cloth.layout import Arrangement, OtherWidth
from grading.cloth.purchase import length_to_buy
from grading.cloth.searching import GLANCE, Search, Stop
from grading.cloth.settings import LayoutSettings
from grading.errors import LayoutFaults, PieceDoesNotFit
from grading.exact import INCH, Ruler, print_length, read_length

METRIC_WIDTHS = tuple(Fraction(width) for width in (900, 1100, 1120, 1370, 1500))
IMPERIAL_WIDTHS = tuple(width * INCH for width in (36, 42, 44, 54, 60))
"""Usable widths that cloth is commonly sold in; common practice, no source."""
FAT_QUARTER = (22 * INCH, 18 * INCH)
"""A fat quarter, across × along: a quarter of a yard cut from half the width; common practice, no source."""


def asked_widths(settings: LayoutSettings, ruler: Ruler, unit: str) -> tuple[Fraction, ...]:
    """The usable widths to tell of, in mm: those that settings ask for, or the usual ones of the ruler's system."""
    if settings.widths is not None:
        return tuple(read_length(width, unit) for width in settings.widths)
    return IMPERIAL_WIDTHS if ruler.in_inches else METRIC_WIDTHS


@dataclass(frozen=True)
class Known:
    """What narrower cloths have given: for each width its arrangement, none where a piece does not fit.

    `last` is the widest of them that fits, and `length` the shortest of all.
    """

    widths: tuple[OtherWidth, ...]
    last: Order | None = None
    arrangement: Arrangement | None = None
    length: Fraction | None = None

    def start_for(self, order: Order) -> Arrangement | None:
        """The last arrangement on a wider cloth; None if what is laid differs there (strips, blocks, nested pairs), and
        where what moves with a border at the right would leave its places on the print.
        """
        if self.last is None or self.arrangement is None or self.last.items != order.items:
            return None
        if self.arrangement.is_nested:
            return None
        more = order.stuff.width - self.last.stuff.width if order.stuff.material.border == "right" else Fraction(0)
        repeat = order.stuff.repeat[0]
        if more and repeat and more % repeat and any(item.corner is not None for item in order.items):
            return None
        moved = tuple(replace(laid, x=laid.x + more) for laid in self.arrangement.pieces)
        return replace(self.arrangement, pieces=moved)


def narrower(order: Order, stop: Stop | None) -> Known | None:
    """The same pieces on the asked narrower cloths, quickly; None where there is no width."""
    if order.stuff.sheet is not None:
        return None
    return _chain(order, [width for width in _others(order) if width < order.stuff.bought], Known(()), stop)


def wider(order: Order, arrangement: Arrangement, below: Known | None, stop: Stop | None) -> tuple[OtherWidth, ...]:
    """All asked widths, in the order asked: none longer than a narrower one of them is, nor than this cloth's."""
    known = below or Known(())
    own = Known(known.widths, order, arrangement, arrangement.length)
    above = _chain(order, [width for width in _others(order) if width > order.stuff.bought], own, stop)
    at_own = OtherWidth(
        order.stuff.bought, arrangement.length, length_to_buy(order.stuff, arrangement.length, order.settings)
    )
    found = {other.usable_width: other for other in (*above.widths, at_own)}
    asked = asked_widths(order.settings, order.stuff.ruler, order.stuff.unit)
    return tuple(found[width] for width in dict.fromkeys(asked))


def _others(order: Order) -> list[Fraction]:
    return sorted(set(asked_widths(order.settings, order.stuff.ruler, order.stuff.unit)))


def _chain(order: Order, widths: Sequence[Fraction], known: Known, stop: Stop | None) -> Known:
    """The widths one after another, each searched from the one before; what fits a narrower cloth fits a wider one."""
    for width in widths:
        known = _next(order, width, known, stop)
    return known


def _next(order: Order, width: Fraction, known: Known, stop: Stop | None) -> Known:
    material = order.material.model_copy(update={"usable_width": print_length(width)})
    try:
        other = order_of(order.grade, order.role, material, order.settings)
        found = arrange(other, Search(GLANCE, order.settings.seed, stop), known.start_for(other))
    except (PieceDoesNotFit, LayoutFaults):
        return replace(known, widths=(*known.widths, OtherWidth(width, None, None)))
    length = found.length if known.length is None else min(found.length, known.length)
    row = OtherWidth(width, length, length_to_buy(other.stuff, length, order.settings))
    return Known((*known.widths, row), other, found, length)


def fat_quarters(order: Order, stop: Stop | None) -> int | None:
    """How many fat quarters would do for all; None if one does not fit, and of what is no cloth."""
    if order.material.kind != "cloth":
        return None
    across, along = (print_length(side) for side in FAT_QUARTER)
    material = order.material.model_copy(update={"usable_width": None, "sheet": (across, along)})
    try:
        quarters = order_of(order.grade, order.role, material, order.settings)
        return arrange(quarters, Search(GLANCE, order.settings.seed, stop)).sheets
    except (PieceDoesNotFit, LayoutFaults):
        return None
