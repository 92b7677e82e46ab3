"""Whether the plain numbers of a document can be: bases, limits, stock lists, widths."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grading.document.contents import Opening
from grading.document.dimensions import Dimension
from grading.document.materials import Material, Shrinks
from grading.document.pattern import Pattern
from grading.document.stock import stock_length
from grading.errors import Fault
from grading.exact import print_length, read_length, read_number, read_percentage

GREATEST_LENGTH = Fraction(20_000)
"""20 m, in mm: no part of a sewn bag is longer."""
GREATEST_COUNT = 1000
LEAST_RULER = Fraction(1, 10)
"""0.1 mm: no ruler is finer."""
GREATEST_RULER = Fraction(1000)
"""1 m: no ruler is coarser."""
MOST_SHRINKING = Fraction(1, 2)
"""What quilting or fusing takes in at most; common practice, no source."""


def number_faults(pattern: Pattern) -> Iterator[Fault]:
    """Every base, limit, stock value, ruler and width that cannot be."""
    for name, dimension in pattern.dimensions.items():
        yield from _dimension_faults(f"dimensions.{name}", dimension, pattern)
    for name, values in pattern.stock.items():
        for in_inches in (False, True):
            lengths = [stock_length(value, pattern.unit, in_inches=in_inches) for value in values]
            if not lengths or sorted(set(lengths)) != lengths or lengths[0] <= 0 or lengths[-1] > GREATEST_LENGTH:
                yield Fault(
                    f"stock.{name}", "its values are not lengths above 0, ascending", "list each once, shortest first"
                )
                break
    for path, value, least in (
        ("ruler", pattern.ruler, LEAST_RULER),
        ("allowance", pattern.allowance, Fraction(0)),
        ("seam_tolerance", pattern.seam_tolerance, Fraction(0)),
    ):
        yield from _out_of_range(path, value, pattern, least, Fraction(1000))
    for name, request in pattern.sizes.items():
        if request.ruler is not None:
            yield from _out_of_range(f"sizes.{name}.ruler", request.ruler, pattern, LEAST_RULER, GREATEST_RULER)
        for key, value in (request.set or {}).items():
            yield from _out_of_range(f"sizes.{name}.set.{key}", value, pattern, Fraction(0))
    for name, material in pattern.materials.items():
        yield from _material_faults(f"materials.{name}", material, pattern)
    for name, piece in pattern.pieces.items():
        for place, layer in enumerate(piece.layers):
            yield from _shrinks_faults(f"pieces.{name}.layers.{place}.shrinks", layer.shrinks)
    for name, content in pattern.contents.items():
        for key in ("least",) if isinstance(content, Opening) else ("ease", "stands_out"):
            yield from _out_of_range(f"contents.{name}.{key}", getattr(content, key), pattern, Fraction(0))
        for place, value in enumerate(() if isinstance(content, Opening) else content.object):
            yield from _out_of_range(f"contents.{name}.object.{place}", value, pattern, Fraction(0))
    for name, seam in pattern.seams.items():
        if seam.tolerance is not None:
            yield from _out_of_range(f"seams.{name}.tolerance", seam.tolerance, pattern, Fraction(0), Fraction(1000))
        if seam.fullness is not None and not 1 <= read_number(seam.fullness) <= 10:
            yield Fault(f"seams.{name}.fullness", f"{seam.fullness} times is no fullness", "give a factor from 1 to 10")


def _material_faults(path: str, material: Material, pattern: Pattern) -> Iterator[Fault]:
    for key in ("thickness", "loose"):
        if getattr(material, key) is not None:
            yield from _out_of_range(f"{path}.{key}", getattr(material, key), pattern, Fraction(0))
    yield from cloth_faults(path, material, pattern)
    yield from _shrinks_faults(f"{path}.shrinks", material.shrinks)
    for way in ("across", "along") if material.shrinkage is not None else ():
        written = getattr(material.shrinkage, way)
        if not 0 <= (read_percentage(written) or 0) <= MOST_SHRINKING:
            yield Fault(
                f"{path}.shrinkage.{way}", f"no cloth shrinks by {written}", "give a percentage from 0 % to 50 %"
            )
    if material.loose is not None and material.thickness is not None:
        loose, stitched = (read_length(value, pattern.unit) for value in (material.loose, material.thickness))
        if loose < stitched:
            yield Fault(
                f"{path}.loose",
                f"it lies {print_length(loose)} thick, and {print_length(stitched)} when stitched",
                "stitching only makes it thinner: change the two over",
            )


def cloth_faults(path: str, material: Material, pattern: Pattern) -> Iterator[Fault]:
    """What of a cloth's widths, sheets, repeats and units of sale cannot be."""
    sizes = {"usable_width": material.usable_width, "sold_by": material.sold_by}
    sizes |= {f"sheet.{place}": value for place, value in enumerate(material.sheet or ())}
    repeat = material.repeat
    sizes |= {} if repeat is None else {"repeat.across": repeat.across, "repeat.along": repeat.along}
    for key, value in sizes.items():
        if value is None:
            continue
        if read_length(value, pattern.unit) == 0:
            yield Fault(f"{path}.{key}", "0 mm is no length to cut from or to buy", "give one above 0, or leave it out")
        else:
            yield from _out_of_range(f"{path}.{key}", value, pattern, Fraction(0))
    width = material.usable_width if material.sheet is None else material.sheet[0]
    if repeat is None or repeat.across is None or width is None:
        return
    across, usable = (read_length(value, pattern.unit) for value in (repeat.across, width))
    if across > usable > 0:
        yield Fault(
            f"{path}.repeat.across",
            f"the repeat is {print_length(across)} across, and the cloth {print_length(usable)} usable",
            "a print repeats at least once across its cloth: correct one of the two",
        )


