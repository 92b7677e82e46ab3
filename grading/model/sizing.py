"""A size request as a problem: what is wished, what is fixed, kept or asked, and what is chosen from stock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import permutations

from grading.document.names import request_faults
from grading.document.numbers import GREATEST_LENGTH
from grading.document.requests import SizeRequest
from grading.errors import Fault, RequestFaults
from grading.exact import read_length, read_number
from grading.form import Form, length
from grading.model.findings import meant_from_stock, stock_values
from grading.model.model import Model
from grading.model.problem import Problem, StockChoice
from grading.model.relation import Origin, Relation, Sense
from grading.model.rules import object_relations

FREE_REACH = 8
"""Ruler steps that a dimension may move from the nearest point; common practice, no source."""
HELD_REACH = 1
"""Ruler steps that a fixed, kept or asked dimension may move; common practice, no source."""
AS_GIVEN = (0, 1, 2)
ORDERS: tuple[tuple[int, int, int], ...] = tuple(permutations(AS_GIVEN))  # type: ignore[arg-type]
"""The ways to turn a box: which of its sides lies across, along and deep."""
_HELD_ORIGINS = {"fixed": Origin.FIXED, "kept": Origin.KEPT, "asked": Origin.ASKED}


@dataclass(frozen=True)
class Choice:
    """What a request leaves to be found: the scale of a wished volume, and how the bag is turned in a box."""

    scale: Fraction | None = None
    order: tuple[int, int, int] = AS_GIVEN


def check_request(model: Model, request: SizeRequest) -> None:
    """Raise RequestFaults with everything for which a request cannot be asked of a pattern."""
    faults = list(request_faults(request, model.pattern, "request"))
    for name, size in asked_lengths(model, request).items():
        if not 0 < size <= GREATEST_LENGTH:
            faults.append(
                Fault(
                    f"request.set.{name}",
                    f"{request.set and request.set[name]} is no length of a bag",
                    "give a length up to 20 m",
                )
            )
            continue
        dimension = model.pattern.dimensions.get(name)
        if dimension is not None and dimension.sizing == "stock" and dimension.stock is not None:
            values = stock_values(model.draft, dimension.stock)
            if size not in values:
                listed = ", ".join(model.ruler.text(item) for item in values)
                faults.append(
                    Fault(f"request.set.{name}", f"{model.ruler.text(size)} is not in stock", f"choose one of {listed}")
                )
    if faults:
        raise RequestFaults(faults)


def pose(model: Model, request: SizeRequest, choice: Choice | None = None) -> Problem:
    """The problem that a request poses, with what was found for it. Raises RequestFaults."""
    check_request(model, request)
    choice = choice or Choice()
    draft, pattern = model.draft, model.pattern
    asked, kept = asked_lengths(model, request), frozenset(request.keep or ())
    factor = _factor(model, request, asked, choice)
    wish: dict[str, Fraction] = {}
    weight: dict[str, Fraction] = {}
    reach: dict[str, Fraction] = {}
    stock: list[StockChoice] = []
    relations = list(model.relations)
    for name, base in draft.base.items():
        dimension = pattern.dimensions[name]
        reach[name] = FREE_REACH * model.ruler.step
        if dimension.sizing == "decided":
            continue
        follows = dimension.sizing == "proportion" and name not in kept
        wish[name] = asked.get(name, base * factor if follows else base)
        if dimension.sizing == "proportion":
            weight[name] = 1 / base**2
        how = _how_held(dimension.sizing, name, asked, kept)
        if how is not None:
            reach[name] = HELD_REACH * model.ruler.step
            relations.append(_held(model, name, wish[name], _HELD_ORIGINS[how]))
        if dimension.sizing == "stock":
            reach[name] = Fraction(0)
            if name not in asked:
                stock.append(StockChoice(name, stock_values(draft, dimension.stock or ""), base))
    relations += [*_hold_relations(model, request), *_within_relations(model, request, choice)]
    return Problem(
        tuple(draft.base),
        draft.base,
        wish,
        weight,
        tuple(relations),
        model.measures,
        tuple(stock),
        reach,
        model.ruler,
    )


def asked_lengths(model: Model, request: SizeRequest) -> dict[str, Fraction]:
    """The dimensions that a request sets, in mm; those from stock by the value of the ruler's system."""
    asked = {name: read_length(value, model.pattern.unit) for name, value in (request.set or {}).items()}
    for name in asked.keys() & model.pattern.dimensions.keys():
        stock = model.pattern.dimensions[name].stock
        if stock is not None:
            asked[name] = meant_from_stock(model.draft, stock, asked[name])
    return asked


def _how_held(sizing: str, name: str, asked: Mapping[str, Fraction], kept: frozenset[str]) -> str | None:
    if name in asked:
        return "asked"
    if name in kept:
        return "kept"
    return "fixed" if sizing == "fixed" else None


def _factor(model: Model, request: SizeRequest, asked: Mapping[str, Fraction], choice: Choice) -> Fraction:
    if choice.scale is not None:
        return choice.scale
    if request.scale is not None:
        return read_number(request.scale)
    dimensions = model.pattern.dimensions
    ratios = [size / model.draft.base[name] for name, size in asked.items() if dimensions[name].sizing == "proportion"]
    if request.others == "at base" or not ratios:
        return Fraction(1)
    return sum(ratios, Fraction(0)) / len(ratios)


def _held(model: Model, name: str, value: Fraction, origin: Origin) -> Relation:
    title = model.pattern.dimensions[name].says or name
    because, path = {
        Origin.ASKED: ("you asked for it", f"request.set.{name}"),
        Origin.KEPT: ("you asked to keep it", "request.keep"),
        Origin.FIXED: (f"{title} does not change with the size", f"dimensions.{name}"),
    }[origin]
    form = Form({name: Fraction(1)}) - length(value)
    says = f"{name} is {model.ruler.text(value)}"
    return Relation(f"{origin.value}:{name}", origin, form, Sense.EQUAL, says, because, path)


def _hold_relations(model: Model, request: SizeRequest) -> Iterator[Relation]:
    for number, held in enumerate(request.hold or ()):
        because = held.says or "you asked for it to fit"
        for key, form, says in object_relations(model.parts, held):
            yield Relation(
                f"hold:{number}:{key}", Origin.HOLD, form, Sense.NOT_BELOW, says, because, f"request.hold.{number}"
            )


def _within_relations(model: Model, request: SizeRequest, choice: Choice) -> Iterator[Relation]:
    within, outside = request.within, model.pattern.outside
    if within is None or outside is None:
        return
    draft = model.draft
    box = [draft.plain_length(side) for side in within.box]
    added = draft.plain_length(within.added)
    for key, side, value in zip(("across", "along", "deep"), choice.order, outside, strict=True):
        room = box[side] - added
        form = length(room) - draft.stated("outside", value)
        says = f"the bag is at most {model.ruler.text(room)} {key} outside"
        because = within.says or "you asked for it to stay within a box"
        yield Relation(f"within:{key}", Origin.WITHIN, form, Sense.NOT_BELOW, says, because, "request.within")
