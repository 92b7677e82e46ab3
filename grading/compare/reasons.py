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
    """The relations that hold a size back, and what each pulls (multiplier × slope) at each of its dimensions."""

    relations: Mapping[str, Relation]
    pulls: Mapping[str, Mapping[str, Fraction]]
    at: Mapping[str, tuple[str, ...]]

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
        return tuple(found.values())


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
    return Pulls(relations, pulls, {name: tuple(labels) for name, labels in at.items()})
