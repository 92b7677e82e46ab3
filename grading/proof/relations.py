"""Claims of the relations, at the printed dimensions."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grading.exact import Enclosure
from grading.form import Form, length
from grading.grade import Grade
from grading.grade.steps import enclosure_text
from grading.model import Origin, Relation, Sense
from grading.proof.claims import Claim

_HELD = {Origin.FIXED, Origin.KEPT, Origin.ASKED}


def relation_claims(grade: Grade) -> Iterator[Claim]:
    """Each relation: equations exactly or within their tolerance, inequalities exactly."""
    for relation in (*grade.problem.relations, *_stock_relations(grade)):
        value = relation.form.enclosure(grade.values)
        yield Claim(
            kind=relation.origin.value,
            about=relation.id,
            says=relation.says,
            left=enclosure_text(grade.model.ruler, value),
            right=_wanted(grade, relation),
            holds=_holds(grade, relation, value),
            path=relation.path,
            remedy=relation.because,
        )


def _stock_relations(grade: Grade) -> Iterator[Relation]:
    for name, value in grade.solution.stock.items():
        text = grade.model.ruler.text(value)
        form = Form({name: Fraction(1)}) - length(value)
        yield Relation(
            f"stock:{name}", Origin.STOCK, form, Sense.EQUAL, f"{name} is {text}, from stock", "", f"dimensions.{name}"
        )


def allowed_difference(grade: Grade, relation: Relation) -> Fraction:
    """How far an equation may be off at the printed dimensions, in mm."""
    if relation.origin in _HELD:
        return grade.model.ruler.step
    return relation.tolerance or Fraction(0)


def _holds(grade: Grade, relation: Relation, value: Enclosure) -> bool:
    if not relation.is_equation:
        return value.low >= 0
    room = allowed_difference(grade, relation)
    return -room <= value.low and value.high <= room


def _wanted(grade: Grade, relation: Relation) -> str:
    if not relation.is_equation:
        return "0 or more"
    room = allowed_difference(grade, relation)
    return f"0 within {grade.model.ruler.text(room)}" if room else "0"
