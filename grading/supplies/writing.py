"""The documents of supplies and of bulk: plain data for JSON, as the reference's sections 15 and 16 lay them down."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from grading.exact import Ruler
from grading.grade import Grade
from grading.supplies.bulk import Bulk
from grading.supplies.cost import Cost
from grading.supplies.lengths import sold_text
from grading.supplies.places import Place
from grading.supplies.plies import thickness_of
from grading.supplies.rows import SupplyRow, words
from grading.supplies.settings import SupplySettings, write_bulk_settings, write_thread_settings
from grading.supplies.thread import ThreadRow
from grading.supplies.whole import Supplies

Json = dict[str, Any]

NOTHING_TO_SPARE = "; nothing here can be spared, so turn the wheel by hand, or take a heavier machine"


def write_supplies(supplies: Supplies) -> Json:
    """A list of supplies as plain data. Lengths are exact texts with their unit."""
    ruler, settings = supplies.grade.model.ruler, supplies.settings
    return {
        **heading(supplies.grade, "supplies"),
        "settings": write_thread_settings(settings, ruler),
        "rows": [_row(ruler, row) for row in supplies.rows],
        "thread": [_thread(ruler, row, settings) for row in supplies.thread],
        "needles": list(supplies.needles),
        "cost": [_cost(cost) for cost in supplies.cost],
        "unpriced": list(supplies.unpriced),
        "says": list(supplies.says),
    }


def write_bulk(bulk: Bulk) -> Json:
    """Bulk as plain data. Thicknesses are exact texts with their unit, as stitched."""
    ruler, settings = bulk.grade.model.ruler, bulk.settings
    return {
        **heading(bulk.grade, "bulk"),
        "settings": write_bulk_settings(settings, ruler),
        "lift": ruler.text(settings.lift),
        "places": [_place(bulk, place) for place in bulk.places],
        "says": list(bulk.says),
    }


def _place(bulk: Bulk, place: Place) -> Json:
    model, tape = bulk.grade.model, bulk.settings.tape
    text = model.ruler.text
    layers = ", ".join(f"{count} × {words(role)}" for role, count in place.plies.items())
    more = "" if place.over is None else f": {text(place.over)} more than the machine sews"
    if place.over is not None and not place.remedies:
        more += NOTHING_TO_SPARE
    return {
        "seam": place.name,
        "kind": place.kind,
        "where": place.where,
        "layers": [
            {"material": role, "count": count, "thickness": _maybe(text, thickness_of(model, role, tape))}
            for role, count in place.plies.items()
        ],
        "thickness": text(place.thickness),
        "over": _maybe(text, place.over),
        "says": f"{layers}{more}",
        "remedies": [{"says": remedy.says, "thickness": text(remedy.thickness)} for remedy in place.remedies],
    }


def heading(grade: Grade, kind: str) -> Json:
    """What every document of a grade begins with."""
    return {
        "format": 1,
        "kind": kind,
        "pattern": grade.model.pattern.name,
        "size": {
            "name": grade.size_name,
            "request": grade.request.model_dump(mode="json", by_alias=True, exclude_none=True),
        },
        "ruler": str(grade.model.ruler),
    }


def _row(ruler: Ruler, row: SupplyRow) -> Json:
    buy: Json = {"what": row.buy.what}
    if row.buy.length is not None:
        sold_whole = row.kind == "zip"
        buy["length"] = ruler.text(row.buy.length) if sold_whole else sold_text(ruler, row.buy.length)
    if row.buy.count is not None:
        buy["count"] = row.buy.count
    return {
        "name": row.name,
        "kind": row.kind,
        "findings": list(row.findings),
        "says": row.says,
        "count": row.count,
        "width": _maybe(ruler.text, row.width),
        "each": _maybe(ruler.text, row.each),
        "total": _maybe(ruler.text, row.total),
        "buy": buy,
        "waste": _maybe(ruler.text, row.waste),
        "steps": list(row.steps),
        **({} if row.cost is None else {"cost": _cost(row.cost)}),
    }


def _thread(ruler: Ruler, row: ThreadRow, settings: SupplySettings) -> Json:
    reel = f"reels of {sold_text(ruler, settings.reel)}"
    return {
        "stitch": row.stitch,
        "seams": list(row.sewn),
        "length": sold_text(ruler, row.length),
        "ratio": None if row.ratio is None else Cost(row.ratio, "").text,
        "used": None if row.used is None else sold_text(ruler, row.used),
        "buy": None if row.reels is None else {"what": reel, "count": row.reels},
    }


def _cost(cost: Cost) -> Json:
    return {"currency": cost.currency, "amount": cost.text}


def _maybe(text: Callable[[Fraction], str], value: Fraction | None) -> str | None:
    return None if value is None else text(value)
