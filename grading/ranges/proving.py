"""Whether every size of a box can be made: each rule with room to spare for the ruler, in every branch of stock."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import prod

from grading.errors import Conflict, DocumentFaults, RelationInConflict, Stopped
from grading.exact import Ruler
from grading.form import CONSTANT, Form
from grading.model import Model, Problem, Relation, pose
from grading.ranges.affine import AffineSize, Branch, affine_size, form_over, least_over, value_at
from grading.ranges.box import Box
from grading.ranges.places import PI_ROOM, NotOnRuler
from grading.ranges.rounding import Movement, movement
from grading.solve import Compiled
from grading.solve.stock import stock_relation

Stop = Callable[[], bool]
MOST_BRANCHES = 4096
"""Combinations of stock that are looked at."""


@dataclass(frozen=True)
class Obstacle:
    """Why a box is not proven: a rule, how much room it has left and how much it needs (mm), and where."""

    says: str
    because: str
    path: str
    room: Fraction | None = None
    needed: Fraction | None = None
    corner: dict[str, Fraction] | None = None


@dataclass(frozen=True)
class Verdict:
    """Whether a box is proven; if not, what stands in the way. `rules` and `branches` count what was looked at.

    `contradicts`: the equations alone cannot hold, whatever is asked.
    """

    proven: bool
    obstacles: tuple[Obstacle, ...]
    rules: int
    branches: int
    contradicts: bool = False


def prove_box(model: Model, compiled: Compiled, box: Box, stop: Stop | None = None) -> Verdict:
    """Judge a box exactly; see Prover. Raises RequestFaults for one that cannot be asked for, and Stopped."""
    return Prover(model, compiled, box).prove(box, stop)


class Prover:
    """Proves boxes of the same dimensions; what all of them have in common is found once.

    Proven means that each size of a box has a size on the ruler that keeps every rule and join within the reach of the
    ruler, in each branch of stock that can be the nearest one. Not proven does not mean that a size fails. Why:

    - Where the nearest point on the equations alone meets all inequalities it is the nearest point; and it is affine
      in what is asked. So the least room of an inequality over the box is at a corner, which the signs tell.
    - Of that room, what rounding may take away is spare (see `rounding`). Where a form takes only values that lie
      apart on the ruler, it is enough that rounding cannot bring it down to the first one below zero.
    - A branch of stock can only be the nearest if its cost alone is not above the greatest cost of another one that
      is proven; these are all looked at. Whether the equations of a branch contradict each other depends on the sizes
      asked for in the same way in each branch: so a branch does so at every size, or all do at some.
    """

    def __init__(self, model: Model, compiled: Compiled, box: Box) -> None:
        """Raises RequestFaults for a box that cannot be asked for."""
        self._model, self._compiled, self._box = model, compiled, box
        self._problem = pose(model, box.request(box.middle))
        self._known: dict[tuple[Fraction, ...], _Case | Verdict] = {}

    def prove(self, box: Box, stop: Stop | None = None) -> Verdict:
        """Judge a box of these dimensions exactly. Raises Stopped."""
        if prod(len(choice.values) for choice in self._problem.stock) > MOST_BRANCHES:
            return _refused(f"more than {MOST_BRANCHES} combinations of stock are not looked at")
        rules, looked_at, dearest, contradiction = 0, 0, None, _refused("nothing is in stock")
        for branch in sorted(_branches(self._problem), key=lambda branch: branch.cost):
            poll(stop)
            if dearest is not None and branch.cost > dearest:
                break
            case = self._case(branch)
            if isinstance(case, Verdict):
                if not case.contradicts:
                    return case
                contradiction = case
                continue
            obstacles, rules = case.judge(box)
            looked_at += 1
            if obstacles:
                return Verdict(False, tuple(obstacles), rules, looked_at)
            cost = branch.cost + max(_distance(case.size, corner) for corner in box.corners())
            dearest = cost if dearest is None else min(dearest, cost)
        return contradiction if dearest is None else Verdict(True, (), rules, looked_at)

    def _case(self, branch: Branch) -> _Case | Verdict:
        """What all boxes have in common in a branch, or why nothing can be said of it."""
        key = tuple(branch.values.values())
        if key not in self._known:
            self._known[key] = self._new_case(branch)
        return self._known[key]

    def _new_case(self, branch: Branch) -> _Case | Verdict:
        try:
            size = affine_size(self._model, self._compiled, self._box, branch)
            relations = relations_of(self._model, size, branch)
            return _Case(size, relations, moved_over(size, relations))
        except Conflict as conflict:
            return _unproven((_of_conflict(each) for each in conflict.relations), contradicts=True)
        except DocumentFaults as faults:
            return _unproven(Obstacle(each.problem, each.remedy, each.path) for each in faults.faults)
        except NotOnRuler as error:
            return _unproven([Obstacle(error.reason, error.because, error.path)])


@dataclass(frozen=True)
class _Case:
    """One branch of stock: its size as a function of what is asked, and how far the ruler may move it."""

    size: AffineSize
    relations: tuple[Relation, ...]
    moved: Movement

    def judge(self, box: Box) -> tuple[list[Obstacle], int]:
        """What stands in the way over a box, and how many rules were looked at."""
        obstacles = [*_beyond_reach(self.size.problem, self.moved)]
        inequalities = [relation for relation in self.relations if not relation.is_equation]
        for relation in inequalities:
            obstacles += _without_room(relation, self.size, box, self.moved)
        return obstacles, len(inequalities)


def poll(stop: Stop | None) -> None:
    """Raise Stopped if the caller asks to end."""
    if stop is not None and stop():
        raise Stopped


def _refused(reason: str) -> Verdict:
    return _unproven([Obstacle(reason, "", "request")])


def _unproven(obstacles: Iterable[Obstacle], *, contradicts: bool = False) -> Verdict:
    return Verdict(False, tuple(obstacles), 0, 0, contradicts)


def _of_conflict(relation: RelationInConflict) -> Obstacle:
    return Obstacle(relation.says, relation.because, relation.path)


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


def relations_of(model: Model, size: AffineSize, branch: Branch) -> tuple[Relation, ...]:
    """All relations of a branch: those of the problem, and the stock chosen."""
    choices = size.problem.stock
    return (*size.problem.relations, *(stock_relation(c, model.ruler, branch.values[c.dimension]) for c in choices))


def moved_over(size: AffineSize, relations: Sequence[Relation]) -> Movement:
    """How far the ruler may move the sizes of a box. Raises NotOnRuler."""
    for relation in relations:
        # On the ruler what stands with pi and what does not are zero apart, so they have to be so before it too.
        exact = relation.is_equation and relation.tolerance is None
        if exact and relation.form.pi and any(form_over(size, Form(relation.form.plain)).values()):
            raise NotOnRuler(f"{relation.says}: no ruler meets it exactly", relation.because, relation.path)
    still = {
        name: affine[CONSTANT]
        for name, affine in size.dimensions.items()
        if not any(slope for asked, slope in affine.items() if asked)
    }
    return movement(size.problem, relations, still)


def _beyond_reach(problem: Problem, moved: Movement) -> Iterator[Obstacle]:
    for name in problem.dimensions:
        needed, reach = moved.of_dimension(name), problem.reach[name]
        if needed > reach:
            says = f"{name} may have to move by {_text(problem.ruler, needed)} to lie on the ruler"
            because = f"it may move by {_text(problem.ruler, reach)} at most"
            yield Obstacle(says, because, f"dimensions.{name}", reach, needed)


def _without_room(relation: Relation, size: AffineSize, box: Box, moved: Movement) -> Iterator[Obstacle]:
    room, corner = least_over(form_over(size, relation.form), box)
    needed, below = moved.of_form(relation.form), moved.first_below(relation.form)
    if relation.form.pi:
        needed += PI_ROOM
    if room < 0 or (room < needed if below is None else room - needed <= below):
        yield Obstacle(relation.says, relation.because, relation.path, room, needed, corner)


def _text(ruler: Ruler, value: Fraction) -> str:
    return ruler.text(ruler.raised(value))
