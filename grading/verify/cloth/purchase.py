"""Purchase: how much of a cloth to buy, what of it goes to waste, and what it costs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from grading.verify.cloth.cloths import Cloth
from grading.verify.cloth.laid import Lain
from grading.verify.cloth.nests import Nest
from grading.verify.document.materials import Price
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import UNITS, Ruler, raise_to

# What shops cut, where the document does not say it: 10 cm, or an eighth of a yard; common practice, no source.
METRIC_UNIT = Fraction(100)
INCH_UNIT = UNITS["yd"] / 8


def usual_unit(ruler: Ruler) -> Fraction:
    """Return the least length that a shop sells, where nothing else is said, in mm."""
    return INCH_UNIT if ruler.in_inches else METRIC_UNIT


def purchase(
    cloth: Cloth, items: Sequence[Lain | Nest], length: Fraction, spare: Fraction, is_held: bool, ruler: Ruler
) -> dict[str, Any]:
    """Return the part `buy` of the layout of a cloth that comes by length; `spare` is a part of one."""
    material = cloth.material
    needed = length / (1 - material.shrinkage[1])
    repeat = material.repeat.along if is_held and material.repeat is not None else None
    # The shop cuts anywhere in the print.
    needed = raise_to(needed + (repeat or 0), ruler.step)
    extra = raise_to(needed * spare, ruler.step)
    unit = material.sold_by or usual_unit(ruler)
    bought = raise_to(needed + extra, unit)
    found: dict[str, Any] = {
        "needed": ruler.printed(needed),
        "spare": ruler.printed(extra),
        "unit": ruler.printed(unit),
        "length": ruler.printed(bought),
        "waste": waste_text(cloth, items, length),
    }
    if repeat is not None:
        found["repeats"] = math.ceil(needed / repeat)
    if material.price is not None and material.price.per is not None:
        found["cost"] = cost(material.price, bought / material.price.per)
    return found


def sheet_purchase(cloth: Cloth, items: Sequence[Lain | Nest], sheets: int, length: Fraction) -> dict[str, Any]:
    """Return the part `buy` of the layout of a cloth that comes in sheets."""
    price = cloth.material.price
    found: dict[str, Any] = {"sheets": sheets, "waste": waste_text(cloth, items, length)}
    if price is not None and price.per is None:
        found["cost"] = cost(price, Fraction(sheets))
    return found


def waste_text(cloth: Cloth, items: Sequence[Lain | Nest], length: Fraction) -> str:
    """Return the part of the cloth laid that no piece or nested pair is of, with one decimal, half up."""
    area = sum((item.cloth_area for item in items), Fraction(0))
    whole = cloth.width * cloth.layers * length
    return percentage_text(math.floor((1 - area / whole) * 1000 + Fraction(1, 2))) if whole else "0.0 %"


def percentage_text(thousandths: int) -> str:
    """Return a percentage with one decimal."""
    sign = "-" if thousandths < 0 else ""
    whole, rest = divmod(abs(thousandths), 10)
    return f"{sign}{whole}.{rest} %"


def cost(price: Price, count: Fraction) -> dict[str, str]:
    """Return what so many lengths, sheets or pieces cost: two decimals, half up."""
    return {"amount": amount_text(price.amount * count), "currency": price.currency}


def amount_text(amount: Fraction) -> str:
    """Return an amount of money with two decimals, half up."""
    hundredths = math.floor(amount * 100 + Fraction(1, 2))
    whole, rest = divmod(hundredths, 100)
    return f"{whole}.{rest:02d}"
