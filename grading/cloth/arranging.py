"""One cloth's order: its stuff and its items, and their arrangement in the style that it is cut in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from grading.cloth.items import Item, items_of
from grading.cloth.laying import bound_length, bound_of, lay, packing_of
from grading.cloth.layout import Arrangement
from grading.cloth.nesting import nestings
from grading.cloth.prints import anchors, printed_pieces
from grading.cloth.rotary import lay_in_strips
from grading.cloth.searching import GLANCE, Search
from grading.cloth.settings import LayoutSettings
from grading.cloth.sheets import lay_on_sheets, least_sheets
from grading.cloth.stuff import Stuff, stuff_of
from grading.document.materials import Material
from grading.grade import Grade

WORTH_A_SEARCH = Fraction(1, 100)
"""The part of the cloth of all boxes that pairs save at least, to be searched for; found by trying on demo patterns.

A part of the cloth, and not of the length that a short search finds: so it is the same however pieces may be turned.
"""


@dataclass(frozen=True)
class Order:
    """What is to be laid: of which grade and role, on which stuff, which items, as which settings say."""

    grade: Grade
    role: str
    material: Material
    settings: LayoutSettings
    stuff: Stuff
    items: tuple[Item, ...]


def order_of(grade: Grade, role: str, material: Material, settings: LayoutSettings) -> Order:
    """The order for one cloth, whose material is as settings change it. Raises LayoutFaults, PieceDoesNotFit."""
    rows = [row for row in grade.cut_list if row.material == role and row.uses]
    pieces = {row.piece for row in rows}
    by_print = bool(pieces & printed_pieces(grade, role, material))
    on_border = material.border is not None and any(
        grade.model.pieces[piece].written.on_border is not None for piece in pieces
    )
    stuff = stuff_of(
        role,
        material,
        settings,
        grade.model.pattern.unit,
        grade.model.ruler,
        by_print=by_print,
        on_border=on_border,
    )
    held = anchors(grade, stuff) if by_print else {}
    return Order(grade, role, material, settings, stuff, items_of(grade, stuff, held, settings.bias))


def arrange(order: Order, how: Search, start: Arrangement | None = None) -> Arrangement:
    """Arrange an order's items, no longer than `start`, an arrangement of them on this stuff (not of sheets).

    Raises PieceDoesNotFit, LayoutFaults.
    """
    if order.stuff.sheet is not None:
        return lay_on_sheets(order.stuff, order.items, how)
    if order.stuff.style == "rotary":
        return lay_in_strips(order.stuff, order.items, how, start)
    return lay(order.stuff, order.items, how, None if start is None else packing_of(order.stuff, start.pieces))


def orders_in_pairs(order: Order) -> tuple[Order, ...]:
    """The order with slanted pieces nested in pairs, each one item, in one or two ways; none where that saves so little
    cloth that it is not worth a search.
    """
    most = (1 - WORTH_A_SEARCH) * _cloth(order.items)
    ways = nestings(order.grade, order.stuff, order.items)
    return tuple(replace(order, items=items) for items in ways if _cloth(items) <= most)


def may_be_shorter(order: Order, length: Fraction, how: Search) -> bool:
    """Whether an arrangement of the order may be shorter than this length, by a bound that is quickly found."""
    stuff = order.stuff
    bound = bound_of(stuff, order.items, replace(how, effort=GLANCE))
    least = bound_length(stuff, bound) if stuff.sheet is None else least_sheets(stuff, bound) * stuff.sheet
    return least < length


def _cloth(items: Sequence[Item]) -> Fraction:
    return sum((item.cloth for item in items), Fraction(0))
