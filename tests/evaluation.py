"""An evaluation of relations that shares no code with the library's: mpmath to 60 digits, or plain fractions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

import mpmath

from grading.form import Area, Form
from grading.model import Origin, Problem, Relation, Sense

DIGITS = 60
CLOSE = Fraction(1, 10**40)
"""What 60 digits cannot tell from zero is zero; rational forms are told exactly."""


def true_value(form: Form, values: Mapping[str, Fraction]) -> Fraction:
    """A form's value in mm: exact without pi and roots, else the truth to about 50 decimals."""
    total = sum((factor * (values[name] if name else 1) for name, factor in form.plain.items()), Fraction(0))
    if not form.pi and not form.roots:
        return total
    with mpmath.workdps(DIGITS):
        rest = mpmath.mpf(0)
        for name, factor in form.pi.items():
            rest += mpmath.pi * _float(factor * (values[name] if name else 1))
        for term, factor in form.roots.items():
            if isinstance(term, Area):
                rest += _float(factor) * mpmath.sqrt(_square(term, values))
            else:
                rest += _float(factor) * curve_length(term.kind, [_square(area, values) for area in term.areas])
        return total + Fraction(int(mpmath.nint(rest * 10**50)), 10**50)


def _square(area: Area, values: Mapping[str, Fraction]) -> mpmath.mpf:
    terms = (c * (values[a] if a else 1) * (values[b] if b else 1) for (a, b), c in area.terms)
    return _float(sum(terms, Fraction(0)))


def curve_length(kind: str, areas: Sequence[mpmath.mpf]) -> mpmath.mpf:
    """The length of a curve at the working precision: by its angle, by the elliptic integral, by its speed."""
    if kind == "arc":
        chord, rise = (mpmath.sqrt(area) for area in areas)
        return (chord**2 + 4 * rise**2) / (2 * rise) * mpmath.atan(2 * rise / chord)
    if kind == "ellipse":
        great, small = max(areas), min(areas)
        return mpmath.sqrt(great) * mpmath.ellipe(1 - small / great)
    aa, ab, ac, bb, bc, cc = areas

    def speed(t: mpmath.mpf) -> mpmath.mpf:
        u, v, w = (1 - t) ** 2, 2 * t * (1 - t), t * t
        square = u * u * aa + v * v * bb + w * w * cc + 2 * (u * v * ab + u * w * ac + v * w * bc)
        return 3 * mpmath.sqrt(max(square, 0))

    return mpmath.quad(speed, mpmath.linspace(0, 1, 9))


def _float(value: Fraction) -> mpmath.mpf:
    return mpmath.mpf(value.numerator) / mpmath.mpf(value.denominator)


def allowed(problem: Problem, relation: Relation) -> Fraction:
    """How far an equation may be off at printed dimensions, in mm."""
    if relation.origin in {Origin.FIXED, Origin.KEPT, Origin.ASKED}:
        return problem.ruler.step
    return relation.tolerance or Fraction(0)


def is_broken(problem: Problem, relation: Relation, values: Mapping[str, Fraction]) -> bool:
    """Whether a relation does not hold at printed dimensions."""
    value = true_value(relation.form, values)
    close = Fraction(0) if relation.form.is_rational else CLOSE
    if relation.sense is Sense.NOT_BELOW:
        return value < -close
    return abs(value) > allowed(problem, relation) + close


def broken(problem: Problem, stock: Mapping[str, Fraction], values: Mapping[str, Fraction]) -> frozenset[str]:
    """The names of all relations of a problem, those of chosen stock too, that printed dimensions break."""
    relations: Iterable[Relation] = (*problem.relations, *(_stock(name, value) for name, value in stock.items()))
    return frozenset(relation.id for relation in relations if is_broken(problem, relation, values))


def _stock(name: str, value: Fraction) -> Relation:
    form = Form({name: Fraction(1), "": -value})
    return Relation(f"stock:{name}", Origin.STOCK, form, Sense.EQUAL, "", "", "")


def off_the_ruler(problem: Problem, values: Mapping[str, Fraction]) -> list[str]:
    """The measures that are no multiples of the ruler's step."""
    return [
        measure.about
        for measure in problem.measures
        if (true_value(measure.form, values) / problem.ruler.step).denominator != 1
    ]


def out_of_reach(problem: Problem, nearest: Mapping[str, Fraction], values: Mapping[str, Fraction]) -> list[str]:
    """The dimensions that lie further from the nearest point than the ruler may move them."""
    return [name for name, value in values.items() if abs(value - nearest[name]) > problem.reach[name]]
