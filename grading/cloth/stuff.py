"""The stuff that pieces are laid on: a cloth or sheets as washed, on the grid that everything lies on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from grading.cloth.settings import ClothSettings, Direction, LayoutSettings, Style
from grading.document.materials import Material
from grading.errors import Fault, LayoutFaults
from grading.exact import Ruler, print_length, read_length
from grading.model.cloth import kept

NONE = Fraction(0)


@dataclass(frozen=True)
class Stuff:
    """A material as pieces are laid on it. Lengths in mm, exact.

    material     as written, with the settings' changes
    style        how it is cut
    bought       its usable width, or its sheet's measure across, as bought; folded: of the whole cloth
    washed       the same after washing
    sheet        of sheets: the measure along that pieces are laid on, on the grid; else None
    start        where the width that is laid begins, from the left edge of the washed width (folded: from the fold)
    width        the width that is laid, on the grid
    washed_repeat  of its print, across and along; 0: none that way
    by_print     whether any piece lies by its print
    grid         the step of which everything is a whole multiple
    kept         the parts that washing leaves, across and along
    """

    role: str
    material: Material
    style: Style
    direction: Direction
    bought: Fraction
    washed: Fraction
    sheet: Fraction | None
    start: Fraction
    width: Fraction
    gap: Fraction
    washed_repeat: tuple[Fraction, Fraction]
    by_print: bool
    grid: Fraction
    kept: tuple[Fraction, Fraction]
    unit: str
    ruler: Ruler

    def raised(self, length: Fraction) -> Fraction:
        """The least multiple of the grid that is not below a length."""
        return -((-length) // self.grid) * self.grid

    def steps(self, length: Fraction) -> int:
        """A multiple of the grid in steps."""
        return int(length / self.grid)

    def text(self, length: Fraction) -> str:
        """A length as the grade's ruler has it."""
        return self.ruler.text(length)

    @property
    def repeat(self) -> tuple[Fraction, Fraction]:
        """The washed repeat that pieces lie by, across and along; 0: none that way, or no piece does."""
        return self.washed_repeat if self.by_print else (NONE, NONE)

    @property
    def repeat_bought(self) -> Fraction:
        """The repeat along as bought; 0 without one that any piece lies by."""
        return self.repeat[1] / self.kept[1]


def changed_material(material: Material, changes: ClothSettings) -> Material:
    """A material with what settings say of it in place of what the document says."""
    update: dict[str, object] = {
        key: value
        for key, value in (
            ("usable_width", changes.usable_width),
            ("direction", changes.direction),
            ("repeat", changes.repeat),
            ("sold_by", changes.sold_by),
            ("shrinkage", changes.tested),
        )
        if value is not None
    }
    if changes.usable_width is not None:
        update["sheet"] = None
    return material.model_copy(update=update)


def style_of(role: str, settings: LayoutSettings) -> Style:
    """How a cloth is asked to be cut: as settings say of it, else as they say of all."""
    own = settings.cloths.get(role)
    return settings.style if own is None or own.style is None else own.style


def stuff_of(
    role: str,
    material: Material,
    settings: LayoutSettings,
    unit: str,
    ruler: Ruler,
    *,
    by_print: bool,
    on_border: bool,
) -> Stuff:
    """A material (changed as settings say) that pieces are laid on. Raises LayoutFaults where nothing can be laid."""
    gap, edge = (read_length(value, unit) for value in (settings.gap, settings.edge))
    left = kept(material, "across"), kept(material, "along")
    across, along = (
        (read_length(side, unit) for side in material.sheet)
        if material.sheet is not None
        else (read_length(material.usable_width or 0, unit), None)
    )
    repeat = _repeat(material, left, unit)
    grid = common_step([ruler.step, gap, *(repeat if by_print else ())])
    washed = across * left[0]
    style: Style = "scissors" if by_print or on_border or along is not None else style_of(role, settings)
    room = washed / 2 - edge if style == "folded" else washed - 2 * edge
    if by_print and repeat[0] > washed:
        raise _too_large(role, repeat[0], washed)
    if room < grid:
        what = f"of {print_length(washed)} usable, {print_length(edge)} at its sides are to be kept clear"
        raise LayoutFaults([Fault("settings.edge", f"{role}: {what}", "keep less clear, or take a wider cloth")])
    return Stuff(
        role=role,
        material=material,
        style=style,
        direction=material.direction,
        bought=across,
        washed=washed,
        sheet=None if along is None else along * left[1] // grid * grid,
        start=NONE if style == "folded" else edge,
        width=room // grid * grid,
        gap=gap,
        washed_repeat=repeat,
        by_print=by_print,
        grid=grid,
        kept=left,
        unit=unit,
        ruler=ruler,
    )


def common_step(lengths: Iterable[Fraction]) -> Fraction:
    """The greatest length of which all these are whole multiples; zeros do not count."""
    some = [length for length in lengths if length]
    below = lcm(*(length.denominator for length in some))
    return Fraction(gcd(*(int(length * below) for length in some)), below)


def _repeat(material: Material, left: tuple[Fraction, Fraction], unit: str) -> tuple[Fraction, Fraction]:
    if material.repeat is None:
        return NONE, NONE
    across, along = (
        NONE if value is None else read_length(value, unit) for value in (material.repeat.across, material.repeat.along)
    )
    return across * left[0], along * left[1]


def _too_large(role: str, repeat: Fraction, washed: Fraction) -> LayoutFaults:
    problem = f"the repeat is {print_length(repeat)} across when washed, and the cloth {print_length(washed)}"
    remedy = "a print repeats at least once across its cloth: correct one of the two"
    return LayoutFaults([Fault(f"settings.cloths.{role}.repeat.across", problem, remedy)])
