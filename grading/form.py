"""Forms: lengths as exact sums of rational multiples of 1, dimensions, pi, pi × dimension, and roots of areas.

A form is what an expression of a pattern comes to, what an outline's coordinates are made of, and what a
relation sets equal to, or not below, zero. Coefficients are Fractions, in mm. Arithmetic costs the number of terms.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeVar

from grading.exact import PI40, Enclosure, enclose_pi, enclose_root

CONSTANT = ""
"""The key of the constant term; no dimension has an empty name."""

Values = Mapping[str, Fraction]
"""A value in mm for each dimension."""
Key = TypeVar("Key")


@dataclass(frozen=True)
class Area:
    """A quadratic polynomial of dimensions without pi: {(name, name): coefficient}, names sorted, "" for 1."""

    terms: tuple[tuple[tuple[str, str], Fraction], ...]

    def value(self, values: Values) -> Fraction:
        """The area in mm² at these dimensions."""
        total = Fraction(0)
        for (left, right), coefficient in self.terms:
            term = coefficient
            if left:
                term *= values[left]
            if right:
                term *= values[right]
            total += term
        return total

    def slope(self, values: Values) -> dict[str, Fraction]:
        """The partial derivative for each dimension, in mm."""
        slopes: dict[str, Fraction] = {}
        for (left, right), coefficient in self.terms:
            for name, other in ((left, right), (right, left)):
                if name:
                    slopes[name] = slopes.get(name, Fraction(0)) + coefficient * (values[other] if other else 1)
        return slopes


def area_of(terms: Mapping[tuple[str, str], Fraction]) -> Area:
    """An area from its terms, in the one order in which equal areas are equal."""
    merged: dict[tuple[str, str], Fraction] = {}
    for (left, right), coefficient in terms.items():
        key = (left, right) if left <= right else (right, left)
        merged[key] = merged.get(key, Fraction(0)) + coefficient
    return Area(tuple(sorted((key, value) for key, value in merged.items() if value)))


@dataclass(frozen=True)
class Form:
    """One length, exactly, as a sum over dimensions; see the module's text."""

    plain: Mapping[str, Fraction] = field(default_factory=dict)
    pi: Mapping[str, Fraction] = field(default_factory=dict)
    roots: Mapping[Area, Fraction] = field(default_factory=dict)

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
        under = {name for area in self.roots for pair, _ in area.terms for name in pair}
        return frozenset({*self.plain, *self.pi, *under} - {CONSTANT})

    def squared(self) -> Area:
        """The square of a rational form. Raises ValueError if it has pi or a root."""
        return product(self, self)

    def is_real(self, values: Values) -> bool:
        """Whether it is a length at these dimensions: no root is of an area below 0."""
        return all(area.value(values) >= 0 for area in self.roots)

    def enclosure(self, values: Values, digits: int = 40) -> Enclosure:
        """Two rationals around the true length in mm at these dimensions; equal if the form is rational.

        Raises ValueError where it is no length (see `is_real`).
        """
        total = _value(self.plain, values)
        result = Enclosure(total, total)
        if self.pi:
            result += enclose_pi(digits).times(_value(self.pi, values))
        for area, coefficient in self.roots.items():
            result += enclose_root(area.value(values), digits).times(coefficient)
        return result

    def stated(self, values: Values) -> Fraction:
        """The length with pi as PI40 and roots to 40 digits (from below): the nearest-size calculation's value."""
        total = _value(self.plain, values)
        if self.pi:
            total += PI40 * _value(self.pi, values)
        for area, coefficient in self.roots.items():
            total += coefficient * enclose_root(area.value(values)).low
        return total

    def rough(self, values: Mapping[str, float]) -> float:
        """The length in floats, to search with and never to judge."""
        total = 0.0
        for key, coefficient in self.plain.items():
            total += float(coefficient) * (values[key] if key else 1.0)
        for key, coefficient in self.pi.items():
            total += 3.141592653589793 * float(coefficient) * (values[key] if key else 1.0)
        for area, coefficient in self.roots.items():
            square = sum(float(c) * (values[a] if a else 1.0) * (values[b] if b else 1.0) for (a, b), c in area.terms)
            total += float(coefficient) * max(square, 0.0) ** 0.5
        return total

    def substituted(self, replacement: Mapping[str, Form]) -> Form:
        """The form with dimensions replaced by rational forms; roots whose areas become equal merge.

        Raises ValueError if a replacement with pi or a root would come under pi or a root.
        """
        result = Form()
        for key, coefficient in self.plain.items():
            result += replacement[key].times(coefficient) if key in replacement else Form({key: coefficient})
        for key, coefficient in self.pi.items():
            term = replacement[key] if key in replacement else Form({key: Fraction(1)})
            result += term.times(coefficient).times_pi()
        for area, coefficient in self.roots.items():
            result += root(_area_substituted(area, replacement)).times(coefficient)
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


def add_areas(left: Area, right: Area, factor: Fraction | int = 1) -> Area:
    """left + factor × right."""
    terms = dict(left.terms)
    for key, value in right.terms:
        terms[key] = terms.get(key, Fraction(0)) + factor * value
    return area_of(terms)


def hypotenuse(across: Form, along: Form) -> Form:
    """The length of a line with these two extents: sqrt(across² + along²)."""
    return root(add_areas(across.squared(), along.squared()))


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
