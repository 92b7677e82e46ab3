"""The order form of a pattern: a JSON Schema of what a customer may wish, and what a page shows beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from grading.document import Pattern
from grading.document.order import Order
from grading.document.order_names import offered_options
from grading.document.schema import DIALECT
from grading.document.variants import own_ruler
from grading.exact import UNITS, Ruler
from grading.price.wish import MOST_BAGS, usual_measures

LENGTH = r"^ *[0-9]+([ .,/][0-9/ ]*)? *(mm|cm|m|in|ft|yd) *$"
"""What a length looks like as a text; the server reads it exactly."""
FINEST = Fraction(1, 1_000_000)
"""What ends of a range are put on where no decimal ends, inwards, in the document's unit."""
UNSEWN = "This size is calculated; no bag of this pattern has been sewn yet."
MEASURES = "Measures are those of the finished bag as drawn: thick cloth, quilting and sewing change them a little."
NO_LOAD = "Nothing is said of the load that the bag bears, nor of its use by children."
Ends = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Offer:
    """What was found of a form; lengths in mm.

    box     between which ends measures may be chosen, if that is proven with every choice of the offered options
    proven  whether that is all of what the document says
    listed  where there is no box: sizes that can be made with every choice
    sizes   the named sizes that can be, with the printed values of what may be chosen
    cautions  what is to be said of what the bag is made with
    """

    box: Mapping[str, Ends] | None
    proven: bool
    listed: Sequence[Mapping[str, Fraction]]
    sizes: Mapping[str, Mapping[str, str]]
    cautions: Sequence[str] = ()


def write_form(pattern: Pattern, order: Order, offer: Offer) -> dict[str, Any]:
    """The form as plain data for JSON."""
    ruler = own_ruler(pattern)
    return {
        "format": 1,
        "kind": "form",
        "pattern": pattern.name,
        "says": pattern.says,
        "unit": pattern.unit,
        "ruler": str(ruler),
        "schema": _schema(pattern, order, offer),
        "defaults": _defaults(pattern, order, offer, ruler),
        "proven": offer.proven,
        "sizes": [{"name": name, "measures": dict(measures)} for name, measures in offer.sizes.items()],
        "cloths": {
            role: [{"name": cloth.name, "says": cloth.says, "colours": list(cloth.colours)} for cloth in cloths]
            for role, cloths in order.cloths.items()
        },
        "options": {name: {"says": pattern.options[name].says} for name in offered_options(pattern)},
        "cautions": [*_cautions(pattern), *offer.cautions],
        "names": {name: pattern.dimensions[name].says for name in order.choose or {}},
    }


def _cautions(pattern: Pattern) -> Iterator[str]:
    if pattern.edition is None or not pattern.edition.is_sewn:
        yield UNSEWN
    yield MEASURES
    yield NO_LOAD


def _defaults(pattern: Pattern, order: Order, offer: Offer, ruler: Ruler) -> dict[str, Any]:
    usual = usual_measures(pattern, order)
    if offer.box is not None:
        usual = {name: min(max(value, offer.box[name][0]), offer.box[name][1]) for name, value in usual.items()}
    elif offer.listed:
        usual = dict(offer.listed[0])
    return {
        **({"size": next(iter(offer.sizes))} if offer.sizes else {}),
        **({"measures": _texts(usual, ruler)} if offer.box is not None or offer.listed else {}),
        "options": {name: pattern.options[name].usual for name in offered_options(pattern)},
        "cloths": {role: cloths[0].name for role, cloths in order.cloths.items()},
        "quantity": 1,
    }


def _schema(pattern: Pattern, order: Order, offer: Offer) -> dict[str, Any]:
    ways = [way for way, there in (("size", offer.sizes), ("measures", offer.box or offer.listed)) if there]
    properties: dict[str, Any] = {}
    if "size" in ways:
        properties["size"] = {"title": "Size", "enum": list(offer.sizes)}
    if "measures" in ways:
        properties["measures"] = _measures(pattern, offer)
    properties["options"] = _object(
        "Options",
        {
            name: {
                "title": _words(name),
                "description": pattern.options[name].says,
                "enum": list(pattern.options[name].choices),
                "default": pattern.options[name].usual,
            }
            for name in offered_options(pattern)
        },
    )
    properties["cloths"] = _object(
        "Cloths",
        {
            role: {
                "title": _words(role),
                "oneOf": [{"const": cloth.name, "title": cloth.says or _words(cloth.name)} for cloth in cloths],
                "default": cloths[0].name,
            }
            for role, cloths in order.cloths.items()
        },
    )
    properties["quantity"] = {"title": "How many", "type": "integer", "minimum": 1, "maximum": MOST_BAGS, "default": 1}
    return {
        "$schema": DIALECT,
        **_object(pattern.name, properties),
        **({"oneOf": [{"required": [way]} for way in ways]} if ways else {"not": {}}),
    }


def _measures(pattern: Pattern, offer: Offer) -> dict[str, Any]:
    ruler, title = own_ruler(pattern), "Measures of your own"
    if offer.box is None:
        return {"title": title, "enum": [_texts(size, ruler) for size in offer.listed]}
    measures = {
        name: {
            "title": _words(name),
            "description": pattern.dimensions[name].says,
            "unit": pattern.unit,
            "least": ruler.text(least),
            "greatest": ruler.text(most),
            "anyOf": [
                {"type": "number", "minimum": _number(least, pattern, up=True), "maximum": _number(most, pattern)},
                {"type": "string", "pattern": LENGTH, "maxLength": 60},
            ],
        }
        for name, (least, most) in offer.box.items()
    }
    return {**_object(title, measures), "minProperties": 1}


def _object(title: str, properties: Mapping[str, Any]) -> dict[str, Any]:
    return {"title": title, "type": "object", "additionalProperties": False, "properties": dict(properties)}


def _number(length: Fraction, pattern: Pattern, *, up: bool = False) -> int | float:
    """A length in the document's unit as a JSON number, on the side that is offered."""
    size = length / UNITS[pattern.unit] / FINEST
    whole = -(-size // 1) if up else size // 1
    put = whole * FINEST
    return int(put) if put.denominator == 1 else float(put)


def _texts(size: Mapping[str, Fraction], ruler: Ruler) -> dict[str, str]:
    return {name: ruler.text(value) for name, value in size.items()}


def _words(name: str) -> str:
    return name.replace("_", " ").capitalize()
