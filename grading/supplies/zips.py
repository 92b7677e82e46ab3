"""Rows of zips and of the sliders that they need besides their own."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grading.cut import CutFinding
from grading.grade import Grade
from grading.supplies.cost import Cost, Price
from grading.supplies.rows import Purchase, SupplyRow, steps_of


def zip_rows(grade: Grade, finding: CutFinding, price: Price | None) -> Iterator[SupplyRow]:
    """The row of a zip, and one of its sliders where more than the one on it is needed."""
    part = grade.model.findings[finding.name].written.zip
    if part is None or finding.length is None or finding.stock is None:
        return
    text, count = grade.model.ruler.text, finding.count
    cut = finding.stock - finding.length if part.shortened else None
    yield SupplyRow(
        name=finding.name,
        kind="zip",
        findings=(finding.name,),
        says=_says(finding.says, _treated(text(finding.length), is_shortened=part.shortened, is_cut=bool(cut))),
        count=count,
        width=finding.width,
        each=finding.length,
        total=finding.length * count,
        buy=Purchase(f"zip of {text(finding.stock)}", finding.stock, count),
        waste=None if cut is None else cut * count,
        steps=steps_of(grade, (finding.name,)),
        cost=_cost(price, finding.stock, count),
    )
    if part.sliders > 1:
        yield SupplyRow(
            name=f"{finding.name} slider",
            kind="slider",
            findings=(finding.name,),
            says=f"{part.sliders} on each zip; one is on it when it is bought",
            count=part.sliders * count,
            width=None,
            each=None,
            total=None,
            buy=Purchase("slider of the zip's gauge", count=(part.sliders - 1) * count),
            waste=None,
            steps=steps_of(grade, (finding.name,)),
            cost=None,
        )


def _cost(price: Price | None, stock: Fraction, count: int) -> Cost | None:
    if price is None:
        return None
    return price.of_count(count) if price.per is None else price.of_length(stock * count)


def _treated(length: str, *, is_shortened: bool, is_cut: bool) -> str:
    if not is_shortened:
        return "it must not be shortened"
    return f"to be shortened to {length}" if is_cut else "of just the length that is needed"


def _says(says: str, more: str) -> str:
    return f"{says}; {more}" if says else more
