"""The lines of work: minutes of each activity, at so much an hour."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from grading.document import Pattern
from grading.document.order_names import length_of_work
from grading.document.price_rule import MinutesOfWork, PriceRule
from grading.exact import print_number, read_length, read_number
from grading.price.currency import Currency
from grading.price.lines import Line

MINUTES_IN_AN_HOUR = 60
Json = Mapping[str, Any]


@dataclass(frozen=True)
class Work:
    """The lines of work, and how many minutes they are together, exact."""

    lines: tuple[Line, ...]
    minutes: Fraction


def work_of(pattern: Pattern, rule: PriceRule, grade: Json, quantity: int, currency: Currency) -> Work:
    """A line for each activity, for all bags of this grade."""
    minutes = {name: minutes_of(pattern, written, grade) * quantity for name, written in rule.minutes.items()}
    lines = tuple(
        Line("work", name, _says(name, spent, rule), currency.minor(Fraction(rule.hour) * spent / MINUTES_IN_AN_HOUR))
        for name, spent in minutes.items()
    )
    return Work(lines, sum(minutes.values(), Fraction(0)))


def minutes_of(pattern: Pattern, written: str | float | MinutesOfWork, grade: Json) -> Fraction:
    """How long an activity takes for one bag of a grade's document, in minutes; never below 0."""
    if not isinstance(written, MinutesOfWork):
        return read_number(written)
    name = grade["size"]["name"]
    if name in written.sizes:
        return read_number(written.sizes[name])
    values = {
        dimension: read_length(printed["value"])
        for dimension, printed in grade["dimensions"].items()
        if pattern.dimensions[dimension].kind == "length"
    }
    return read_number(written.fixed) + sum(
        (
            max(length_of_work(pattern, part.of).stated(values), Fraction(0))
            / read_length(part.per, pattern.unit)
            * read_number(part.minutes)
            for part in written.by_length
        ),
        Fraction(0),
    )


def _says(name: str, minutes: Fraction, rule: PriceRule) -> str:
    return f"{name.replace('_', ' ')}: {print_number(minutes)} min at {rule.hour} {rule.currency} an hour"
