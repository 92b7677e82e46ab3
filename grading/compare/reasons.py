"""What holds a size back: the relations that keep a dimension from its wish, found by following their pulls.

At the nearest point every dimension is in balance: twice its weight times its distance from the wish is the sum of
multiplier × slope over the relations it is in. A relation that pulls a dimension away from its wish is pulled back,
at each other dimension it is in, by that dimension's own wish or by further relations; these are followed on.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.grade import Grade
from grading.model import Relation
from grading.proof.nearest import slopes
from grading.solve.stock import stock_relation


@dataclass(frozen=True)
class Pulls:
    """The relations that hold a size back, and what each pulls (multiplier × slope) at each of its dimensions.

    `alike` has, for one that bounds a single dimension, others that bound it at the same place: without the one they
    would hold it.
    """

    relations: Mapping[str, Relation]
    pulls: Mapping[str, Mapping[str, Fraction]]
    at: Mapping[str, tuple[str, ...]]
    alike: Mapping[str, tuple[Relation, ...]]

    def behind(self, dimension: str, away: Fraction) -> tuple[Relation, ...]:
        """The relations that hold a dimension `away` (only its sign counts) from its wish, the nearest ones first."""
        found: dict[str, Relation] = {}
        waiting = [(dimension, away)]
        for name, way in waiting:
            for label in self.at.get(name, ()):
                pulls = self.pulls[label]
                if label not in found and pulls[name] * way > 0:
                    found[label] = self.relations[label]
                    waiting += [(other, -pull) for other, pull in pulls.items() if other != name]
        also = {other.id: other for label in found for other in self.alike.get(label, ())}
        return tuple({**found, **also}.values())


def pulls_of(grade: Grade) -> Pulls:
    """What pulls at the dimensions of a grade at its nearest point. Exact (roots to 40 digits)."""
    solution, ruler = grade.solution, grade.model.ruler
    chosen = [stock_relation(choice, ruler, solution.stock[choice.dimension]) for choice in grade.problem.stock]
    relations = {
        relation.id: relation
        for relation in (*grade.problem.relations, *chosen)
        if solution.multipliers.get(relation.id)
    }
    pulls = {
        label: {
            name: solution.multipliers[label] * slope
            for name, slope in slopes(relation.form, solution.nearest).items()
            if slope
        }
        for label, relation in relations.items()
    }
    at: dict[str, list[str]] = {}
    for label, pulled in pulls.items():
        for name in pulled:
            at.setdefault(name, []).append(label)
    return Pulls(relations, pulls, {name: tuple(labels) for name, labels in at.items()}, _alike(grade, relations))


def _alike(grade: Grade, holding: Mapping[str, Relation]) -> dict[str, tuple[Relation, ...]]:
    bounds = {label: bound for label, relation in holding.items() if (bound := _bound(relation)) is not None}
    idle = [
        (relation, bound)
        for relation in grade.problem.relations
        if relation.id not in holding and (bound := _bound(relation)) is not None
    ]
    return {label: tuple(relation for relation, other in idle if other == bound) for label, bound in bounds.items()}


def _bound(relation: Relation) -> tuple[str, bool, Fraction] | None:
    """The dimension that an inequality bounds, whether from below, and where; None for any other relation."""
    form = relation.form
    if relation.is_equation or not form.is_rational or len(form.names) != 1:
        return None
    (name,) = form.names
    return name, form.plain[name] > 0, -form.constant / form.plain[name]
