"""Money: prices of findings, and sums by currency. Exact, told with two decimals, half up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from grading.document.findings import Finding
from grading.document.prices import EACH
from grading.exact import read_length

HUNDREDTH = Fraction(1, 100)


@dataclass(frozen=True)
class Price:
    """What a thing costs: `amount` for a length of `per` mm, or for each where that is None."""

    amount: Fraction
    currency: str
    per: Fraction | None

    def of_length(self, length: Fraction) -> Cost:
        """The cost of a length in mm."""
        return Cost(rounded(self.amount * length / (self.per or 1)), self.currency)

    def of_count(self, count: int) -> Cost:
        """The cost of so many."""
        return Cost(rounded(self.amount * count), self.currency)


@dataclass(frozen=True)
class Cost:
    """An amount of money to two decimals."""

    amount: Fraction
    currency: str

    @property
    def text(self) -> str:
        """The amount with its two decimals."""
        whole, hundredths = divmod(int(self.amount / HUNDREDTH), 100)
        return f"{whole}.{hundredths:02d}"


def price_of(finding: Finding, unit: str) -> Price | None:
    """The price of a finding; a bare number is in the document's unit."""
    written = finding.price
    if written is None:
        return None
    per = None if written.per == EACH else read_length(written.per, unit)
    return Price(Fraction(written.amount), written.currency, per)


def rounded(amount: Fraction) -> Fraction:
    """The amount to two decimals, half up."""
    return (amount / HUNDREDTH + Fraction(1, 2)).__floor__() * HUNDREDTH


def sums(costs: Iterable[Cost]) -> tuple[Cost, ...]:
    """A sum for each currency, in order of their letters."""
    totals: dict[str, Fraction] = {}
    for cost in costs:
        totals[cost.currency] = totals.get(cost.currency, Fraction(0)) + cost.amount
    return tuple(Cost(totals[currency], currency) for currency in sorted(totals))
