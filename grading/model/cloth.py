"""Cloths as they are cut from: washed, and so narrower and shorter than bought."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from grading.document.materials import Material
from grading.exact import read_length, read_percentage


def kept(material: Material, way: Literal["across", "along"]) -> Fraction:
    """The part of a cloth that washing leaves, across or along; 1 for a cloth that is not washed before it is cut."""
    if material.shrinkage is None or not material.washed:
        return Fraction(1)
    return 1 - (read_percentage(getattr(material.shrinkage, way)) or Fraction(0))


def washed_width(material: Material, unit: str) -> Fraction | None:
    """The usable width of a cloth as it is cut from, in mm; None where it is not known. `unit`: the document's."""
    if material.usable_width is None:
        return None
    return read_length(material.usable_width, unit) * kept(material, "across")
