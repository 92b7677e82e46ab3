"""What an order form can offer: the box asked for, the largest proven one around the base, or a list of sizes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice, product

from grading.errors import Conflict, DocumentFaults, RequestFaults, RulerOutOfReach
from grading.exact import Ruler
from grading.fit import fit, fits
from grading.model import Model
from grading.ranges.box import Box, Corner
from grading.ranges.proving import Obstacle, Prover, Verdict, poll, prove_box
from grading.solve import Compiled

SHARES = 64
"""Into how many parts the way from the base to the box asked for is cut."""
LISTED = 5
"""How many values of each dimension a list of sizes has at most."""
MOST_LISTED = 64
"""How many sizes are tried for a list at most."""

MOST_CORNERS = 64
"""How many corners are tried for one that fails at most."""

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
    """Judge a box; if it is not proven, find a size that fails, the largest proven box around the base, and a list.

    The middle of a proven box is also graded: what a pattern cannot have on its ruler at any size would show there.
    Raises RequestFaults, Stopped.
    """
    verdict = prove_box(model, compiled, box, stop)
    if verdict.proven:
        reason = _reason(model, compiled, box, box.middle, stop)
        if reason is None:
            return Range(box, verdict, box, None, ())
        verdict = Verdict(False, (Obstacle(reason, "", "ruler"),), verdict.rules, verdict.branches)
        return Range(box, verdict, None, Counterexample(box.middle, reason), ())
    failing = _counterexample(model, compiled, box, verdict, stop)
    largest = _largest(model, compiled, box, stop)
    if largest is not None and _reason(model, compiled, largest, largest.middle, stop) is not None:
        largest = None
    return Range(box, verdict, largest, failing, tuple(_listed(model, compiled, box, stop)))


def _base_within(model: Model, box: Box) -> dict[str, Fraction]:
    return {name: min(max(model.draft.base[name], least), most) for name, (least, most) in box.sides.items()}


def _largest(model: Model, compiled: Compiled, box: Box, stop: Stop | None) -> Box | None:
    """The box drawn towards the base until it is proven, then each end moved out again as far as it stays proven.

    Ends that are not those asked for lie on the ruler.
    """
    base, prover = _base_within(model, box), Prover(model, compiled, box)

    def proven(some: Box) -> bool:
        return prover.prove(some, stop).proven

    if not proven(box.towards(base, Fraction(0))):
        return None
    share = _greatest(lambda part: proven(box.towards(base, Fraction(part, SHARES))), SHARES)
    found = box.towards(base, Fraction(share, SHARES))
    for name in box.sides:
        for end in (0, 1):
            found = _moved_out(found, box, name, end, model.ruler, proven)
    return found


def _moved_out(box: Box, asked: Box, name: str, end: int, ruler: Ruler, proven: Callable[[Box], bool]) -> Box:
    """A proven box with one end of one side moved out as far as it stays proven, by steps of the ruler."""
    here, goal = box.sides[name][end], asked.sides[name][end]
    if proven(moved := _with_end(box, name, end, goal)):
        return moved
    sign = 1 if end else -1
    first = sign * ((sign * here) // ruler.step) * ruler.step
    if not min(box.sides[name]) <= first <= max(box.sides[name]):
        first = here
    steps = abs(goal - first) // ruler.step
    part = _greatest(lambda count: proven(_with_end(box, name, end, first + sign * count * ruler.step)), int(steps))
    return _with_end(box, name, end, first + sign * part * ruler.step)


def _with_end(box: Box, name: str, end: int, value: Fraction) -> Box:
    ends = list(box.sides[name])
    ends[end] = value
    return box.with_side(name, ends[0], ends[1])


def _greatest(holds: Callable[[int], bool], most: int) -> int:
    """The greatest whole number up to `most` up to which something holds, by halving; 0 holds."""
    low, high = 0, most
    if not most or holds(high):
        return high
    while high - low > 1:
        middle = (low + high) // 2
        if holds(middle):
            low = middle
        else:
            high = middle
    return low


def _reason(model: Model, compiled: Compiled, box: Box, size: Corner, stop: Stop | None) -> str | None:
    """Why a size cannot be made, or None if it can."""
    poll(stop)
    try:
        fit(model, compiled, box.request(size), stop)
    except (Conflict, DocumentFaults, RequestFaults, RulerOutOfReach) as error:
        return str(error)
    return None


def _counterexample(
    model: Model, compiled: Compiled, box: Box, verdict: Verdict, stop: Stop | None
) -> Counterexample | None:
    """A corner that cannot be made: those are tried first where a rule has the least room."""
    corners = [obstacle.corner for obstacle in verdict.obstacles if obstacle.corner is not None]
    corners += box.corners()
    different = {tuple(corner.items()): corner for corner in corners}
    for corner in islice(different.values(), MOST_CORNERS):
        if not fits(model, compiled, box.request(corner), stop):
            reason = _reason(model, compiled, box, corner, stop)
            if reason is not None:
                return Counterexample(corner, reason)
    return None


def _listed(model: Model, compiled: Compiled, box: Box, stop: Stop | None) -> Iterator[dict[str, Fraction]]:
    """Sizes of the box, evenly spread and on the ruler where the box has room for that, each of which was solved."""
    count = LISTED
    while count > 1 and count ** len(box.sides) > MOST_LISTED:
        count -= 1
    shares = [Fraction(k, count - 1) for k in range(count)] if count > 1 else [Fraction(1, 2)]
    values = {
        name: sorted({min(max(model.ruler.put(least + (most - least) * share), least), most) for share in shares})
        for name, (least, most) in box.sides.items()
    }
    for combination in product(*values.values()):
        size = dict(zip(box.sides, combination, strict=True))
        if fits(model, compiled, box.request(size), stop):
            yield size


__all__ = ["Counterexample", "Obstacle", "Range", "examine"]
