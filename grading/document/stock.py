"""Stock lists: what can be bought, some of it by nominal sizes that differ from one system of measures to the other."""

from __future__ import annotations

from fractions import Fraction

from pydantic import Field

from grading.document.values import Length, Part
from grading.exact import read_length


class Nominal(Part):
    """One size that is sold by two names: webbing of 25 mm and of 1 in is the same webbing."""

    metric: Length = Field(description="What it is called on a metric ruler.", examples=["25 mm"])
    imperial: Length = Field(description="What it is called on a ruler in inches.", examples=["1 in"])


StockValue = Length | Nominal
"""One entry of a stock list: a length, or a nominal pair."""


def stock_length(value: StockValue, unit: str, *, in_inches: bool) -> Fraction:
    """What an entry of a stock list measures on a ruler, in mm. Raises NotALength."""
    if isinstance(value, Nominal):
        return read_length(value.imperial if in_inches else value.metric, unit)
    return read_length(value, unit)
