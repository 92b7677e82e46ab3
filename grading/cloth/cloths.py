"""Laying out a grade: every cloth that its pieces are cut from, one after another."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from grading.cloth.arranging import arrange, order_of
from grading.cloth.cuts import cuts_of
from grading.cloth.layout import Layout, Layouts
from grading.cloth.offcuts import offcuts_of
from grading.cloth.prints import idle_matches
from grading.cloth.purchase import purchase_of
from grading.cloth.searching import Search, Stop
from grading.cloth.settings import ClothSettings, LayoutSettings, read_settings, unused_cloths
from grading.cloth.stuff import changed_material
from grading.cloth.widths import fat_quarters, narrower, wider
from grading.document.materials import Material
from grading.document.numbers import cloth_faults
from grading.errors import LayoutFaults, Stopped
from grading.exact import read_length
from grading.grade import Grade

Progress = Callable[[str, Fraction], None]
"""Told the role of a cloth and the shortest length found for it so far, in mm."""


def lay_out(
    grade: Grade,
    settings: LayoutSettings | Mapping[str, Any] | None = None,
    stop: Stop | None = None,
    progress: Progress | None = None,
) -> Layouts:
    """Lay the pieces of a grade on every cloth that they are cut from.

    Deterministic unless stopped. `stop` is asked often; a search that is stopped gives the shortest arrangement so
    far, and no further cloth is begun: then Stopped is raised. Raises LayoutFaults (settings, and places of a print
    that cannot be kept) and PieceDoesNotFit.
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
    for role in (role for role in materials if role in layable):
        if stop is not None and stop():
            raise Stopped
        cloths[role] = _lay_cloth(grade, role, materials[role], chosen, stop, progress)
    return Layouts(grade, chosen, cloths, tuple(role for role in materials if role not in layable))


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
    stop: Stop | None,
    progress: Progress | None,
) -> Layout:
    order = order_of(grade, role, material, settings)
    told = None if progress is None else lambda length: progress(role, length)
    how = Search(settings.effort, settings.seed, stop, told)
    below = narrower(order, stop)
    arrangement = arrange(order, how, None if below is None else below.start_for(order))
    widths = () if order.stuff.sheet is not None else wider(order, arrangement, below, stop)
    return Layout(
        stuff=order.stuff,
        arrangement=arrangement,
        buy=purchase_of(order.stuff, arrangement, settings),
        offcuts=offcuts_of(order.stuff, arrangement, read_length(settings.offcut, order.stuff.unit)),
        cuts=cuts_of(order.stuff, arrangement),
        widths=widths,
        fat_quarters=None if order.stuff.sheet is not None else fat_quarters(order, stop),
    )
