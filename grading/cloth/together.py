"""Several bags laid together: the pieces of all that are cut from one cloth, in one arrangement."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from grading.cloth.arranging import Order, arrange, order_of
from grading.cloth.cuts import cuts_of
from grading.cloth.items import Item
from grading.cloth.layout import Layout, Layouts
from grading.cloth.offcuts import offcuts_of
from grading.cloth.purchase import purchase_of
from grading.cloth.searching import Search, Stop
from grading.cloth.settings import ClothSettings, LayoutSettings, read_settings
from grading.cloth.stuff import Stuff, changed_material
from grading.cloth.writing import write_layouts
from grading.errors import Stopped
from grading.grade import Grade

LEAST_OFFCUT = Fraction(50)
"""Shorter and narrower offcuts are not told of, in mm; as the usual setting of a layout."""


@dataclass(frozen=True)
class Batch:
    """So many bags of one grade that are cut with others, laid as these settings say.

    `tag` is put before its letters, `prefix` before the names of its pieces; `cloths` says what the cloth of each role
    is called, so that cloths of the same name and kind are one.
    """

    grade: Grade
    settings: Mapping[str, Any] | LayoutSettings
    quantity: int
    tag: str
    prefix: str
    cloths: Mapping[str, str]


@dataclass(frozen=True)
class Shared:
    """One cloth, the batches that are cut from it, and how their pieces lie: a layout as the documents have it."""

    name: str
    tags: tuple[str, ...]
    layout: Mapping[str, Any]


def lay_together(batches: Sequence[Batch], stop: Stop | None = None) -> tuple[Shared, ...]:
    """An arrangement for each cloth that pieces of these batches are cut from, in the order in which it first comes.

    Cloths are one where name, width, direction, print, washing and ruler are the same. Pieces in pairs are not nested
    here. Raises LayoutFaults, PieceDoesNotFit, Stopped.
    """
    groups: dict[tuple[Any, ...], list[tuple[Batch, Order]]] = {}
    for batch in batches:
        for order in _orders(batch):
            key = (batch.cloths.get(order.role, order.role), *_sort_of(order.stuff))
            groups.setdefault(key, []).append((batch, order))
    shared = []
    for (name, *_), members in groups.items():
        if stop is not None and stop():
            raise Stopped
        shared.append(_laid(str(name), members, stop))
    return tuple(shared)


def _orders(batch: Batch) -> list[Order]:
    settings = read_settings(batch.settings)
    used = {row.material for row in batch.grade.cut_list}
    orders = []
    for role, written in batch.grade.model.pattern.materials.items():
        material = changed_material(written, settings.cloths.get(role, ClothSettings()))
        if role in used and (material.usable_width or material.sheet):
            orders.append(order_of(batch.grade, role, material, settings))
    return orders


def _sort_of(stuff: Stuff) -> tuple[Any, ...]:
    """What has to be the same of a cloth for pieces to be laid on it together."""
    return (
        stuff.style,
        stuff.direction,
        stuff.bought,
        stuff.washed,
        stuff.sheet,
        stuff.washed_repeat,
        stuff.by_print,
        stuff.grid,
        stuff.kept,
        stuff.material.border,
        stuff.ruler,
    )


def _laid(name: str, members: Sequence[tuple[Batch, Order]], stop: Stop | None) -> Shared:
    first = members[0][1]
    items = tuple(item for batch, order in members for item in _items(batch, order))
    whole = replace(first, items=items)
    arrangement = arrange(whole, Search(first.settings.effort, first.settings.seed, stop))
    layout = Layout(
        stuff=first.stuff,
        arrangement=arrangement,
        buy=purchase_of(first.stuff, arrangement, first.settings),
        offcuts=offcuts_of(first.stuff, arrangement, LEAST_OFFCUT),
        cuts=cuts_of(first.stuff, arrangement),
        widths=(),
        fat_quarters=None,
    )
    written = write_layouts(Layouts(first.grade, first.settings, {name: layout}, ()))
    return Shared(name, tuple(batch.tag for batch, _ in members), {**written["cloths"][name], "says": ""})


def _items(batch: Batch, order: Order) -> list[Item]:
    """The items of all bags of a batch, with letters, pieces and numbers that no other has."""
    copies: dict[tuple[str, str], int] = {}
    for item in order.items:
        row = item.letter, item.layer
        copies[row] = max(copies.get(row, 0), item.copy)
    return [
        replace(
            item,
            letter=f"{batch.tag}{item.letter}",
            piece=f"{batch.prefix}{item.piece}",
            copy=item.copy + number * copies[item.letter, item.layer],
        )
        for number in range(batch.quantity)
        for item in order.items
    ]
