"""The whole list of supplies of one grade."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from grading.grade import Grade
from grading.supplies.advice import advice
from grading.supplies.cloths import cloth_rows
from grading.supplies.cost import Cost, sums
from grading.supplies.findings import finding_rows
from grading.supplies.layering import layering
from grading.supplies.needles import needle_advice
from grading.supplies.rows import SupplyRow
from grading.supplies.settings import SupplySettings
from grading.supplies.sewing import all_sewn
from grading.supplies.thread import ThreadRow, thread_rows


@dataclass(frozen=True)
class Supplies:
    """What one grade needs besides its pieces. `unpriced` are the rows that are bought and have no price."""

    grade: Grade
    settings: SupplySettings
    rows: tuple[SupplyRow, ...]
    thread: tuple[ThreadRow, ...]
    needles: tuple[str, ...]
    cost: tuple[Cost, ...]
    unpriced: tuple[str, ...]
    says: tuple[str, ...]


def supplies(grade: Grade, settings: SupplySettings, layouts: Mapping[str, Any] | None = None) -> Supplies:
    """List what a grade needs, exactly, with the steps in which it is used and what it costs.

    `layouts` is the document of its layouts (see the reference, section 14), from which cloth is listed too.
    """
    rows = (*(cloth_rows(grade, layouts) if layouts is not None else ()), *finding_rows(grade, settings))
    sewn = all_sewn(layering(grade, settings.tape))
    thread = thread_rows(sewn, settings, grade.model.ruler)
    return Supplies(
        grade=grade,
        settings=settings,
        rows=rows,
        thread=thread,
        needles=tuple(needle_advice(grade, sewn)),
        cost=sums(row.cost for row in rows if row.cost is not None),
        unpriced=tuple(row.name for row in rows if row.buy.buys and row.cost is None),
        says=tuple(advice(grade, rows, thread, settings, layouts)),
    )
