"""Whether every size of a box can be made: each rule with room to spare for the ruler, in every branch of stock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from grading.errors import Conflict, RelationInConflict
from grading.exact import Ruler
from grading.form import CONSTANT
from grading.model import Model, Problem, Relation, pose
from grading.ranges.affine import AffineSize, Branch, affine_size, form_over, least_over, value_at
from grading.ranges.box import Box
from grading.ranges.rounding import Movement, NotOnRuler, movement
from grading.solve import Compiled
from grading.solve.stock import stock_relation

MOST_BRANCHES = 4096
"""Combinations of stock that are looked at."""
MOST_SIDES = 8
"""Dimensions that a box may have; the corners are two to this number."""
PI_ROOM = Fraction(1, 10**20)
"""mm; far above what PI40 in place of pi changes, far below any ruler."""


@dataclass(frozen=True)
class Obstacle:
    """Why a box is not proven: a rule, how much room it has left and how much it needs (mm), and where."""

    says: str
    because: str
    path: str
    room: Fraction | None
    needed: Fraction | None
    corner: dict[str, Fraction] | None


@dataclass(frozen=True)
class Verdict:
    """Whether a box is proven; if it is not, what stands in the way."""

    proven: bool
    obstacles: tuple[Obstacle, ...]
    rules: int
    branches: int


def prove_box(model: Model, compiled: Compiled, box: Box) -> Verdict:
    """Judge a box exactly.

    Proven means: at each size of it the nearest point lies off every rule by at least as far as putting it on the
    ruler may move it, in each branch of stock that can be the nearest one, so that no order in it is refused for its
    geometry. Not proven does not mean that a size fails.
    """
    if len(box.sides) > MOST_SIDES:
        return _refused(f"a box of more than {MOST_SIDES} dimensions is not looked at")
    problem = pose(model, box.request(box.middle))
    branches = sorted(_branches(problem), key=lambda branch: branch.cost)
    if len(branches) > MOST_BRANCHES:
        return _refused(f"more than {MOST_BRANCHES} combinations of stock are not looked at")
    rules, dearest = 0, None
    for count, branch in enumerate(branches):
        if dearest is not None and branch.cost > dearest:
            return Verdict(True, (), rules, count)
        try:
            size = affine_size(model, compiled, box, branch)
            obstacles, rules = _judge(model, size, box, branch)
        except Conflict as conflict:
            if dearest is not None:
                continue  # a branch that contradicts itself is never chosen
            return Verdict(False, tuple(_of_conflict(relation) for relation in conflict.relations), rules, count)
        except NotOnRuler as error:
            return Verdict(False, (Obstacle(error.reason, "", "ruler", None, None, None),), rules, count)
        if obstacles:
            return Verdict(False, tuple(obstacles), rules, count)
        cost = branch.cost + max(_distance(size, corner) for corner in box.corners())
        dearest = cost if dearest is None else min(dearest, cost)
    return Verdict(True, (), rules, len(branches))


def _refused(reason: str) -> Verdict:
    return Verdict(False, (Obstacle(reason, "", "request", None, None, None),), 0, 0)


def _of_conflict(relation: RelationInConflict) -> Obstacle:
    return Obstacle(relation.says, relation.because, relation.path, None, None, None)


def _branches(problem: Problem) -> Iterator[Branch]:
    for values in product(*(choice.values for choice in problem.stock)):
        chosen = {choice.dimension: value for choice, value in zip(problem.stock, values, strict=True)}
        cost = sum(((chosen[c.dimension] - c.wish) ** 2 / c.wish**2 for c in problem.stock), Fraction(0))
        yield Branch(chosen, cost)


def _distance(size: AffineSize, corner: dict[str, Fraction]) -> Fraction:
    """The weighted distance of the nearest point from its wish: a convex function, greatest at a corner."""
    return sum(
        (
            weight * (value_at(size.dimensions[name], corner) - value_at(size.wish[name], corner)) ** 2
            for name, weight in size.problem.weight.items()
        ),
        Fraction(0),
    )


def _judge(model: Model, size: AffineSize, box: Box, branch: Branch) -> tuple[list[Obstacle], int]:
    problem = size.problem
    chosen = tuple(stock_relation(c, model.ruler, branch.values[c.dimension]) for c in problem.stock)
    relations = (*problem.relations, *chosen)
    still = {
        name: affine[CONSTANT]
        for name, affine in size.dimensions.items()
        if not any(slope for asked, slope in affine.items() if asked)
    }
    moved = movement(problem, relations, still)
    obstacles = [*_beyond_reach(problem, moved)]
    rules = 0
    for relation in relations:
        if not relation.is_equation:
            rules += 1
            obstacles += _without_room(relation, size, box, moved)
    return obstacles, rules


def _beyond_reach(problem: Problem, moved: Movement) -> Iterator[Obstacle]:
    for name in problem.dimensions:
        needed, reach = moved.of_dimension(name), problem.reach[name]
        if needed > reach:
            says = f"{name} may have to move by {_text(problem.ruler, needed)} to lie on the ruler"
            because = f"it may move by {_text(problem.ruler, reach)} at most"
            yield Obstacle(says, because, f"dimensions.{name}", reach, needed, None)


def _without_room(relation: Relation, size: AffineSize, box: Box, moved: Movement) -> Iterator[Obstacle]:
    room, corner = least_over(form_over(size, relation.form), box)
    needed = moved.of_form(relation.form)
    if room - needed < (PI_ROOM if relation.form.pi else 0):
        yield Obstacle(relation.says, relation.because, relation.path, room, needed, corner)


def _text(ruler: Ruler, value: Fraction) -> str:
    return ruler.text(ruler.raised(value))
