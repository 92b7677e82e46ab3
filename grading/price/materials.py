"""The lines of what is bought: cloths by their layouts, findings by the list of supplies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from grading.document import Pattern
from grading.document.order import OfferedCloth
from grading.document.prices import EACH, SHEET, FindingPrice, MaterialPrice
from grading.errors import Fault, RequestFaults
from grading.exact import UNITS, print_length, print_number, read_length
from grading.price.currency import Currency
from grading.price.lines import Line

BANDS = frozenset({"webbing", "elastic", "binding"})
COUNTED = frozenset({"zip", "hardware"})
INCHES_IN_A_YARD = 36
Json = Mapping[str, Any]
Price = MaterialPrice | FindingPrice


@dataclass(frozen=True)
class Bought:
    """The documents that say what one bag needs, the cloths that were chosen, and for how many bags it is bought."""

    pattern: Pattern
    layouts: Json
    supplies: Json
    cloths: Mapping[str, OfferedCloth]
    quantity: int

    @property
    def in_inches(self) -> bool:
        """Whether lengths are told in yards."""
        return str(self.supplies["ruler"]).endswith("in")


def material_lines(bought: Bought, currency: Currency) -> tuple[Line, ...]:
    """A line for each cloth that is laid out and each thing in the list of supplies, as it is bought for all bags.

    Raises RequestFaults with everything that is bought and has no price.
    """
    faults = [*_unpriced_materials(bought), *_unpriced_findings(bought)]
    if faults:
        raise RequestFaults(faults)
    return (*_cloth_lines(bought, currency), *_finding_lines(bought, currency))


def _price_of(bought: Bought, role: str) -> MaterialPrice | None:
    chosen = bought.cloths.get(role)
    other = None if chosen is None or chosen.material is None else chosen.material.price
    return other or bought.pattern.materials[role].price


def _rows(bought: Bought) -> Iterator[tuple[Json, FindingPrice | None]]:
    """The rows of supplies that are bought by themselves, with their prices."""
    for row in bought.supplies["rows"]:
        cut = row["kind"] == "binding" and not row["buy"].keys() & {"length", "count"}
        if row["kind"] in BANDS | COUNTED and not cut:
            yield row, bought.pattern.findings[row["findings"][0]].price


def _unpriced_materials(bought: Bought) -> Iterator[Fault]:
    for role in bought.layouts["cloths"]:
        if _price_of(bought, role) is None:
            yield Fault(f"materials.{role}.price", "it has no price", f'give one, as in {{"amount": "14.50", {_PER}')
    for row in bought.layouts["without"]:
        price = _price_of(bought, row["material"])
        if price is None or price.value:
            problem = "it has no usable width, so that nothing tells how much of it is bought"
            yield Fault(f"materials.{row['material']}", problem, "give its width or sheet, or a price of 0")


def _unpriced_findings(bought: Bought) -> Iterator[Fault]:
    for row, price in _rows(bought):
        if price is None:
            yield Fault(
                f"findings.{row['name']}.price", "it has no price", f'give one, as in {{"amount": "1.80", {_PER}'
            )


_PER = '"currency": "EUR", "per": "1 m"}, or an amount of 0 if nothing is to be paid for it'


def _cloth_lines(bought: Bought, currency: Currency) -> Iterator[Line]:
    for role, layout in bought.layouts["cloths"].items():
        price, buy, title = _price_of(bought, role), layout["buy"], _title(bought, role)
        if price is None:
            continue
        if "sheets" in buy:
            count = int(buy["sheets"]) * bought.quantity
            says = f"{title}: {count} × {_said(price, SHEET)}"
            yield Line("cloth", role, says, currency.minor(Fraction(price.value) * count))
            continue
        needed, spare, unit = (read_length(buy[key]) for key in ("needed", "spare", "unit"))
        length = _raised((needed + spare) * bought.quantity, unit)
        yield Line("cloth", role, *_of_length(bought, currency, title, length, price))


def _finding_lines(bought: Bought, currency: Currency) -> Iterator[Line]:
    unit = read_length(bought.supplies["settings"]["unit"])
    for row, price in _rows(bought):
        if price is None:
            continue
        buy, name = row["buy"], row["name"]
        if row["kind"] in BANDS:
            length = _raised(read_length(row["total"]) * bought.quantity, unit)
            yield Line("finding", name, *_of_length(bought, currency, buy["what"], length, price))
        elif price.per == EACH:
            count = int(buy["count"]) * bought.quantity
            says = f"{buy['what']}: {count} × {_said(price, EACH)}"
            yield Line("finding", name, says, currency.minor(Fraction(price.value) * count))
        else:
            length = read_length(buy["length"]) * int(buy["count"]) * bought.quantity
            yield Line("finding", name, *_of_length(bought, currency, buy["what"], length, price))


def _of_length(bought: Bought, currency: Currency, what: str, length: Fraction, price: Price) -> tuple[str, int]:
    per = read_length(price.per, bought.pattern.unit)
    says = f"{what}: {_shop_text(length, in_inches=bought.in_inches)} at {_said(price, _per_text(bought, per))}"
    return says, currency.minor(Fraction(price.value) * length / per)


def _per_text(bought: Bought, per: Fraction) -> str:
    return _shop_text(per, in_inches=bought.in_inches)


def _said(price: Price, per: str) -> str:
    return f"{price.amount} {price.currency} {'each' if per in {EACH, SHEET} else f'for {per}'}"


def _title(bought: Bought, role: str) -> str:
    chosen, written = bought.cloths.get(role), bought.pattern.materials[role]
    says = (chosen.says or chosen.name.replace("_", " ")) if chosen is not None else written.says
    title = role.replace("_", " ")
    return f"{title} ({says})" if says else title


def _raised(length: Fraction, unit: Fraction) -> Fraction:
    """The least multiple of the unit that is not below a length."""
    return unit * -(-length // unit)


def _shop_text(length: Fraction, *, in_inches: bool) -> str:
    """A length as it is asked for in a shop: in metres or yards where these come out even, exact."""
    # A thirty-sixth of a length has as many inches as it has yards.
    yards = print_length(length / INCHES_IN_A_YARD, in_inches=True)
    if in_inches and yards.endswith(" in"):
        return f"{yards.removesuffix('in')}yd"
    number = print_number(length / UNITS["m"])
    return print_length(length, in_inches=in_inches) if "/" in number else f"{number} m"
