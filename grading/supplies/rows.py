"""The rows of a list of supplies, and what they have in common."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from grading.grade import Grade
from grading.supplies.cost import Cost

RowKind = Literal["cloth", "sheet", "zip", "slider", "webbing", "elastic", "binding", "hardware"]


@dataclass(frozen=True)
class Purchase:
    """What to ask for in a shop: a length in mm, a count, both (so many of that length), or neither."""

    what: str
    length: Fraction | None = None
    count: int | None = None

    @property
    def buys(self) -> bool:
        """Whether there is anything to buy."""
        return self.length is not None or bool(self.count)


@dataclass(frozen=True)
class SupplyRow:
    """One thing that is bought or used; lengths in mm. `each` is None where they differ, or have no length."""

    name: str
    kind: RowKind
    findings: tuple[str, ...]
    says: str
    count: int
    width: Fraction | None
    each: Fraction | None
    total: Fraction | None
    buy: Purchase
    waste: Fraction | None
    steps: tuple[int, ...]
    cost: Cost | None


def steps_of(grade: Grade, findings: Iterable[str]) -> tuple[int, ...]:
    """Every step (from 1) that uses or binds one of these findings, or makes a seam with an edge of it."""
    wanted, seams = frozenset(findings), grade.model.seams
    return tuple(
        number
        for number, step in enumerate(grade.model.pattern.steps, start=1)
        if wanted & {*step.uses, *step.binds}
        or any(entry.use in wanted for seam in step.makes for entry in (*seams[seam].join, *seams[seam].to))
    )


def words(name: str) -> str:
    """A name as it is read."""
    return name.replace("_", " ")
