"""Points: a value for each dimension, and what forms come to there."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from grading.verify.exact.curve_lengths import length_of
from grading.verify.exact.enclosures import PI, PI40, Enclosure, added, near_root, scaled, square_root
from grading.verify.exact.forms import PI_MARK, CurveLength, Form, Irrational, Root, Square
from grading.verify.exact.fraction import Fraction
from grading.verify.unreadable import refuse


@dataclass(frozen=True, slots=True)
class Parts:
    """A form's value as plain + turns × pi + the sum of multiples of roots and lengths of curves."""

    plain: Fraction
    turns: Fraction
    roots: tuple[tuple[Fraction, Irrational], ...]


@dataclass(frozen=True)
class Point:
    """Values of the dimensions in mm as whole numbers over one denominator; `""` is 1 mm."""

    scale: int
    values: Mapping[str, int]
    _roots: dict[Irrational, Enclosure] = field(default_factory=dict, repr=False, compare=False)

    def parts(self, form: Form) -> Parts:
        """Return the value of the form in three exact parts."""
        values, plain, turns = self.values, 0, 0
        roots: list[tuple[Fraction, Irrational]] = []
        for key, factor in form.terms.items():
            if not isinstance(key, str):
                roots.append((Fraction(factor, form.below), key))
            elif key[:1] == PI_MARK:
                turns += factor * values[key[1:]]
            else:
                plain += factor * values[key]
        below = form.below * self.scale
        return Parts(Fraction(plain, below), Fraction(turns, below) if turns else NOTHING, tuple(roots))

    def rational(self, form: Form) -> Fraction:
        """Return the exact value of a form without pi and roots."""
        values = self.values
        top = sum(factor * values[key] for key, factor in form.terms.items() if isinstance(key, str))
        return Fraction(top, form.below * self.scale)

    def rational_of(self, name: str) -> Fraction:
        """Return the value of a dimension."""
        return Fraction(self.values[name], self.scale)

    def enclosure(self, form: Form) -> Enclosure:
        """Return an enclosure of the value; both ends are equal when the value is known to be rational."""
        parts = self.parts(form)
        low = high = parts.plain
        if parts.turns:
            low, high = added((low, high), scaled(PI, parts.turns))
        for factor, root in parts.roots:
            low, high = added((low, high), scaled(self.root(root), factor))
        return low, high

    def near(self, form: Form) -> Fraction:
        """Return the value, exact if it is rational, else within 10**-30."""
        low, high = self.enclosure(form)
        return low if low == high else (low + high) / 2

    def root(self, root: Irrational) -> Enclosure:
        """Return an enclosure of a root or of the length of a curve; a root of an area below 0 is refused."""
        found = self._roots.get(root)
        if found is None:
            found = self._roots[root] = self._root(root) if isinstance(root, Root) else self._curve(root)
        return found

    def squares(self, curve: CurveLength) -> tuple[Fraction, ...]:
        """Return the areas in mm² that decide the length of a curve."""
        return tuple(self._square(square) for square in curve.areas)

    def _square(self, square: Square) -> Fraction:
        below, terms = square
        values = self.values
        plain = sum(factor * values[first] * values[second] for (first, second), factor in terms)
        return Fraction(plain, below * self.scale**2)

    def _curve(self, curve: CurveLength) -> Enclosure:
        return length_of(curve.kind, self.squares(curve))

    def _root(self, root: Root) -> Enclosure:
        plain, turns = self.area(root)
        if not turns:
            if plain < 0:
                refuse("a square root of an area below 0 stands in an expression, at this size")
            return square_root(plain)
        low, high = added((plain, plain), scaled(PI, turns))
        if low < 0:
            refuse("a square root of an area below 0 stands in an expression, at this size")
        return square_root(low)[0], square_root(high)[1]

    def area(self, root: Root) -> tuple[Fraction, Fraction]:
        """Return the area under a root as plain + turns × pi, in mm²."""
        plain = turns = 0
        for (first, second), factor in root.terms:
            if second[:1] == PI_MARK:
                turns += factor * self.values[first] * self.values[second[1:]]
            else:
                plain += factor * self.values[first] * self.values[second]
        return Fraction(plain, self.scale**2), Fraction(turns, self.scale**2)

    def with_pi40(self, form: Form) -> Fraction:
        """Return the value with PI40 in the place of pi; exact without roots, else within 10**-38."""
        parts = self.parts(form)
        value = parts.plain + parts.turns * PI40 if parts.turns else parts.plain
        for factor, root in parts.roots:
            value += factor * self.root_with_pi40(root)
        return value

    def root_with_pi40(self, root: Irrational) -> Fraction:
        """Return a root to 40 digits, with PI40 in the place of pi, or the length of a curve to more than 20."""
        if isinstance(root, CurveLength):
            low, high = self.root(root)
            return (low + high) / 2
        plain, turns = self.area(root)
        area = plain + turns * PI40
        if area < 0:
            refuse("a square root of an area below 0 stands in an expression, at the nearest size")
        return near_root(area)


NOTHING = Fraction(0)
# Hostile numbers must not make every sum long; real certificates stay far below.
MOST_BITS = 200_000


def common_denominator(numbers: Iterable[Fraction]) -> int | None:
    """Return the least common denominator, or None where it grows beyond what any size of a bag needs."""
    scale = 1
    for number in numbers:
        scale = math.lcm(scale, number.denominator)
        if scale.bit_length() > MOST_BITS:
            return None
    return scale


def point_of(values: Mapping[str, Fraction]) -> Point:
    """Return the point of the given values in mm; values without a common denominator of bounded size are refused."""
    scale = common_denominator(values.values())
    if scale is None:
        refuse("the values of the dimensions have too many different denominators")
    whole = {name: value.numerator * (scale // value.denominator) for name, value in values.items()}
    return Point(scale, {"": scale, **whole})
