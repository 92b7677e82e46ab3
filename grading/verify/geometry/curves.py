"""Curves: arcs of any rise, quarters of ellipses, and cubics, as parts of a drawn edge, and how long they are."""

from __future__ import annotations

from dataclasses import dataclass

from grading.verify.exact.forms import ARC, CUBIC, ELLIPSE, Form, curve_length, dotted, product
from grading.verify.exact.fraction import Fraction

Step = tuple[Form, Form]
HALF = Fraction(1, 2)


@dataclass(frozen=True, eq=False)
class Arc:
    """The arc of a circle whose middle lies `rise` beside the middle of its chord; `middle` where that is a vertex."""

    rise: Form
    middle: Step | None


@dataclass(frozen=True, eq=False)
class Ellipse:
    """A quarter of an ellipse whose half axes are |dx| and |dy|."""


@dataclass(frozen=True, eq=False)
class Cubic:
    """A cubic with its two inner points."""

    first: Step
    second: Step


Curve = Arc | Ellipse | Cubic


def length_along(curve: Curve, start: Step, end: Step) -> Form:
    """Return the length of the curve from start to end, as one term."""
    chord = _step(start, end)
    if isinstance(curve, Arc):
        rise = product(curve.rise, curve.rise)
        if rise is None:
            msg = "a rise has neither pi nor roots"
            raise AssertionError(msg)
        return curve_length(ARC, [dotted(chord, chord), rise])
    if isinstance(curve, Ellipse):
        squares = [product(reach, reach) for reach in chord]
        return curve_length(ELLIPSE, [square for square in squares if square is not None])
    steps = [_step(start, curve.first), _step(curve.first, curve.second), _step(curve.second, end)]
    pairs = [(i, j) for i in range(3) for j in range(i, 3)]
    return curve_length(CUBIC, [dotted(steps[i], steps[j]) for i, j in pairs])


def middle_of(start: Step, end: Step, rise: Form, turns: str, signs: tuple[int, int]) -> Step | None:
    """Return the middle of an arc whose chord is level or upright, None of others; signs are those of the chord."""
    across, along = _step(start, end)
    if not (across.is_zero or along.is_zero):
        return None
    middle = (start[0] + end[0]).times(HALF), (start[1] + end[1]).times(HALF)
    # The left of the way lies at (-dy, dx).
    side = 1 if turns == "right" else -1
    if along.is_zero:
        return middle[0], middle[1] + rise.times(Fraction(side * signs[0]))
    return middle[0] - rise.times(Fraction(side * signs[1])), middle[1]


def _step(start: Step, end: Step) -> Step:
    return end[0] - start[0], end[1] - start[1]
