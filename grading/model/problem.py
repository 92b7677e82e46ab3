"""What a size has to meet: all that the solving stage needs to know, and nothing of cloth or seams."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.exact import Ruler
from grading.form import Form
from grading.model.relation import Relation


@dataclass(frozen=True)
class Measure:
    """A length that must lie on the ruler, and what it is in a maker's words."""

    about: str
    form: Form


@dataclass(frozen=True)
class StockChoice:
    """A dimension that takes one of the values of a stock list, in mm ascending; it wishes `wish`."""

    dimension: str
    values: tuple[Fraction, ...]
    wish: Fraction


@dataclass(frozen=True)
class Problem:
    """One size to be found. Lengths in mm, exact.

    dimensions   all unknowns, in document order
    base         the base value of each (decided dimensions may lack one)
    wish         the wished value of each dimension that is not decided
    weight       the weight of each wished dimension's squared distance in the nearest point
    relations    all relations but those of `stock`
    measures     what must lie on the ruler
    stock        dimensions to choose from stock
    reach        how far the ruler may move each dimension from the nearest point, in mm
    """

    dimensions: tuple[str, ...]
    base: Mapping[str, Fraction]
    wish: Mapping[str, Fraction]
    weight: Mapping[str, Fraction]
    relations: tuple[Relation, ...]
    measures: tuple[Measure, ...]
    stock: tuple[StockChoice, ...]
    reach: Mapping[str, Fraction]
    ruler: Ruler
