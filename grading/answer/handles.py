"""The number in each relation that could be another: where it stands, and how the relation follows it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.answer.asked import AskedSize
from grading.document.contents import Object
from grading.document.requests import Held
from grading.model import Relation
from grading.model.cloth import kept
from grading.model.relation import Origin
from grading.model.sizing import AS_GIVEN

ASPECTS = ("across", "along", "deep")
SIDES = ("width", "height", "depth")
Order = tuple[int, int, int]


@dataclass(frozen=True)
class Handle:
    """A number in mm in a relation, whose form is a sum that has it with this sign (-1 or 1).

    `about` says what it is; `whole` what a change is taken in proportion to (the number itself, but for rules).
    """

    value: Fraction
    sign: int
    about: str
    whole: Fraction


def handle_of(
    asked: AskedSize, relation: Relation, order: Order | None, values: Mapping[str, Fraction]
) -> Handle | None:
    """The number that a designer or a customer could change in a relation; None where there is none."""
    name, _, aspect = relation.id.partition(":")[2].partition(":")
    match relation.origin:
        case Origin.ASKED | Origin.KEPT | Origin.FIXED:
            return _number(-relation.form.constant, -1, name)
        case Origin.LIMITS if asked.model.pattern.dimensions[name].limits is not None:
            sign = -1 if aspect == "least" else 1
            return _number(sign * relation.form.constant, sign, f"the {_limit(aspect)} of {name}")
        case Origin.CONTENTS:
            return _content(asked, name, aspect)
        case Origin.HOLD if asked.request.hold is not None:
            return _object(asked, asked.request.hold[int(name)], aspect)
        case Origin.WITHIN if asked.request.within is not None:
            side = (order or AS_GIVEN)[ASPECTS.index(name)]
            return _number(asked.length(asked.request.within.box[side]), 1, f"the {SIDES[side]} of the box")
        case Origin.CLOTH:
            return _cloth(asked, name, aspect)
        case Origin.FINDING if aspect == "longest":
            return _number(asked.model.findings[name].stock[-1], 1, f"the longest zip that {name} is made from")
        case Origin.RULE:
            above = sum((value for value in _terms(relation, values) if value > 0), Fraction(0))
            return Handle(Fraction(0), 1, f"the rule {name} ({relation.says}, {relation.because})", above)
    return None


def _limit(aspect: str) -> str:
    return "least" if aspect == "least" else "greatest"


def _number(value: Fraction, sign: int, about: str) -> Handle:
    return Handle(value, sign, about, abs(value))


def _content(asked: AskedSize, name: str, aspect: str) -> Handle:
    content = asked.model.pattern.contents[name]
    if isinstance(content, Object):
        return _object(asked, content, aspect)
    return _number(asked.length(content.least), -1, f"what the opening {name} has to be at least")


def _object(asked: AskedSize, held: Object | Held, aspect: str) -> Handle:
    side = ASPECTS.index(aspect)
    about = f"the {SIDES[side]} of {held.says or 'the object'}"
    return _number(asked.length(held.object[side]), -1, about)


def _cloth(asked: AskedSize, piece: str, layer: str) -> Handle | None:
    for each in asked.model.pieces[piece].layers:
        material = asked.model.pattern.materials[each.material]
        if each.name == layer and material.usable_width is not None:
            shrunk = kept(material, "across")
            about = f"the usable width of {each.material}" + (" when washed" if shrunk < 1 else "")
            return _number(asked.length(material.usable_width) * shrunk, 1, about)
    return None


def _terms(relation: Relation, values: Mapping[str, Fraction]) -> list[Fraction]:
    plain = [value * values[name] if name else value for name, value in relation.form.plain.items()]
    return [*plain, *(3 * value * (values[name] if name else 1) for name, value in relation.form.pi.items())]
