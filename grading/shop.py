"""From an order form to a quote: what may be wished, what a wish is graded as, and what it costs.

Apart from the workroom, whose documents the price is made from: who only reads a wish does not load the search for
layouts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from grading.check.cautions import CAUTIONS
from grading.document import Pattern
from grading.document.options import full_choices, representative_choices, resolve
from grading.document.order_names import offered_options, offered_sizes
from grading.document.variants import range_variant
from grading.errors import Fault, RequestFaults, SizewrightError, Stopped
from grading.pipeline import Stop, grade_document, grade_size, prepare, size_range
from grading.price import Offer, Price, Wish, price_bag, read_wish, rule_of, write_form, write_price
from grading.ranges import Range

Size = Mapping[str, Fraction]


def wish_of(document: Pattern, wish: Mapping[str, Any]) -> Wish:
    """Read a customer's wish against the document's order form. Raises RequestFaults with all it does not offer."""
    return read_wish(document, wish)


def days_of(document: Pattern) -> int:
    """How many days a price of this pattern holds. Raises RequestFaults where it says no price."""
    return rule_of(document).valid_days


def price_of(
    document: Pattern, wish: Wish, grade: Mapping[str, Any], layouts: Mapping[str, Any], supplies: Mapping[str, Any]
) -> Price:
    """The price of a wish from the documents of its grade, layouts and supplies. Raises RequestFaults."""
    pattern = resolve(document, full_choices(document, grade.get("options", {})))
    used = {row["material"] for row in grade["cut_list"]}
    cloths = {role: cloth for role, cloth in wish.cloths.items() if role in used}
    return price_bag(pattern, grade, layouts, supplies, cloths, wish.quantity)


def price_document(price: Price) -> dict[str, Any]:
    """A price as plain data for JSON."""
    return write_price(price)


def order_form(document: Pattern, stop: Stop | None = None) -> dict[str, Any]:
    """The order form of a pattern as plain data for JSON, with a JSON Schema (2020-12) of what may be wished.

    Every choice of the offered options is looked at (of more than 64 a representative set), so it may take a while.
    Raises RequestFaults where the pattern has none; Stopped.
    """
    order = document.order
    if order is None:
        problem = "nothing of this pattern can be ordered"
        raise RequestFaults([Fault("order", problem, "give the pattern an order form")])
    choices = tuple(_choices(document))
    ranges = () if order.choose is None else tuple(_ranges(document, choices, stop))
    offer = Offer(
        box=_common_box(ranges),
        proven=bool(ranges) and all(found.verdict.proven for found in ranges),
        listed=_common_sizes(ranges),
        sizes=dict(_sizes(document, choices, stop)),
        cautions=tuple(_cautions(document)),
    )
    return write_form(document, order, offer)


def _choices(document: Pattern) -> Iterator[dict[str, str]]:
    """Every choice of the offered options, the others as usual."""
    offered, usual = offered_options(document), full_choices(document, {})
    seen: set[tuple[str, ...]] = set()
    for each in representative_choices(document):
        kept = {name: each[name] if name in offered else usual[name] for name in usual}
        if tuple(kept.values()) not in seen:
            seen.add(tuple(kept.values()))
            yield kept


def _ranges(document: Pattern, choices: tuple[dict[str, str], ...], stop: Stop | None) -> Iterator[Range]:
    for each in choices:
        yield size_range(prepare(document, range_variant(document, each)), stop=stop)


def _common_box(ranges: tuple[Range, ...]) -> dict[str, tuple[Fraction, Fraction]] | None:
    """What the proven boxes have in common; a part of a proven box is proven."""
    boxes = [found.proven.sides for found in ranges if found.proven is not None]
    if not boxes or len(boxes) < len(ranges):
        return None
    common = {name: (max(box[name][0] for box in boxes), min(box[name][1] for box in boxes)) for name in boxes[0]}
    return common if all(least <= most for least, most in common.values()) else None


def _common_sizes(ranges: tuple[Range, ...]) -> tuple[Size, ...]:
    if not ranges:
        return ()
    return tuple(size for size in ranges[0].listed if all(size in found.listed for found in ranges[1:]))


def _sizes(
    document: Pattern, choices: tuple[dict[str, str], ...], stop: Stop | None
) -> Iterator[tuple[str, dict[str, str]]]:
    """The named sizes that can be made with every choice, with the measures of the first."""
    names = () if document.order is None or document.order.choose is None else tuple(document.order.choose)
    for size in offered_sizes(document):
        try:
            grades = [
                _graded(document, read_wish(document, {"size": size, "options": _offered(document, each)}), stop)
                for each in choices
            ]
        except Stopped:
            raise
        except SizewrightError:
            continue
        yield size, {name: grades[0]["dimensions"][name]["value"] for name in names}


def _offered(document: Pattern, choices: Mapping[str, str]) -> dict[str, str]:
    return {name: choices[name] for name in offered_options(document)}


def _graded(document: Pattern, wish: Wish, stop: Stop | None) -> dict[str, Any]:
    return grade_document(grade_size(document, size=wish.size, request=wish.request, stop=stop))


def _cautions(document: Pattern) -> Iterator[str]:
    """The usual cautions about what the bag is made with."""
    named = " ".join(
        f"{name.replace('_', ' ')} {finding.says} {'' if finding.hardware is None else finding.hardware.what}"
        for name, finding in document.findings.items()
    )
    yield from (caution.text for caution in CAUTIONS if caution.named.search(named))
