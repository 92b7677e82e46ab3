"""Places of t: what a form of dimensions does there, and by how much rounding them may change it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from grading.exact import PI40
from grading.form import CONSTANT, Form

PI_ROOM = Fraction(1, 10**20)
"""mm; far above what PI40 in place of pi changes, far below any ruler."""


class NotOnRuler(Exception):
    """A reason why no bound can be given: the measures or joins that stand in the way."""

    def __init__(self, reason: str, because: str = "", path: str = "ruler") -> None:
        self.reason, self.because, self.path = reason, because, path
        super().__init__(reason)


def off(moves: Mapping[int, Fraction], errors: Sequence[Fraction]) -> Fraction:
    """The most by which a row over places changes if each place changes by at most its error."""
    return sum((abs(value) * errors[place] for place, value in moves.items()), Fraction(0))


def moves(form: Form, rows: Mapping[str, Mapping[int, Fraction]]) -> dict[int, Fraction]:
    """A form without roots as a row over places (mm), pi as PI40, from the rows of its dimensions."""
    total: dict[int, Fraction] = {}
    for terms, factor in ((form.plain, Fraction(1)), (form.pi, PI40)):
        for name, coefficient in terms.items():
            if name != CONSTANT:
                for place, value in rows[name].items():
                    total[place] = total.get(place, Fraction(0)) + coefficient * factor * value
    return {place: value for place, value in total.items() if value}
