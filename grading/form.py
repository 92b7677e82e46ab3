"""Forms: lengths as exact sums of multiples of 1, dimensions, pi, pi × dimension, roots of areas, lengths of curves.

A form is what an expression of a pattern comes to, what an outline's coordinates are made of, and what a
relation sets equal to, or not below, zero. Coefficients are Fractions, in mm. Arithmetic costs the number of terms.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeVar

from grading.area import Area as Area
from grading.area import CurveLength, Term, curve_length_of
from grading.area import Values as Values
from grading.area import add_areas as add_areas
from grading.area import area_of as area_of
from grading.exact import PI40, Enclosure, enclose_pi, enclose_root

CONSTANT = ""
"""The key of the constant term; no dimension has an empty name."""

Key = TypeVar("Key")


@dataclass(frozen=True)
class Form:
    """One length, exactly, as a sum over dimensions; see the module's text.

    `roots` has the terms that are no multiples of dimensions: roots of areas, and lengths of curves.
    """

    plain: Mapping[str, Fraction] = field(default_factory=dict)
    pi: Mapping[str, Fraction] = field(default_factory=dict)
    roots: Mapping[Term, Fraction] = field(default_factory=dict)

    def __add__(self, other: Form) -> Form:
        return Form(_sum(self.plain, other.plain), _sum(self.pi, other.pi), _sum(self.roots, other.roots))

    def __neg__(self) -> Form:
        return self.times(Fraction(-1))

    def __sub__(self, other: Form) -> Form:
        return self + (-other)

    def times(self, factor: Fraction | int) -> Form:
        """The form multiplied by a rational number."""
        if not factor:
            return Form()
        return Form(
            {key: value * factor for key, value in self.plain.items()},
            {key: value * factor for key, value in self.pi.items()},
            {key: value * factor for key, value in self.roots.items()},
        )

    def times_pi(self) -> Form:
        """The form multiplied by pi. Raises ValueError if it has pi or a root already."""
        if self.pi or self.roots:
            msg = "pi times pi, or pi times a root, is no length here"
            raise ValueError(msg)
        return Form({}, self.plain)

    @property
    def is_rational(self) -> bool:
        """Whether it has neither pi nor a root."""
        return not self.pi and not self.roots

    @property
    def is_zero(self) -> bool:
        """Whether it is zero whatever the dimensions are."""
        return not self.plain and not self.pi and not self.roots

    @property
    def is_constant(self) -> bool:
        """Whether no dimension is in it."""
        return not self.names

    @property
    def constant(self) -> Fraction:
        """The rational constant term, in mm."""
        return self.plain.get(CONSTANT, Fraction(0))

    @property
    def names(self) -> frozenset[str]:
        """The dimensions in it."""
        under = {name for term in self.roots for name in term.names}
        return frozenset({*self.plain, *self.pi, *under} - {CONSTANT})

    def squared(self) -> Area:
        """The square of a rational form. Raises ValueError if it has pi or a root."""
        return product(self, self)

    def is_real(self, values: Values) -> bool:
        """Whether it is a length at these dimensions: no root is of an area below 0."""
        return not any(term.lack(values) for term in self.roots)

    def enclosure(self, values: Values, digits: int = 40) -> Enclosure:
        """Two rationals around the true length in mm at these dimensions; equal if the form is rational.

        Raises ValueError where it is no length (see `is_real`).
        """
        total = _value(self.plain, values)
        result = Enclosure(total, total)
        if self.pi:
            result += enclose_pi(digits).times(_value(self.pi, values))
        for term, coefficient in self.roots.items():
            result += term.enclosure(values, digits).times(coefficient)
        return result

    def stated(self, values: Values) -> Fraction:
        """The length with pi as PI40, roots to 40 and curves to 24 digits: that of the nearest-size calculation."""
        total = _value(self.plain, values)
        if self.pi:
            total += PI40 * _value(self.pi, values)
        for term, coefficient in self.roots.items():
            total += coefficient * term.stated(values)
        return total

    def rough(self, values: Mapping[str, float]) -> float:
        """The length in floats, to search with and never to judge."""
        total = 0.0
        for key, coefficient in self.plain.items():
            total += float(coefficient) * (values[key] if key else 1.0)
        for key, coefficient in self.pi.items():
            total += 3.141592653589793 * float(coefficient) * (values[key] if key else 1.0)
        for curved, coefficient in self.roots.items():
            total += float(coefficient) * curved.rough(values)
        return total

    def substituted(self, replacement: Mapping[str, Form]) -> Form:
        """The form with dimensions replaced by rational forms; roots and curves whose areas become equal merge.

        Raises ValueError if a replacement with pi or a root would come under pi or a root.
        """
        result = Form()
        for key, coefficient in self.plain.items():
            result += replacement[key].times(coefficient) if key in replacement else Form({key: coefficient})
        for key, coefficient in self.pi.items():
            term = replacement[key] if key in replacement else Form({key: Fraction(1)})
            result += term.times(coefficient).times_pi()
        for curved, coefficient in self.roots.items():
            result += _term_substituted(curved, replacement).times(coefficient)
        return result


def length(value: Fraction | int) -> Form:
    """The form of a constant length in mm."""
    return Form({CONSTANT: Fraction(value)}) if value else Form()


def dimension(name: str) -> Form:
    """The form of one dimension."""
    return Form({name: Fraction(1)})


def product(left: Form, right: Form) -> Area:
    """The product of two rational forms. Raises ValueError if one has pi or a root."""
    if not left.is_rational or not right.is_rational:
        msg = "an area cannot have pi or a root in it"
        raise ValueError(msg)
    terms: dict[tuple[str, str], Fraction] = {}
    for a, x in left.plain.items():
        for b, y in right.plain.items():
            key = (a, b) if a <= b else (b, a)
            terms[key] = terms.get(key, Fraction(0)) + x * y
    return area_of(terms)


def root(area: Area) -> Form:
    """The square root of an area; a constant square is a plain length."""
    if not area.terms:
        return Form()
    if all(key == (CONSTANT, CONSTANT) for key, _ in area.terms):
        side = enclose_root(area.terms[0][1])
        if side.low == side.high:
            return length(side.low)
    return Form({}, {}, {area: Fraction(1)})


def hypotenuse(across: Form, along: Form) -> Form:
    """The length of a line with these two extents: sqrt(across² + along²)."""
    return root(add_areas(across.squared(), along.squared()))


def arc_length(across: Form, along: Form, rise: Form) -> Form:
    """The length of an arc over a chord with these two extents. Raises ValueError if one has pi or a root."""
    return _curve(curve_length_of("arc", (add_areas(across.squared(), along.squared()), rise.squared())))


def ellipse_length(across: Form, along: Form) -> Form:
    """The length of a quarter of an ellipse with these half axes. Raises ValueError if one has pi or a root."""
    return _curve(curve_length_of("ellipse", (across.squared(), along.squared())))


def cubic_length(steps: Sequence[tuple[Form, Form]]) -> Form:
    """The length of a cubic by the three steps (across, along) between its points. Raises ValueError as above."""
    pairs = ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))
    areas = tuple(add_areas(product(steps[i][0], steps[j][0]), product(steps[i][1], steps[j][1])) for i, j in pairs)
    return _curve(curve_length_of("cubic", areas))


def _curve(curve: CurveLength) -> Form:
    return Form({}, {}, {curve: Fraction(1)})


def _term_substituted(term: Term, replacement: Mapping[str, Form]) -> Form:
    if isinstance(term, Area):
        return root(_area_substituted(term, replacement))
    return _curve(term.changed(lambda area: _area_substituted(area, replacement)))


def _area_substituted(area: Area, replacement: Mapping[str, Form]) -> Area:
    total = Area(())
    for (left, right), coefficient in area.terms:
        sides = [replacement.get(name, Form({name: Fraction(1)})) if name else length(1) for name in (left, right)]
        total = add_areas(total, product(sides[0], sides[1]), coefficient)
    return total


def _sum(left: Mapping[Key, Fraction], right: Mapping[Key, Fraction]) -> Mapping[Key, Fraction]:
    if not left:
        return right
    if not right:
        return left
    total = dict(left)
    for key, value in right.items():
        merged = total.get(key, 0) + value
        if merged:
            total[key] = merged
        else:
            total.pop(key, None)
    return total


def _value(terms: Mapping[str, Fraction], values: Values) -> Fraction:
    total = Fraction(0)
    for key, coefficient in terms.items():
        total += coefficient * values[key] if key else coefficient
    return total
