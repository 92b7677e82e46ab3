"""The judgement of a printed size: every relation and measure, exactly, with enclosures of pi, roots and curves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from grading.exact import enclose_root
from grading.model.problem import Problem
from grading.model.relation import Origin, Relation

REACHED = frozenset({Origin.FIXED, Origin.KEPT, Origin.ASKED})
"""Origins of equations that a printed size keeps only within the reach of their dimension."""


def lack_of(relation: Relation, values: Mapping[str, Fraction]) -> Fraction:
    """By how many mm a relation is surely or possibly broken at these values: 0 where it surely holds.

    Where a root is of an area below 0 there is no length to hold; what it lacks is the root of what the area lacks.
    """
    if not relation.form.is_real(values):
        return max(enclose_root(term.lack(values)).high for term in relation.form.roots)
    enclosure = relation.form.enclosure(values)
    if not relation.is_equation:
        return max(-enclosure.low, Fraction(0))
    allowed = relation.tolerance or Fraction(0)
    return max(enclosure.high - allowed, -allowed - enclosure.low, Fraction(0))


def broken_relations(relations: Iterable[Relation], values: Mapping[str, Fraction]) -> list[tuple[Relation, Fraction]]:
    """Relations that do not hold at printed values, with what they lack. Those of reach are judged apart."""
    lacks = ((relation, lack_of(relation, values)) for relation in relations if relation.origin not in REACHED)
    return [(relation, lack) for relation, lack in lacks if lack]


def holds(
    problem: Problem,
    relations: Iterable[Relation],
    values: Mapping[str, Fraction],
    nearest: Mapping[str, Fraction],
) -> bool:
    """Whether printed values keep every relation, lie on the ruler, and stay within reach of the nearest point."""
    within = all(abs(values[name] - nearest[name]) <= most for name, most in problem.reach.items())
    ruled = all(
        measure.form.is_rational and problem.ruler.lies_on(measure.form.enclosure(values).low)
        for measure in problem.measures
    )
    return within and ruled and not broken_relations(relations, values)
