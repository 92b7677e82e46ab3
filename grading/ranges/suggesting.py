"""What an order form can offer: the box asked for, the largest proven one around the base, or a list of sizes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from grading.errors import Conflict, RequestFaults, RulerOutOfReach, Stopped
from grading.model import Model, pose
from grading.ranges.box import Box, Corner
from grading.ranges.proving import Obstacle, Verdict, prove_box
from grading.solve import Compiled, solve

SHARES = 64
"""Into how many parts the way from the base to the box asked for is cut."""
LISTED = 5
"""How many values of each dimension a list of sizes has at most."""
MOST_LISTED = 400
"""How many sizes a list has at most."""

Stop = Callable[[], bool]


@dataclass(frozen=True)
class Counterexample:
    """A size of the box that cannot be made, and why."""

    size: dict[str, Fraction]
    reason: str


@dataclass(frozen=True)
class Range:
    """What is known of a box: whether it is proven, and what can be offered if it is not."""

    asked: Box
    verdict: Verdict
    proven: Box | None
    counterexample: Counterexample | None
    listed: tuple[dict[str, Fraction], ...]


def examine(model: Model, compiled: Compiled, box: Box, stop: Stop | None = None) -> Range:
    """Judge a box; if it is not proven, find a size that fails, the largest proven box around the base, and a list."""
    verdict = prove_box(model, compiled, box)
    if verdict.proven:
        return Range(box, verdict, box, None, ())
    largest = _largest(model, compiled, box, stop)
    failing = _counterexample(model, compiled, box, verdict, stop)
    return Range(box, verdict, largest, failing, tuple(_listed(model, compiled, box, stop)))


def _poll(stop: Stop | None) -> None:
    if stop is not None and stop():
        raise Stopped


def _base_within(model: Model, box: Box) -> dict[str, Fraction]:
    return {name: min(max(model.draft.base[name], least), most) for name, (least, most) in box.sides.items()}


def _largest(model: Model, compiled: Compiled, box: Box, stop: Stop | None) -> Box | None:
    """The box drawn towards the base until it is proven, then each side moved out again as far as it stays proven."""
    base = _base_within(model, box)

    def proven(some: Box) -> bool:
        _poll(stop)
        return prove_box(model, compiled, some).proven

    if not proven(box.towards(base, Fraction(1, SHARES))):
        return None
    share = _greatest(lambda part: proven(box.towards(base, Fraction(part, SHARES))))
    found = box.towards(base, Fraction(share, SHARES))
    for name, ends in box.sides.items():
        for end in (0, 1):
            found = _moved_out(found, name, end, ends[end], proven)
    return found


def _moved_out(box: Box, name: str, end: int, goal: Fraction, proven: Callable[[Box], bool]) -> Box:
    """The box with one end of one side moved towards a goal as far as it stays proven."""

    def moved(part: int) -> Box:
        ends = list(box.sides[name])
        ends[end] += (goal - ends[end]) * part / SHARES
        return box.with_side(name, ends[0], ends[1])

    return moved(_greatest(lambda part: proven(moved(part))))


def _greatest(holds: Callable[[int], bool]) -> int:
    """The greatest part of SHARES up to which something holds, by halving; 0 holds."""
    low, high = 0, SHARES
    if holds(high):
        return high
    while high - low > 1:
        middle = (low + high) // 2
        if holds(middle):
            low = middle
        else:
            high = middle
    return low


def _graded(model: Model, compiled: Compiled, box: Box, size: Corner, stop: Stop | None) -> str | None:
    """Why a size cannot be made, or None if it can."""
    _poll(stop)
    try:
        solve(pose(model, box.request(size)), compiled, stop=stop)
    except (Conflict, RequestFaults, RulerOutOfReach) as error:
        return str(error)
    return None


def _counterexample(
    model: Model, compiled: Compiled, box: Box, verdict: Verdict, stop: Stop | None
) -> Counterexample | None:
    corners = [obstacle.corner for obstacle in verdict.obstacles if obstacle.corner is not None]
    for corner in [*corners, *box.corners()]:
        reason = _graded(model, compiled, box, corner, stop)
        if reason is not None:
            return Counterexample(corner, reason)
    return None


def _listed(model: Model, compiled: Compiled, box: Box, stop: Stop | None) -> Iterator[dict[str, Fraction]]:
    """Sizes of the box on the ruler, evenly spread, that were each graded."""
    ruler = model.ruler
    count = LISTED
    while count > 1 and count ** len(box.sides) > MOST_LISTED:
        count -= 1
    values = {
        name: sorted({ruler.put(least + (most - least) * k / max(count - 1, 1)) for k in range(count)})
        for name, (least, most) in box.sides.items()
    }
    for combination in product(*values.values()):
        size = dict(zip(box.sides, combination, strict=True))
        if _graded(model, compiled, box, size, stop) is None:
            yield size


__all__ = ["Counterexample", "Obstacle", "Range", "examine"]
