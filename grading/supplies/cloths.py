"""Rows of cloth, taken from layouts: what each needs, and what to buy."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from grading.exact import read_length
from grading.grade import Grade
from grading.supplies.cost import Cost
from grading.supplies.rows import Purchase, SupplyRow, words


def cloth_rows(grade: Grade, layouts: Mapping[str, Any]) -> Iterator[SupplyRow]:
    """A row for each cloth of the document of layouts."""
    for role, layout in layouts["cloths"].items():
        buy = layout["buy"]
        yield _sheets(grade, role, buy) if "sheets" in buy else _length(grade, role, buy, layout["usable_width"])


def _length(grade: Grade, role: str, buy: Mapping[str, Any], usable_width: str) -> SupplyRow:
    needed, bought, width = (read_length(value) for value in (buy["needed"], buy["length"], usable_width))
    what = f"{_title(grade, role)}, at least {grade.model.ruler.text(width)} usable width"
    return _row(grade, role, buy, what, width=width, total=needed, bought=bought)


def _sheets(grade: Grade, role: str, buy: Mapping[str, Any]) -> SupplyRow:
    sheet = grade.model.pattern.materials[role].sheet
    text = grade.model.ruler.text
    size = " × ".join(text(read_length(side, grade.model.pattern.unit)) for side in sheet or ())
    return _row(grade, role, buy, f"{_title(grade, role)}, sheets of {size}", sheets=int(buy["sheets"]))


def _row(
    grade: Grade,
    role: str,
    buy: Mapping[str, Any],
    what: str,
    width: Fraction | None = None,
    total: Fraction | None = None,
    bought: Fraction | None = None,
    sheets: int | None = None,
) -> SupplyRow:
    cost = buy.get("cost")
    return SupplyRow(
        name=role,
        kind="cloth" if sheets is None else "sheet",
        findings=(),
        says=grade.model.pattern.materials[role].says,
        count=1 if sheets is None else sheets,
        width=width,
        each=None,
        total=total,
        buy=Purchase(what, bought, sheets),
        waste=None if bought is None or total is None else bought - total,
        steps=(),
        cost=None if cost is None else Cost(Fraction(cost["amount"]), cost["currency"]),
    )


def _title(grade: Grade, role: str) -> str:
    says = grade.model.pattern.materials[role].says
    return f"{words(role)} ({says})" if says else words(role)
