"""A small builder of problems for tests: dimensions, relations and measures written line by line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from grading.exact import Ruler
from grading.form import Form, dimension, length
from grading.model.problem import Measure, Problem, StockChoice
from grading.model.relation import Origin, Relation, Sense

Number = Fraction | int | str


def form(constant: Number = 0, **coefficients: Number) -> Form:
    """constant + coefficient × dimension + …"""
    total = length(Fraction(constant))
    for name, coefficient in coefficients.items():
        total += dimension(name).times(Fraction(coefficient))
    return total


@dataclass
class Draft:
    """A problem in the making; `step` in mm."""

    step: Fraction = Fraction(1)
    base: dict[str, Fraction] = field(default_factory=dict)
    decided: list[str] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    unweighted: set[str] = field(default_factory=set)
    relations: list[Relation] = field(default_factory=list)
    measures: list[Measure] = field(default_factory=list)
    stock: list[StockChoice] = field(default_factory=list)

    def proportion(self, name: str, base: Number, least: Number | None = 0) -> Form:
        self.names.append(name)
        self.base[name] = Fraction(base)
        if least is not None:
            self.at_least(f"limits:{name}:least", form(-Fraction(least), **{name: 1}), Origin.LIMITS)
        return dimension(name)

    def decide(self, name: str) -> Form:
        self.names.append(name)
        self.decided.append(name)
        return dimension(name)

    def fix(self, name: str, base: Number) -> Form:
        self.proportion(name, base, None)
        self.unweighted.add(name)
        self.equal(f"fixed:{name}", form(-Fraction(base), **{name: 1}), Origin.FIXED)
        return dimension(name)

    def from_stock(self, name: str, base: Number, values: list[int]) -> Form:
        self.proportion(name, base, None)
        self.unweighted.add(name)
        self.stock.append(StockChoice(name, tuple(Fraction(value) for value in values), Fraction(base)))
        return dimension(name)

    def equal(self, label: str, zero: Form, origin: Origin = Origin.SEAM, tolerance: Number | None = None) -> None:
        self._relate(label, zero, Sense.EQUAL, origin, None if tolerance is None else Fraction(tolerance))

    def at_least(self, label: str, above: Form, origin: Origin = Origin.RULE) -> None:
        self._relate(label, above, Sense.NOT_BELOW, origin, None)

    def _relate(self, label: str, left: Form, sense: Sense, origin: Origin, tolerance: Fraction | None) -> None:
        path = label.replace(":", ".")
        self.relations.append(Relation(label, origin, left, sense, label, f"because {label}", path, tolerance))

    def measure(self, *forms: Form) -> None:
        for each in forms:
            self.measures.append(Measure(f"measure {len(self.measures)}", each))

    def problem(self, wish: Mapping[str, Number] | None = None, in_inches: bool = False) -> Problem:
        """The problem, wishing the base unless said otherwise."""
        wished = {name: value for name, value in self.base.items() if name not in self.decided}
        wished |= {name: Fraction(value) for name, value in (wish or {}).items()}
        stocked = {choice.dimension for choice in self.stock}
        kept = {name for name in self.unweighted if name not in stocked}
        reach = {
            name: Fraction(0) if name in stocked else self.step * (1 if name in kept else 8) for name in self.names
        }
        return Problem(
            dimensions=tuple(self.names),
            base=dict(self.base),
            wish=wished,
            weight={
                name: 1 / self.base[name] ** 2 for name in wished if name not in self.unweighted and self.base[name]
            },
            relations=tuple(self.relations),
            measures=tuple(self.measures),
            stock=tuple(self.stock),
            reach=reach,
            ruler=Ruler(self.step, in_inches),
        )


def without(problem: Problem, *labels: str) -> Problem:
    """The problem without some relations, or stocks as `stock:D`; every dimension then has a weight."""
    return replace(
        problem,
        relations=tuple(relation for relation in problem.relations if relation.id not in labels),
        stock=tuple(choice for choice in problem.stock if f"stock:{choice.dimension}" not in labels),
    )