def _shrinks_faults(path: str, shrinks: Shrinks | None) -> Iterator[Fault]:
    for way in ("across", "along") if shrinks is not None else ():
        written = getattr(shrinks, way)
        if not 0 <= (read_percentage(written) or 0) <= MOST_SHRINKING:
            yield Fault(f"{path}.{way}", f"nothing is taken in by {written}", "give a percentage from 0 % to 50 %")


def _out_of_range(
    path: str, value: str | float, pattern: Pattern, least: Fraction, most: Fraction = GREATEST_LENGTH
) -> Iterator[Fault]:
    size = read_length(value, pattern.unit)
    if not least <= size <= most:
        yield Fault(
            path,
            f"{print_length(size)} is out of range",
            f"give a length from {print_length(least)} to {print_length(most)}",
        )


def _dimension_faults(path: str, dimension: Dimension, pattern: Pattern) -> Iterator[Fault]:
    if dimension.kind == "count":
        if not isinstance(dimension.base, int) or not 0 <= dimension.base <= GREATEST_COUNT:
            yield Fault(
                f"{path}.base", f"{dimension.base!r} is no count", f"give a whole number from 0 to {GREATEST_COUNT}"
            )
        return
    base = read_length(dimension.base, pattern.unit)
    can_be = 0 < base <= GREATEST_LENGTH
    if not can_be:
        yield Fault(
            f"{path}.base", f"{print_length(base)} is no length of a bag", "give a length above 0 and at most 20 m"
        )
    if dimension.limits is None:
        return
    least, most = (read_length(value, pattern.unit) for value in dimension.limits)
    if not 0 <= least <= most <= GREATEST_LENGTH:
        yield Fault(
            f"{path}.limits",
            f"{print_length(least)} to {print_length(most)} is no range",
            "give the least first, then the greatest, at most 20 m",
        )
    elif can_be and not least <= base <= most and dimension.sizing != "decided":
        yield Fault(
            f"{path}.base",
            f"{print_length(base)} lies outside its own limits, {print_length(least)} to {print_length(most)}",
            "widen the limits or change the base",
        )
