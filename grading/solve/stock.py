"""Stock as relations: that a dimension has one of the values it is sold in."""

from __future__ import annotations

from fractions import Fraction

from grading.exact import Ruler
from grading.form import CONSTANT, Form
from grading.model.problem import StockChoice
from grading.model.relation import Origin, Relation, Sense

MOST_LISTED = 8
"""Stock values that a conflict lists one by one."""


def stock_label(dimension: str) -> str:
    """The id of the relation that a dimension has one of its stock values."""
    return f"stock:{dimension}"


def stock_relation(choice: StockChoice, ruler: Ruler, value: Fraction | None = None) -> Relation:
    """The relation that a dimension has this value of its stock (or, without one, any: to be named in a conflict)."""
    listed = [ruler.text(each) for each in (choice.values if value is None else (value,))]
    if len(listed) > MOST_LISTED:
        listed = [f"one of {len(listed)} from {listed[0]} to {listed[-1]}"]
    return Relation(
        id=stock_label(choice.dimension),
        origin=Origin.STOCK,
        form=Form({choice.dimension: Fraction(1), CONSTANT: -(choice.wish if value is None else value)}),
        sense=Sense.EQUAL,
        says=f"{choice.dimension} is {' or '.join(listed)}",
        because="it is sold in these sizes",
        path=f"dimensions.{choice.dimension}",
    )
