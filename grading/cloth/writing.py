"""The layouts' document: plain data for JSON, as the reference's section 14 lays it down."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from grading.cloth.layout import Cost, Free, Laid, Layout, Layouts, Purchase, Strip
from grading.cloth.settings import LayoutSettings
from grading.cloth.stuff import Stuff
from grading.cloth.widths import asked_widths
from grading.exact import Enclosure, Ruler, read_length
from grading.grade import Grade

Json = dict[str, Any]
Text = Callable[[Fraction], str]
HURRIED = "other widths and fat quarters were not looked at, for want of time"


def write_layouts(layouts: Layouts) -> Json:
    """The layouts as plain data; lengths are exact texts with their unit."""
    grade = layouts.grade
    return {
        "format": 1,
        "kind": "layouts",
        "pattern": grade.model.pattern.name,
        "size": {
            "name": grade.size_name,
            "request": grade.request.model_dump(mode="json", by_alias=True, exclude_none=True),
        },
        "ruler": str(grade.model.ruler),
        "settings": write_settings(layouts.settings, grade),
        "cloths": {role: _layout(layout) for role, layout in layouts.cloths.items()},
        "without": [{"material": role, "says": grade.model.pattern.materials[role].says} for role in layouts.without],
    }


def write_settings(settings: LayoutSettings, grade: Grade) -> Json:
    """Settings in full, as they were used; the cloths' changes as given."""
    ruler, unit = grade.model.ruler, grade.model.pattern.unit

    def length(value: str | float) -> str:
        return ruler.text(read_length(value, unit))

    return {
        "style": settings.style,
        "gap": length(settings.gap),
        "edge": length(settings.edge),
        "spare": settings.spare,
        "bias": settings.bias,
        "effort": settings.effort,
        "seed": settings.seed,
        "widths": [ruler.text(width) for width in asked_widths(settings, ruler, unit)],
        "offcut": length(settings.offcut),
        "cloths": {
            role: changes.model_dump(mode="json", exclude_none=True) for role, changes in settings.cloths.items()
        },
    }


def _layout(layout: Layout) -> Json:
    stuff, arrangement = layout.stuff, layout.arrangement
    text = stuff.text
    is_short = arrangement.length == arrangement.least
    return {
        "says": stuff.material.says,
        "style": stuff.style,
        "usable_width": text(stuff.bought),
        "washed_width": text(stuff.washed),
        "width": text(stuff.width),
        "grid": text(stuff.grid),
        "direction": stuff.direction,
        **_repeat(stuff),
        "pieces": [_laid(stuff, laid) for laid in arrangement.pieces],
        "length": text(arrangement.length),
        "least": {"length": text(arrangement.least), "certificate": dict(arrangement.certificate)},
        "above": above_text(arrangement.length, arrangement.least, in_pairs=arrangement.is_nested),
        "shortest": is_short,
        **({} if arrangement.strips is None else {"strips": [_strip(text, strip) for strip in arrangement.strips]}),
        **({"cuts": list(layout.cuts)} if layout.cuts else {}),
        **({} if arrangement.sheets is None else {"sheets": arrangement.sheets}),
        "offcuts": [_free(text, free) for free in layout.offcuts],
        "buy": _buy(text, layout.buy),
        "widths": [
            {
                "usable_width": text(other.usable_width),
                "length": None if other.length is None else text(other.length),
                "buy": None if other.buy is None else text(other.buy),
            }
            for other in layout.widths
        ],
        "fat_quarters": layout.fat_quarters,
        **({"hurried": HURRIED} if layout.hurried else {}),
    }


def _repeat(stuff: Stuff) -> Json:
    repeat = {
        way: stuff.text(length) for way, length in zip(("across", "along"), stuff.washed_repeat, strict=True) if length
    }
    return {"repeat": repeat} if repeat else {}


def _laid(stuff: Stuff, laid: Laid) -> Json:
    item, text = laid.item, stuff.text
    block = item.block
    return {
        "letter": item.letter,
        "piece": item.piece,
        "layer": item.layer,
        "copy": item.copy,
        "mirrored": item.mirrored,
        "x": text(laid.x),
        "y": text(laid.y),
        "across": text(laid.across),
        "along": text(laid.along),
        "turned": laid.turned,
        "kind": item.kind,
        **({"on_fold": True} if item.on_fold else {}),
        **({"pair": True} if item.pair else {}),
        **({} if laid.nested is None else {"nested": laid.nested}),
        **({} if laid.sheet is None else {"sheet": laid.sheet}),
        **(
            {}
            if block is None
            else {
                "bias": {
                    "strips": block.strips,
                    "centre": _near(stuff.ruler, block.centre),
                    "width": text(block.strip_width),
                }
            }
        ),
    }


def _near(ruler: Ruler, length: Enclosure) -> str:
    return ruler.text(length.low) if length.low == length.high else ruler.near_text(length)


def above_text(length: Fraction, least: Fraction, *, in_pairs: bool = False) -> str:
    """How far a length may be above the least possible, in percent with one decimal, rounded up.

    `in_pairs`: pieces are nested in pairs, and the least is that with these pairs.
    """
    such = " with these pairs" if in_pairs else ""
    if length == least:
        return f"as short as can be{such}"
    tenths = -((-(length / least - 1) * 1000).__floor__())
    return f"at most {tenths // 10}.{tenths % 10} % above the least possible{such}"


def percent_text(share: Fraction) -> str:
    """A share as a percentage with one decimal, half up."""
    tenths = (share * 1000 + Fraction(1, 2)).__floor__()
    return f"{tenths // 10}.{tenths % 10} %"


def _strip(text: Text, strip: Strip) -> Json:
    return {
        "y": text(strip.y),
        "along": text(strip.along),
        "columns": [
            {"x": text(column.x), "across": text(column.across), "pieces": list(column.pieces)}
            for column in strip.columns
        ],
    }


def _free(text: Text, free: Free) -> Json:
    return {
        "x": text(free.x),
        "y": text(free.y),
        "across": text(free.across),
        "along": text(free.along),
        **({} if free.sheet is None else {"sheet": free.sheet}),
    }


def _buy(text: Text, buy: Purchase) -> Json:
    cost = {} if buy.cost is None else {"cost": _cost(buy.cost)}
    waste = percent_text(buy.waste)
    if buy.length is None or buy.needed is None or buy.spare is None or buy.unit is None:
        return {"sheets": buy.sheets, "waste": waste, **cost}
    return {
        "needed": text(buy.needed),
        **({} if buy.repeats is None else {"repeats": buy.repeats}),
        "spare": text(buy.spare),
        "unit": text(buy.unit),
        "length": text(buy.length),
        "waste": waste,
        **cost,
    }


def _cost(cost: Cost) -> Json:
    return {"amount": str(cost.amount), "currency": cost.currency}
