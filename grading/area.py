"""Areas, and the lengths that are no sums of dimensions: roots of areas, and lengths of curves decided by areas.

In a form each such length is a term with a coefficient, known by its areas: an `Area` stands for its square root, a
`CurveLength` for the length of its curve. Terms that are equal cancel. Lengths in mm, areas in mm².
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from grading.curve import CURVE_DIGITS, CurveMeasure, Kind, measure_curve
from grading.exact import Enclosure, enclose_root

Values = Mapping[str, Fraction]
"""A value in mm for each dimension."""


@dataclass(frozen=True)
class Area:
    """A quadratic polynomial of dimensions without pi: {(name, name): coefficient}, names sorted, "" for 1.

    As a term of a form it stands for its square root.
    """

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

    @property
    def names(self) -> Iterator[str]:
        """The dimensions in it, and "" where it has a constant in it; some more than once."""
        return (name for pair, _ in self.terms for name in pair)

    def enclosure(self, values: Values, digits: int) -> Enclosure:
        """Its root, within 10**-digits. Raises ValueError where the area is below 0."""
        return enclose_root(self.value(values), digits)

    def stated(self, values: Values) -> Fraction:
        """Its root to 40 digits, from below. Raises ValueError where the area is below 0."""
        return enclose_root(self.value(values)).low

    def steepness(self, values: Values, digits: int) -> dict[str, Fraction] | None:
        """The slope of its root for each dimension, from a root of that many digits; None where it has no slope."""
        square = self.value(values)
        if square <= 0:
            return None
        side = enclose_root(square, digits).low
        return {name: slope / (2 * side) for name, slope in self.slope(values).items()}

    def lack(self, values: Values) -> Fraction:
        """What the area lacks to 0, in mm²; 0 where it has a root."""
        return max(-self.value(values), Fraction(0))

    def rough(self, values: Mapping[str, float]) -> float:
        """Its root in floats, to search with and never to judge."""
        square = sum(float(c) * (values[a] if a else 1.0) * (values[b] if b else 1.0) for (a, b), c in self.terms)
        return float(max(square, 0.0) ** 0.5)


@dataclass(frozen=True, eq=True)
class CurveLength:
    """The length of a curve of a kind, decided by areas; see `curve_length_of` for the one order they stand in."""

    kind: Kind
    areas: tuple[Area, ...]

    def __hash__(self) -> int:
        # Areas of many fractions are slow to hash; one tells curves apart well enough.
        return hash((self.kind, self.areas[0]))

    @property
    def names(self) -> Iterator[str]:
        """The dimensions in it, and "" where a constant is; some more than once."""
        return (name for area in self.areas for name in area.names)

    def enclosure(self, values: Values, digits: int) -> Enclosure:
        """Its length, within 10**-digits or 10**-CURVE_DIGITS, whichever is wider."""
        return self._measure(values, digits).length

    def stated(self, values: Values) -> Fraction:
        """Its length to CURVE_DIGITS decimals, from below."""
        return self._measure(values, CURVE_DIGITS).length.low

    def steepness(self, values: Values, digits: int) -> dict[str, Fraction] | None:
        """The slope of its length for each dimension, to at most CURVE_DIGITS decimals."""
        total: dict[str, Fraction] = {}
        for area, slope in zip(self.areas, self._measure(values, digits).slopes, strict=True):
            for name, value in area.slope(values).items():
                total[name] = total.get(name, Fraction(0)) + slope * value
        return total

    def lack(self, values: Values) -> Fraction:
        """Nothing: squares and products of sides always make a curve."""
        return Fraction(0)

    def rough(self, values: Mapping[str, float]) -> float:
        """Its length in floats, to search with and never to judge."""
        exact = {name: Fraction(values[name]) for name in self.names if name}
        return float(self._measure(exact, ROUGH_DIGITS).length.low)

    def changed(self, change: Callable[[Area], Area]) -> CurveLength:
        """The length with each area changed."""
        return curve_length_of(self.kind, tuple(change(area) for area in self.areas))

    def _measure(self, values: Values, digits: int) -> CurveMeasure:
        return measure_curve(self.kind, tuple(area.value(values) for area in self.areas), min(digits, CURVE_DIGITS))


ROUGH_DIGITS = 9
"""Decimals of a length that is only searched with."""

Term: TypeAlias = Area | CurveLength
"""What may stand in a form beside dimensions and pi."""


def curve_length_of(kind: Kind, areas: tuple[Area, ...]) -> CurveLength:
    """The length of a curve from its areas: of equal curves the same, whichever way they are turned or run.

    areas  of an arc (chord², rise²); of a quarter of an ellipse the squares of its half axes; of a cubic the products
           d₁·d₁, d₁·d₂, d₁·d₃, d₂·d₂, d₂·d₃, d₃·d₃ of its steps
    """
    if kind == "arc":
        return CurveLength(kind, areas)
    if kind == "ellipse":
        backwards = areas[::-1]
    else:
        first, second, third, fourth, fifth, sixth = areas
        backwards = (sixth, fifth, third, fourth, second, first)
    return CurveLength(kind, min(areas, backwards, key=_order))


def _order(areas: tuple[Area, ...]) -> tuple[object, ...]:
    return tuple(area.terms for area in areas)


def area_of(terms: Mapping[tuple[str, str], Fraction]) -> Area:
    """An area from its terms, in the one order in which equal areas are equal."""
    merged: dict[tuple[str, str], Fraction] = {}
    for (left, right), coefficient in terms.items():
        key = (left, right) if left <= right else (right, left)
        merged[key] = merged.get(key, Fraction(0)) + coefficient
    return Area(tuple(sorted((key, value) for key, value in merged.items() if value)))


def add_areas(left: Area, right: Area, factor: Fraction | int = 1) -> Area:
    """left + factor × right."""
    terms = dict(left.terms)
    for key, value in right.terms:
        terms[key] = terms.get(key, Fraction(0)) + factor * value
    return area_of(terms)
