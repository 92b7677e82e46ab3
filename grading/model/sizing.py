"""A size request as a problem: what is wished, what is fixed or asked, and what is chosen from stock."""

from __future__ import annotations

from fractions import Fraction

from grading.document.names import request_faults
from grading.document.requests import SizeRequest
from grading.errors import Fault, RequestFaults
from grading.exact import read_length, read_number
from grading.form import Form, length
from grading.model.findings import stock_values
from grading.model.model import Model
from grading.model.problem import Problem, StockChoice
from grading.model.relation import Origin, Relation, Sense

FREE_REACH = 8
"""Ruler steps that a dimension may move from the nearest point; common practice, no source."""
HELD_REACH = 1
"""Ruler steps that a fixed or asked dimension may move; common practice, no source."""


def pose(model: Model, request: SizeRequest) -> Problem:
    """The problem that a request poses. Raises RequestFaults."""
    draft, pattern = model.draft, model.pattern
    asked = _asked(model, request)
    factor = _factor(model, request, asked)
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
        wish[name] = asked.get(name, base * factor if dimension.sizing == "proportion" else base)
        if dimension.sizing == "proportion":
            weight[name] = 1 / base**2
        if name in asked:
            reach[name] = HELD_REACH * model.ruler.step
            relations.append(_held(model, name, asked[name], Origin.ASKED))
        elif dimension.sizing == "fixed":
            reach[name] = HELD_REACH * model.ruler.step
            relations.append(_held(model, name, base, Origin.FIXED))
        if dimension.sizing == "stock":
            reach[name] = Fraction(0)
            if name not in asked:
                stock.append(StockChoice(name, stock_values(draft, dimension.stock or ""), base))
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


def _asked(model: Model, request: SizeRequest) -> dict[str, Fraction]:
    given = request.set or {}
    faults = list(request_faults(given, model.pattern, "request"))
    asked = {}
    for name, value in given.items():
        size = read_length(value, model.pattern.unit)
        asked[name] = size
        if not 0 < size <= Fraction(20_000):
            faults.append(Fault(f"request.set.{name}", f"{value} is no length of a bag", "give a length up to 20 m"))
            continue
        dimension = model.pattern.dimensions.get(name)
        if dimension is not None and dimension.sizing == "stock" and dimension.stock is not None:
            values = stock_values(model.draft, dimension.stock)
            if size not in values:
                listed = ", ".join(model.ruler.text(item) for item in values)
                faults.append(Fault(f"request.set.{name}", f"{value} is not in stock", f"choose one of {listed}"))
    if faults:
        raise RequestFaults(faults)
    return asked


def _factor(model: Model, request: SizeRequest, asked: dict[str, Fraction]) -> Fraction:
    if request.scale is not None:
        return read_number(request.scale)
    if request.others == "at base":
        return Fraction(1)
    ratios = [size / model.draft.base[name] for name, size in asked.items()]
    return sum(ratios, Fraction(0)) / len(ratios)


def _held(model: Model, name: str, value: Fraction, origin: Origin) -> Relation:
    title = model.pattern.dimensions[name].says or name
    text = model.ruler.text(value)
    because = "you asked for it" if origin is Origin.ASKED else f"{title} does not change with the size"
    path = f"request.set.{name}" if origin is Origin.ASKED else f"dimensions.{name}"
    form = Form({name: Fraction(1)}) - length(value)
    return Relation(f"{origin.value}:{name}", origin, form, Sense.EQUAL, f"{name} is {text}", because, path)
