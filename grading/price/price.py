"""The price of one or more bags of one grade, by the document's own rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from grading.document import Pattern
from grading.document.order import OfferedCloth
from grading.document.price_rule import PriceRule
from grading.errors import Fault, RequestFaults
from grading.exact import print_number, read_percentage
from grading.price.currency import Currency, currency_of
from grading.price.lines import Line, total
from grading.price.materials import Bought, material_lines
from grading.price.work import work_of

Json = Mapping[str, Any]
NOTHING = Fraction(0)


@dataclass(frozen=True)
class Price:
    """What a customer pays, line by line, in minor units: the sum of all lines is the total.

    `grade` is the document of the grade, `measures` the dimensions that a customer may choose; `minutes` those of all
    bags together.
    """

    grade: Json
    measures: tuple[str, ...]
    quantity: int
    cloths: Mapping[str, OfferedCloth]
    currency: Currency
    lines: tuple[Line, ...]
    minutes: Fraction
    thread: bool
    """Whether thread is used, which has no price of its own."""

    @property
    def total(self) -> int:
        """What is paid, with tax."""
        return total(self.lines)

    @property
    def tax(self) -> int:
        """The tax in it."""
        return total(line for line in self.lines if line.kind == "tax")


def price_bag(
    pattern: Pattern,
    grade: Json,
    layouts: Json,
    supplies: Json,
    cloths: Mapping[str, OfferedCloth],
    quantity: int = 1,
) -> Price:
    """The price of `quantity` bags from the documents of one: exact, and the same for the same documents.

    `pattern` is what the grade's options leave of the document. Raises RequestFaults where the pattern has no price
    rule, or something that is bought has no price.
    """
    rule = rule_of(pattern)
    currency = currency_of(rule.currency)
    bought = material_lines(Bought(pattern, layouts, supplies, cloths, quantity), currency)
    work = work_of(pattern, rule, grade, quantity, currency)
    made = (*bought, *work.lines)
    costs = (*made, *_spoiled(rule, made, currency), *_extras(rule, quantity, currency))
    lines = [*costs, *_margin(rule, costs, currency)]
    lines += _fees(rule, lines, currency)
    lines += _end(rule, lines, currency)
    choose = None if pattern.order is None else pattern.order.choose
    return Price(
        grade=grade,
        measures=tuple(choose or ()),
        quantity=quantity,
        cloths=dict(cloths),
        currency=currency,
        lines=tuple(lines),
        minutes=work.minutes,
        thread=bool(supplies["thread"]),
    )


def rule_of(pattern: Pattern) -> PriceRule:
    """The price rule of a pattern. Raises RequestFaults where it has none."""
    rule = None if pattern.order is None else pattern.order.price
    if rule is None:
        problem = "the pattern does not say what it costs"
        raise RequestFaults([Fault("order.price", problem, "give its order form a price rule")])
    return rule


def _spoiled(rule: PriceRule, made: tuple[Line, ...], currency: Currency) -> Iterator[Line]:
    share = read_percentage(rule.spoiled) or NOTHING
    if share:
        yield Line("spoiled", "spoiled", f"pieces made anew: {rule.spoiled} of materials and work", _part(made, share))


def _part(lines: tuple[Line, ...], share: Fraction) -> int:
    """A share of lines, which are whole minor units already, half up."""
    return _half_up(total(lines) * share)


def _half_up(amount: Fraction) -> int:
    return int((amount + Fraction(1, 2)) // 1)


def _extras(rule: PriceRule, quantity: int, currency: Currency) -> Iterator[Line]:
    for extra in rule.also:
        count = quantity if extra.per == "bag" else 1
        says = f"{extra.what}: {count} × {extra.amount} {rule.currency}"
        amount = currency.minor(Fraction(extra.amount) * count)
        yield Line("also", extra.what, says, amount, at_cost=extra.at_cost)


def _margin(rule: PriceRule, costs: tuple[Line, ...], currency: Currency) -> Iterator[Line]:
    bearing = tuple(line for line in costs if not line.at_cost)
    if rule.margin is not None:
        share = read_percentage(rule.margin) or NOTHING
        says = f"margin: {rule.margin} of {currency.text(_part(bearing, 1 / (1 - share)))} before fees and tax"
        yield Line("margin", "margin", says, _part(bearing, share / (1 - share)))
    elif rule.markup is not None:
        share = read_percentage(rule.markup) or NOTHING
        says = f"markup: {rule.markup} of {currency.text(total(bearing))}"
        yield Line("margin", "margin", says, _part(bearing, share))


def _fees(rule: PriceRule, lines: list[Line], currency: Currency) -> Iterator[Line]:
    share, fixed = rule.fee_share, rule.fixed_fee * 10**currency.digits
    if not share and not fixed:
        return
    taken = share * (1 + rule.tax_rate)
    amount = _half_up((taken * total(lines) + fixed) / (1 - taken))
    more = f" and {currency.text(currency.minor(rule.fixed_fee))}" if fixed else ""
    says = f"fees of payment: {print_number(share * 100)} % of the total{more}"
    yield Line("fees", "fees", says, amount)


def _end(rule: PriceRule, lines: list[Line], currency: Currency) -> Iterator[Line]:
    """The rounding and the tax."""
    before, rate = total(lines), rule.tax_rate
    tax = _half_up(before * rate)
    if rule.round_to is not None:
        whole = _half_up(before * (1 + rate) / rule.round_to) * rule.round_to
        tax = _half_up(whole * rate / (1 + rate))
        says = f"rounding: the total is a multiple of {currency.text(rule.round_to)}"
        yield Line("rounding", "rounding", says, whole - tax - before)
    if rule.tax is not None:
        yield Line("tax", "tax", rule.tax.says, tax)
