"""The two sides of a relation as a person reads it: what there is, and what is needed or allowed."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import TypeVar

from grading.answer.asked import AskedSize
from grading.answer.handles import ASPECTS
from grading.document.contents import Object
from grading.document.requests import Held
from grading.document.rules import COMPARISON
from grading.form import Form
from grading.model import Relation
from grading.model.relation import Origin

Key = TypeVar("Key")


def sides_of(asked: AskedSize, relation: Relation) -> tuple[Form, Form]:
    """Two forms whose difference is the relation's: the first is not below the second where it holds."""
    pattern = asked.model.pattern
    name, _, aspect = relation.id.partition(":")[2].partition(":")
    match relation.origin:
        case Origin.CONTENTS:
            content = pattern.contents[name]
            if not isinstance(content, Object):
                have = asked.model.draft.stated(relation.path, content.opening)
                return have, have - relation.form
            return _room(asked, content, relation.form, aspect)
        case Origin.HOLD if asked.request.hold is not None:
            return _room(asked, asked.request.hold[int(name)], relation.form, aspect)
        case Origin.WITHIN if pattern.outside is not None:
            taken = asked.model.draft.stated(relation.path, pattern.outside[ASPECTS.index(name)])
            return relation.form + taken, taken
        case Origin.RULE:
            return _written(asked, relation, name)
    return _positive(relation.form), _positive(-relation.form)


def _room(asked: AskedSize, held: Object | Held, form: Form, aspect: str) -> tuple[Form, Form]:
    model, side = asked.model, ASPECTS.index(aspect)
    if held.in_ in {"bag", None} and model.pattern.inside is not None:
        room = model.draft.stated(f"inside.{side}", model.pattern.inside[side])
    else:
        box = model.parts.piece_of(held.in_ or "").outline.box
        room = (box.width, box.height)[side]
    return room, room - form


def _written(asked: AskedSize, relation: Relation, name: str) -> tuple[Form, Form]:
    match = COMPARISON.fullmatch(asked.model.pattern.rules[name].holds)
    if match is None:
        return _positive(relation.form), _positive(-relation.form)
    left, right = (asked.model.draft.stated(relation.path, match[side].strip()) for side in ("left", "right"))
    return (right, left) if match["sign"] == "<=" else (left, right)


def _positive(form: Form) -> Form:
    """The terms with a positive sign."""
    return Form(_above_zero(form.plain), _above_zero(form.pi), _above_zero(form.roots))


def _above_zero(terms: Mapping[Key, Fraction]) -> dict[Key, Fraction]:
    return {key: value for key, value in terms.items() if value > 0}
