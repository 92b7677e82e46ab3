"""The lines of a price, each rounded by itself, so that they add up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

LineKind = Literal["cloth", "finding", "work", "spoiled", "also", "margin", "fees", "rounding", "tax"]


@dataclass(frozen=True)
class Line:
    """One line: an amount in minor units, what it is for, and how it comes about in words.

    at_cost  whether it is passed on without a margin
    """

    kind: LineKind
    name: str
    says: str
    amount: int
    at_cost: bool = False


def total(lines: Iterable[Line]) -> int:
    """The sum of lines."""
    return sum(line.amount for line in lines)
