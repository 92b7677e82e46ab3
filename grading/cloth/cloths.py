"""Laying out a grade: every cloth that its pieces are cut from, one after another."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from grading.cloth.arranging import Order, arrange, may_be_shorter, order_of, orders_in_pairs
from grading.cloth.cuts import cuts_of
from grading.cloth.layout import Arrangement, Layout, Layouts, OtherWidth
from grading.cloth.nesting import apart
from grading.cloth.offcuts import offcuts_of
from grading.cloth.prints import idle_matches
from grading.cloth.purchase import purchase_of
from grading.cloth.searching import Search, Stop
from grading.cloth.settings import ClothSettings, Effort, LayoutSettings, read_settings, unused_cloths
from grading.cloth.stuff import changed_material
from grading.cloth.widths import fat_quarters, narrower, wider
from grading.document.materials import Material
from grading.document.numbers import cloth_faults
from grading.errors import LayoutFaults, Stopped
from grading.exact import read_length
from grading.grade import Grade

Progress = Callable[[str, Fraction, Fraction], None]
"""Told the role of a cloth, the shortest length found for it so far, and one that none is below (where pieces are
nested in pairs: none with these pairs); in mm.
"""
Hurry = Callable[[Fraction], bool]
"""Asked whether the time for this share of all the work is over.

Each cloth is an equal share, those with few pieces first: what they do not need is left to those with many.
"""
EFFORTS: tuple[Effort, ...] = ("quick", "usual", "thorough")
NARROWER, SEARCHED, ALL = Fraction(1, 4), Fraction(3, 4), Fraction(1)
"""The parts of a cloth's share by which narrower widths, the cloth itself, and all else should be done."""


def lay_out(
    grade: Grade,
    settings: LayoutSettings | Mapping[str, Any] | None = None,
    stop: Stop | None = None,
    progress: Progress | None = None,
    hurry: Hurry | None = None,
) -> Layouts:
    """Lay the pieces of a grade on every cloth that they are cut from.

    Deterministic unless stopped or hurried. Where `hurry` says so a search ends with the best so far, and the layout is
    without other widths and fat quarters; every cloth still has one. `stop` is asked often; a search that is stopped
    gives the shortest arrangement so far, and no further cloth is begun: then Stopped is raised. Raises LayoutFaults
    (settings, and places of a print that cannot be kept) and PieceDoesNotFit.
    """
    chosen = read_settings(settings)
    pattern = grade.model.pattern
    used = {row.material for row in grade.cut_list}
    materials = {
        role: changed_material(material, chosen.cloths.get(role, ClothSettings()))
        for role, material in pattern.materials.items()
        if role in used
    }
    _refuse_faults(grade, chosen, materials)
    layable = {role for role, material in materials.items() if material.usable_width or material.sheet}
    cloths = {}
    for number, role in enumerate(sorted(layable, key=lambda role: (_pieces_of(grade, role), role))):
        if stop is not None and stop():
            raise Stopped
        share = _Share(number, len(layable), stop, hurry)
        cloths[role] = _lay_cloth(grade, role, materials[role], chosen, share, progress)
    cloths = {role: cloths[role] for role in materials if role in layable}
    return Layouts(grade, chosen, cloths, tuple(role for role in materials if role not in layable))


def _pieces_of(grade: Grade, role: str) -> int:
    return sum(row.count + row.mirrored for row in grade.cut_list if row.material == role)


def _refuse_faults(grade: Grade, settings: LayoutSettings, materials: Mapping[str, Material]) -> None:
    faults = list(unused_cloths(settings, materials))
    for role in settings.cloths:
        if role in materials:
            faults += cloth_faults(f"settings.cloths.{role}", materials[role], grade.model.pattern)
    faults += idle_matches(grade, materials)
    if faults:
        raise LayoutFaults(faults)


def _lay_cloth(
    grade: Grade,
    role: str,
    material: Material,
    settings: LayoutSettings,
    share: _Share,
    progress: Progress | None,
) -> Layout:
    order = order_of(grade, role, material, settings)
    told = None if progress is None else _Telling(role, progress)
    how = Search(settings.effort, settings.seed, share.stop_by(SEARCHED), told)
    below = None if share.is_over(NARROWER) else narrower(order, share.stop_by(NARROWER))
    is_hurried = share.is_over(NARROWER)
    arrangement = _arranged(order, how, share, None if below is None else below.start_for(order))
    arrangement = _shorter_in_pairs(order, how, share, arrangement)
    if told is not None:
        told(arrangement.length, arrangement.least)
    stop = share.stop_by(ALL)
    widths: tuple[OtherWidth, ...] = ()
    quarters = None
    if order.stuff.sheet is None and not is_hurried:
        widths, quarters = wider(order, arrangement, below, stop), fat_quarters(order, stop)
        is_hurried = share.is_over(ALL)
    is_short = is_hurried and order.stuff.sheet is None
    return Layout(
        stuff=order.stuff,
        arrangement=arrangement,
        buy=purchase_of(order.stuff, arrangement, settings),
        offcuts=offcuts_of(order.stuff, arrangement, read_length(settings.offcut, order.stuff.unit)),
        cuts=cuts_of(order.stuff, arrangement),
        widths=() if is_short else widths,
        fat_quarters=None if is_short else quarters,
        hurried=is_short,
    )


def _arranged(order: Order, how: Search, share: _Share, start: Arrangement | None) -> Arrangement:
    """The items arranged: in a given time by rising efforts, each from what the one before has found."""
    if share.hurry is None:
        return arrange(order, how, start)
    first, *further = EFFORTS[: EFFORTS.index(order.settings.effort) + 1]
    best = arrange(order, replace(how, effort=first), start)
    for effort in further:
        if best.length == best.least or share.is_over(SEARCHED):
            break
        found = arrange(order, replace(how, effort=effort), best)
        bound = max(best, found, key=lambda each: each.least)
        shorter = min(best, found, key=lambda each: each.length)
        best = replace(shorter, least=bound.least, certificate=bound.certificate)
    return best


def _shorter_in_pairs(order: Order, how: Search, share: _Share, arrangement: Arrangement) -> Arrangement:
    """The items arranged with slanted ones nested in pairs, where that is shorter than an arrangement of them alone."""
    best = arrangement
    for in_pairs in orders_in_pairs(order):
        if not share.is_over(SEARCHED) and may_be_shorter(in_pairs, best.length, how):
            best = min(best, _arranged(in_pairs, how, share, None), key=lambda each: each.length)
    return replace(best, pieces=apart(best.pieces))


@dataclass(frozen=True)
class _Share:
    """One cloth's share of all the work, and who says when its time is over."""

    number: int
    count: int
    stop: Stop | None
    hurry: Hurry | None

    def is_over(self, part: Fraction) -> bool:
        """Whether the time for this part of the share is over."""
        return self.hurry is not None and self.hurry((self.number + part) / self.count)

    def stop_by(self, part: Fraction) -> Stop | None:
        """What stops a search that should be done by this part of the share."""
        stop = self.stop
        if self.hurry is None:
            return stop
        return lambda: (stop is not None and stop()) or self.is_over(part)


class _Telling:
    """Tells on what is shorter than all that was told before of one cloth."""

    def __init__(self, role: str, progress: Progress) -> None:
        self.role, self.progress = role, progress
        self.best: Fraction | None = None

    def __call__(self, length: Fraction, least: Fraction) -> None:
        if self.best is None or length < self.best:
            self.best = length
            self.progress(self.role, length, least)
