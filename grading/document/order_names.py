"""What an order form names: sizes, dimensions, roles of cloths, one currency."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grading.document.expressions import ExpressionFault, Scope, length_value
from grading.document.order import OfferedCloth, Order
from grading.document.pattern import Pattern
from grading.document.price_rule import MinutesOfWork, PriceRule
from grading.document.prices import SHEET
from grading.document.values import Expression
from grading.errors import Fault
from grading.exact import read_length, read_number
from grading.form import Form

BASE = "base"


def order_form_faults(pattern: Pattern, order: Order) -> Iterator[Fault]:
    """What an order form names that is not there, and prices that do not go together; `choose` and options apart."""
    sizes = (BASE, *pattern.sizes)
    for place, size in enumerate(order.sizes or ()):
        if size not in sizes:
            yield _unknown(f"order.sizes.{place}", "size", size, sizes)
    for role, cloths in order.cloths.items():
        yield from _cloth_faults(pattern, role, cloths)
    if order.price is not None:
        yield from _price_faults(pattern, order.price)


def offered_sizes(pattern: Pattern) -> tuple[str, ...]:
    """The named sizes that an order form offers, in its order."""
    order = pattern.order
    return (BASE, *pattern.sizes) if order is None or order.sizes is None else order.sizes


def offered_options(pattern: Pattern) -> tuple[str, ...]:
    """The options that a customer may choose."""
    order = pattern.order
    return tuple(pattern.options) if order is None or order.options is None else order.options


def length_of_work(pattern: Pattern, expression: Expression) -> Form:
    """The length that work goes by. Raises ExpressionFault if it is none, or has pi or a root."""
    counts = {
        name: int(read_number(dimension.base))
        for name, dimension in pattern.dimensions.items()
        if dimension.kind == "count"
    }
    found = length_value(expression, Scope(pattern.unit, frozenset({*pattern.dimensions} - counts.keys()), counts))
    if not found.is_rational:
        raise ExpressionFault("it has pi or a root", "give a plain sum of lengths: minutes need not be so exact")
    return found


def _unknown(path: str, what: str, name: str, known: tuple[str, ...]) -> Fault:
    return Fault(path, f"no {what} is named {name!r}", f"the document names {', '.join(known[:12]) or 'none'}")


def _cloth_faults(pattern: Pattern, role: str, cloths: tuple[OfferedCloth, ...]) -> Iterator[Fault]:
    path, material = f"order.cloths.{role}", pattern.materials.get(role)
    if material is None:
        yield _unknown(path, "material", role, tuple(pattern.materials))
        return
    names = [cloth.name for cloth in cloths]
    for place, cloth in enumerate(cloths):
        here, other = f"{path}.{place}", cloth.material
        if cloth.name in names[:place]:
            yield Fault(f"{here}.name", f"two cloths are named {cloth.name!r}", "give each its own name")
        if other is None:
            continue
        if material.sheet is not None and (other.usable_width is not None or other.sold_by is not None):
            yield Fault(f"{here}.material", f"{role!r} is sold in sheets", "leave out its width and what it is sold by")
        for key in ("usable_width", "sold_by"):
            value = getattr(other, key)
            if value is not None and not Fraction(0) < read_length(value, pattern.unit) <= 20_000:
                yield Fault(f"{here}.material.{key}", "it is no such length", "give one above 0, and at most 20 m")
        if other.price is not None and (other.price.per == SHEET) != (material.sheet is not None):
            sold = f'write "per": "{SHEET}"' if material.sheet is not None else 'write a length, as in "per": "1 m"'
            yield Fault(f"{here}.material.price.per", "its price is not for what is sold", sold)


def _price_faults(pattern: Pattern, rule: PriceRule) -> Iterator[Fault]:
    for path, currency in _currencies(pattern):
        if currency != rule.currency:
            yield Fault(
                f"{path}.currency",
                f"the price is in {currency}, and the order form's in {rule.currency}",
                "give all prices in one currency",
            )
    for activity, minutes in rule.minutes.items():
        path = f"order.price.minutes.{activity}"
        if not isinstance(minutes, MinutesOfWork):
            continue
        for size in minutes.sizes:
            if size != BASE and size not in pattern.sizes:
                yield _unknown(f"{path}.sizes.{size}", "size", size, (BASE, *pattern.sizes))
        for place, part in enumerate(minutes.by_length):
            try:
                length_of_work(pattern, part.of)
            except ExpressionFault as broken:
                yield Fault(f"{path}.by_length.{place}.of", broken.problem, broken.remedy)


def _currencies(pattern: Pattern) -> Iterator[tuple[str, str]]:
    for role, material in pattern.materials.items():
        if material.price is not None:
            yield f"materials.{role}.price", material.price.currency
    for name, finding in pattern.findings.items():
        if finding.price is not None:
            yield f"findings.{name}.price", finding.price.currency
    for role, cloths in () if pattern.order is None else pattern.order.cloths.items():
        for place, cloth in enumerate(cloths):
            if cloth.material is not None and cloth.material.price is not None:
                yield f"order.cloths.{role}.{place}.material.price", cloth.material.price.currency
