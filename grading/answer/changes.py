"""Changes of a request or of a pattern that would let a relation give way, in words and as what is to be tried."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor
from typing import Any

from grading.answer.asked import AskedSize
from grading.answer.handles import ASPECTS, Handle, Order
from grading.exact import Ruler
from grading.form import length
from grading.model import Problem, Relation
from grading.model.relation import Origin
from grading.model.sizing import AS_GIVEN
from grading.solve import Alternative

SMALL = Fraction(20)
"""Lengths below this many mm count as this long where a change is taken in proportion, as on the ruler."""
NEAR = Fraction(1, 100)
"""Parts of a step that what floats found may be off."""

Json = dict[str, Any]


@dataclass(frozen=True)
class Change:
    """One change: its text, and the request that asks for it, or else the problem as the pattern would pose it then."""

    text: str
    distance: Fraction
    request: Json | None = None
    problem: Problem | None = None


def outward(ruler: Ruler, old: Fraction, aim: Fraction, further: int) -> Fraction:
    """The measure of the ruler at or beyond the aim as seen from the old value, and so many steps further."""
    steps = aim / ruler.step
    if aim < old:
        return ruler.step * (min(floor(steps + NEAR), ceil(old / ruler.step) - 1) - further)
    return ruler.step * (max(ceil(steps - NEAR), floor(old / ruler.step) + 1) + further)


def change_of(
    asked: AskedSize, alternative: Alternative, relation: Relation, handle: Handle, form: Fraction, further: int
) -> Change | None:
    """The change with which the relation gives way to this value of its form; None if it comes to no length.

    The new number is on the ruler, at or beyond what is needed, by so many steps further.
    """
    new = outward(asked.ruler, handle.value, handle.value - handle.sign * form, further)
    distance = abs(new - handle.value) / max(handle.whole, SMALL)
    text = asked.ruler.text
    is_rule = relation.origin is Origin.RULE
    if new <= 0 and not is_rule:
        return None
    request = request_with(asked, relation, new, alternative.order)
    if request is not None:
        return Change(_request_text(relation, handle, text(new), text(handle.value)), distance, request)
    way = f"{text(new)} in place of {text(handle.value)}"
    words = f"let {handle.about} give way by {text(abs(new))}" if is_rule else f"make {handle.about} {way}"
    return Change(f"in the pattern, {words}", distance, None, _eased(alternative.problem, relation, handle, new))


def _eased(problem: Problem, relation: Relation, handle: Handle, new: Fraction) -> Problem:
    """The problem with another number in one of its relations."""
    eased = replace(relation, form=relation.form + length(handle.sign * (new - handle.value)))
    changed = (eased if each.id == eased.id else each for each in problem.relations)
    return replace(problem, relations=tuple(changed))


def _request_text(relation: Relation, handle: Handle, new: str, old: str) -> str:
    match relation.origin:
        case Origin.ASKED:
            return f"ask for {handle.about} of {new} in place of {old}"
        case Origin.KEPT:
            return f"set {handle.about} to {new}, and do not keep it at {old}"
        case Origin.FIXED:
            return f"set {handle.about} to {new} for this size; it is {old} otherwise"
    return f"make {handle.about} {new} in place of {old}"


def request_with(asked: AskedSize, relation: Relation, new: Fraction, order: Order | None) -> Json | None:
    """The request with another number in place of a relation's; None if a request has no say in it."""
    request = copy.deepcopy(asked.written)
    text = asked.ruler.text(new)
    name, _, aspect = relation.id.partition(":")[2].partition(":")
    match relation.origin:
        case Origin.ASKED | Origin.KEPT | Origin.FIXED:
            set_dimensions(request, {name: text})
        case Origin.HOLD:
            request["hold"][int(name)]["object"] = _changed(request["hold"][int(name)]["object"], aspect, text)
        case Origin.WITHIN:
            side = (order or AS_GIVEN)[ASPECTS.index(name)]
            request["within"]["box"] = _changed(request["within"]["box"], ASPECTS[side], text)
        case _:
            return None
    return request


def set_dimensions(request: Json, given: Mapping[str, str]) -> None:
    """Set dimensions in a request, in place: they are no longer kept, and what others wish stays in proportion or at
    base as it was, as far as a request can say so."""
    kept = [name for name in request.pop("keep", []) if name not in given]
    if kept:
        request["keep"] = kept
    if "set" not in request and "scale" not in request and "volume" not in request:
        request["others"] = "at base"
    request["set"] = {**request.get("set", {}), **given}


def _changed(sides: list[Any], aspect: str, text: str) -> list[Any]:
    place = ASPECTS.index(aspect)
    return [*sides[:place], text, *sides[place + 1 :]]
