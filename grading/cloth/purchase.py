"""What is bought of a cloth: the length laid, unshrunk, with what is spare, in the lengths that a shop sells."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import ceil

from grading.cloth.layout import Arrangement, Cost, Purchase
from grading.cloth.settings import LayoutSettings
from grading.cloth.stuff import Stuff
from grading.document.prices import SHEET
from grading.exact import INCH, Ruler, read_length, read_percentage

METRIC_UNIT = Fraction(100)
"""10 cm: what shops sell by where nothing is said; common practice, no source."""
IMPERIAL_UNIT = Fraction(36, 8) * INCH
"""1/8 yd, likewise."""
CENT = Decimal("0.01")


def purchase_of(stuff: Stuff, arrangement: Arrangement, settings: LayoutSettings) -> Purchase:
    """What is bought for an arrangement."""
    waste = 1 - arrangement.cloth / cloth_laid(stuff, arrangement)
    if arrangement.sheets is not None:
        return Purchase(waste, _cost(stuff, Fraction(arrangement.sheets)), sheets=arrangement.sheets)
    needed = needed_length(stuff, arrangement.length)
    length = length_to_buy(stuff, arrangement.length, settings)
    return Purchase(
        waste=waste,
        cost=_cost(stuff, length),
        needed=needed,
        spare=_spare(stuff, needed, settings),
        unit=unit_of(stuff),
        length=length,
        repeats=ceil(needed / stuff.repeat_bought) if stuff.repeat[1] else None,
    )


def cloth_laid(stuff: Stuff, arrangement: Arrangement) -> Fraction:
    """The cloth that is laid on, in mm²: of folded cloth both layers."""
    return arrangement.length * stuff.width * (2 if stuff.style == "folded" else 1)


def needed_length(stuff: Stuff, length: Fraction) -> Fraction:
    """The length to buy for a length of washed cloth, on the ruler; one repeat more where pieces lie by the print.

    A shop cuts anywhere in the print, so that up to a repeat is lost before its first corner.
    """
    return stuff.ruler.raised(length / stuff.kept[1] + stuff.repeat_bought)


def length_to_buy(stuff: Stuff, length: Fraction, settings: LayoutSettings) -> Fraction:
    """The length that is bought for a length of washed cloth."""
    needed, unit = needed_length(stuff, length), unit_of(stuff)
    return ceil((needed + _spare(stuff, needed, settings)) / unit) * unit


def _spare(stuff: Stuff, needed: Fraction, settings: LayoutSettings) -> Fraction:
    return stuff.ruler.raised(needed * (read_percentage(settings.spare) or Fraction(0)))


def unit_of(stuff: Stuff) -> Fraction:
    """The length that a shop sells multiples of, in mm."""
    if stuff.material.sold_by is not None:
        return read_length(stuff.material.sold_by, stuff.unit)
    return usual_unit(stuff.ruler)


def usual_unit(ruler: Ruler) -> Fraction:
    """What cloth is sold by where nothing is said, in mm."""
    return IMPERIAL_UNIT if ruler.in_inches else METRIC_UNIT


def _cost(stuff: Stuff, bought: Fraction) -> Cost | None:
    """What so much of it costs: of a length in mm, of sheets so many."""
    price = stuff.material.price
    if price is None:
        return None
    per = Fraction(1) if price.per == SHEET else read_length(price.per, stuff.unit)
    return Cost(money(Fraction(price.value) * bought / per), price.currency)


def money(amount: Fraction) -> Decimal:
    """An amount with two decimals, half up."""
    cents = (amount * 100 + Fraction(1, 2)).__floor__()
    return (Decimal(cents) / 100).quantize(CENT, ROUND_HALF_UP)
