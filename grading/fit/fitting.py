"""One request fitted: what it leaves to be found is found, and the size is solved."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from grading.document.requests import SizeRequest, read_volume
from grading.errors import Conflict, RelationInConflict, RequestFaults, RulerOutOfReach
from grading.fit.volume import find_scale
from grading.model import Choice, Model, Problem, pose
from grading.model.sizing import AS_GIVEN, ORDERS, check_request
from grading.solve import Compiled, Solution, can_be_made, nearest_point, solve

Stop = Callable[[], bool]


@dataclass(frozen=True)
class Fitted:
    """A solved request: the problem it poses with what was found for it."""

    problem: Problem
    solution: Solution
    choice: Choice


def fit(model: Model, compiled: Compiled, request: SizeRequest, stop: Stop | None = None) -> Fitted:
    """Solve a request. Raises RequestFaults, Conflict, RulerOutOfReach, Stopped."""
    check_request(model, request)
    _refuse_far_eases(model)
    choice = _choose(model, compiled, request, stop)
    problem = pose(model, request, choice)
    return Fitted(problem, solve(problem, compiled, stop=stop), choice)


def _refuse_far_eases(model: Model) -> None:
    """Raise RulerOutOfReach where the ruler puts the ease of a seam further away than the seam's tolerance."""
    far = [
        seam.relation for seam in model.seams.values() if abs((seam.ease - seam.written_ease).constant) > seam.tolerance
    ]
    if far:
        named = [RelationInConflict(each.id, each.says, each.because, each.path) for each in far]
        raise RulerOutOfReach(named, str(model.ruler), "take a finer ruler, or write an ease that lies on this one")


def fits(model: Model, compiled: Compiled, request: SizeRequest, stop: Stop | None = None) -> bool:
    """Whether a request has a size on its ruler; nothing is said of why there is none. Raises Stopped."""
    try:
        check_request(model, request)
        problem = pose(model, request, _choose(model, compiled, request, stop))
    except (Conflict, RequestFaults):
        return False
    return can_be_made(problem, compiled, stop)


def _choose(model: Model, compiled: Compiled, request: SizeRequest, stop: Stop | None) -> Choice:
    if request.within is None or request.within.turned == "as given":
        return _with_scale(model, compiled, request, AS_GIVEN, stop)
    found = list(_turned(model, compiled, request, stop))
    if not found:
        # No way of turning it fits: what stands in the way as given is what the customer is told.
        return _with_scale(model, compiled, request, AS_GIVEN, stop)
    return min(found, key=lambda pair: pair[0])[1]


def _turned(
    model: Model, compiled: Compiled, request: SizeRequest, stop: Stop | None
) -> Iterator[tuple[Fraction, Choice]]:
    """Each way of turning that fits, with how far its size is from the wish; the first of equal ones counts."""
    for order in ORDERS:
        try:
            choice = _with_scale(model, compiled, request, order, stop)
            problem = pose(model, request, choice)
            point = nearest_point(problem, compiled, stop)
        except (Conflict, RequestFaults):
            continue
        yield _distance(problem, point), choice


def _distance(problem: Problem, point: dict[str, Fraction]) -> Fraction:
    terms = (weight * (point[name] - problem.wish[name]) ** 2 for name, weight in problem.weight.items())
    return sum(terms, Fraction(0))


def _with_scale(
    model: Model, compiled: Compiled, request: SizeRequest, order: tuple[int, int, int], stop: Stop | None
) -> Choice:
    if request.volume is None:
        return Choice(None, order)

    def nearest(scale: Fraction) -> dict[str, Fraction]:
        return nearest_point(pose(model, request, Choice(scale, order)), compiled, stop)

    return Choice(find_scale(model, read_volume(request.volume), nearest), order)
