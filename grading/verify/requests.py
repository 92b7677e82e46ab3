"""Requests for a size, and what each dimension wishes to be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.verify.dimensions import Dimension
from grading.verify.lengths import Ruler, read_factor, read_length, read_ruler
from grading.verify.reading import choice, fields, joined, named
from grading.verify.unreadable import refuse

BASE_SIZE = "base"


@dataclass(frozen=True)
class Request:
    """A scale, or values asked of some dimensions; `ruler` is the request's own or the document's."""

    scale: Fraction | None
    asked: Mapping[str, Fraction]
    in_proportion: bool
    ruler: Ruler


def read_request(
    value: object,
    lengths: Mapping[str, Dimension],
    stock: Mapping[str, tuple[Fraction, ...]],
    unit_name: str,
    unit: Fraction,
    ruler: Ruler,
    path: str,
) -> Request:
    """Return the request that an object makes of the given dimensions."""
    given = fields(value, path, (), ("scale", "set", "others", "ruler"))
    if "ruler" in given:
        ruler = read_ruler(given["ruler"], unit_name, joined(path, "ruler"))
    if ("scale" in given) == ("set" in given):
        refuse("is neither a scale nor a set of dimensions", path)
    if "scale" in given:
        scale = read_factor(given["scale"], joined(path, "scale"))
        if scale <= 0 or "others" in given:
            refuse("is not a scale above 0", path)
        return Request(scale, {}, in_proportion=True, ruler=ruler)
    asked = {}
    for title, item, where in named(given["set"], joined(path, "set")):
        dimension = lengths.get(title)
        if dimension is None or dimension.sizing == "decided":
            refuse("is no dimension that can be set", where)
        asked[title] = read_length(item, unit, where)
        if dimension.stock is not None and asked[title] not in stock[dimension.stock]:
            refuse("is not in stock", where)
    if not asked:
        refuse("sets nothing", joined(path, "set"))
    others = choice(given.get("others"), joined(path, "others"), ("in proportion", "at base"), "in proportion")
    return Request(None, asked, others == "in proportion", ruler)


def wishes(request: Request, lengths: Mapping[str, Dimension]) -> dict[str, Fraction]:
    """Return the wish in mm of every dimension that is not decided by the rules."""
    scale = request.scale
    if scale is None:
        ratios = [asked / lengths[title].base for title, asked in request.asked.items()]
        scale = sum(ratios, Fraction(0)) / len(ratios) if request.in_proportion else Fraction(1)
    wished = {}
    for title, dimension in lengths.items():
        if title in request.asked:
            wished[title] = request.asked[title]
        elif dimension.sizing == "proportion":
            wished[title] = dimension.base * scale
        elif dimension.sizing != "decided":
            wished[title] = dimension.base
    return wished
