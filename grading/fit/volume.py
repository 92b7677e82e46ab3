"""The least scale, in whole ten-thousandths, at which the room inside reaches a wished volume."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from grading.document.requests import GREATEST_SCALE, print_volume
from grading.errors import Fault, RequestFaults
from grading.model import Model

PARTS = 10_000
"""A scale is a whole number of these parts."""
SLACK = Fraction(101, 100)
"""The room at the scale that is found is at most this many times the wished one; else the request is refused."""

Point = Mapping[str, Fraction]


def inside_volume(model: Model, values: Point) -> Fraction | None:
    """The room inside at these dimensions, in mm³ (with pi as PI40), or None where the pattern has no `inside`."""
    if model.pattern.inside is None:
        return None
    volume = Fraction(1)
    for number, value in enumerate(model.pattern.inside):
        volume *= model.draft.stated(f"inside.{number}", value).stated(values)
    return volume


def find_scale(model: Model, target: Fraction, nearest: Callable[[Fraction], Point]) -> Fraction:
    """The least scale whose nearest point has room for the target, in mm³.

    Brackets, then halves: about 20 nearest points. Raises RequestFaults if no scale reaches the target, or if the room
    jumps past it by more than SLACK, and what `nearest` raises.
    """

    def room(parts: int) -> Fraction:
        return inside_volume(model, nearest(Fraction(parts, PARTS))) or Fraction(0)

    low, high = _bracket(model, target, room)
    while high - low > 1:
        middle = (low + high) // 2
        if room(middle) >= target:
            high = middle
        else:
            low = middle
    reached = room(high)
    if reached > target * SLACK:
        raise RequestFaults(
            [
                Fault(
                    "request.volume",
                    f"the room inside goes from {print_volume(room(low))} to {print_volume(reached)} at once",
                    f"ask for {print_volume(reached)}, or set what holds it back",
                )
            ]
        )
    return Fraction(high, PARTS)


def _bracket(model: Model, target: Fraction, room: Callable[[int], Fraction]) -> tuple[int, int]:
    """Two scales in parts: at the first the room is below the target, at the second it is not."""
    least, most = 1, GREATEST_SCALE * PARTS
    start = room(PARTS)
    high = PARTS
    if start >= target:
        low = high
        while low > least and room(low) >= target:
            high, low = low, max(least, low // 2)
        if low == least and room(least) >= target:
            raise _out_of_reach(model, target, room(least), "small")
        return low, high
    low = high
    previous = start
    while high < most:
        low, high = high, min(most, high * 5 // 4)
        now = room(high)
        if now >= target:
            return low, high
        if now == previous:
            break
        previous = now
    raise _out_of_reach(model, target, previous, "large")


def _out_of_reach(model: Model, target: Fraction, reached: Fraction, which: str) -> RequestFaults:
    limit = "at most" if which == "large" else "at least"
    return RequestFaults(
        [
            Fault(
                "request.volume",
                f"{print_volume(target)} cannot be reached: {model.pattern.name} holds {limit} {print_volume(reached)}",
                f"ask for {print_volume(reached)}",
            )
        ]
    )
