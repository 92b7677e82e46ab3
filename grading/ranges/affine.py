"""The nearest size as a function of what is asked, while no inequality binds: affine, and exact."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from grading.exact import PI40
from grading.form import CONSTANT, Form
from grading.model import Model, Problem, pose
from grading.ranges.box import Box, Corner
from grading.solve import Compiled, nearest_point

Affine = Mapping[str, Fraction]
"""{asked dimension: coefficient, "": constant}, in mm."""


@dataclass(frozen=True)
class Branch:
    """One choice from stock: the value of each dimension, and the cost of the choice alone."""

    values: Mapping[str, Fraction]
    cost: Fraction


@dataclass(frozen=True)
class AffineSize:
    """Each dimension of the nearest size as an affine function of the asked ones, and the same for its wish."""

    dimensions: Mapping[str, Affine]
    wish: Mapping[str, Affine]
    problem: Problem


def affine_size(model: Model, compiled: Compiled, box: Box, branch: Branch) -> AffineSize:
    """The nearest size over a box for one branch of stock, as if no inequality were there.

    The point of least weighted squares on the solutions of linear equations is an affine function of their right
    sides and of the wish, so that its values at the middle and at one step in each direction decide it. Raises
    Conflict if the equations contradict each other.
    """
    middle = box.middle
    base_problem, at_middle = _point(model, compiled, box, branch, middle)
    wish_middle = base_problem.wish
    steps = {name: max(most - least, Fraction(1)) / 4 for name, (least, most) in box.sides.items()}
    slopes: dict[str, dict[str, Fraction]] = {name: {} for name in at_middle}
    wish_slopes: dict[str, dict[str, Fraction]] = {name: {} for name in wish_middle}
    for asked, step in steps.items():
        problem, moved = _point(model, compiled, box, branch, {**middle, asked: middle[asked] + step})
        for name, value in moved.items():
            slopes[name][asked] = (value - at_middle[name]) / step
        for name, value in problem.wish.items():
            wish_slopes[name][asked] = (value - wish_middle[name]) / step
    return AffineSize(
        {name: _through(at_middle[name], slopes[name], middle) for name in at_middle},
        {name: _through(wish_middle[name], wish_slopes[name], middle) for name in wish_middle},
        base_problem,
    )


def _point(
    model: Model, compiled: Compiled, box: Box, branch: Branch, values: Corner
) -> tuple[Problem, dict[str, Fraction]]:
    problem = pose(model, box.request(values))
    stock = tuple(replace(choice, values=(branch.values[choice.dimension],)) for choice in problem.stock)
    equations = tuple(relation for relation in problem.relations if relation.is_equation)
    return problem, nearest_point(replace(problem, relations=equations, stock=stock), compiled)


def _through(value: Fraction, slopes: Mapping[str, Fraction], middle: Corner) -> dict[str, Fraction]:
    constant = value - sum((slope * middle[name] for name, slope in slopes.items()), Fraction(0))
    return {CONSTANT: constant, **{name: slope for name, slope in slopes.items() if slope}}


def form_over(size: AffineSize, form: Form) -> dict[str, Fraction]:
    """A form without roots as an affine function of the asked dimensions, with pi as PI40."""
    total: dict[str, Fraction] = {CONSTANT: Fraction(0)}
    for terms, factor in ((form.plain, Fraction(1)), (form.pi, PI40)):
        for name, coefficient in terms.items():
            part = size.dimensions[name] if name else {CONSTANT: Fraction(1)}
            for asked, slope in part.items():
                total[asked] = total.get(asked, Fraction(0)) + coefficient * factor * slope
    return total


def value_at(affine: Affine, values: Corner) -> Fraction:
    """The value of an affine function at one size."""
    return sum((slope * (values[name] if name else 1) for name, slope in affine.items()), Fraction(0))


def least_over(affine: Affine, box: Box) -> tuple[Fraction, dict[str, Fraction]]:
    """The least value of an affine function over a box, and a corner where it is taken: by signs."""
    corner = {name: least if affine.get(name, Fraction(0)) >= 0 else most for name, (least, most) in box.sides.items()}
    return value_at(affine, corner), corner
