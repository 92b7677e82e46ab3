"""Exact fractions with short ways for what the verifier does most: whole numbers, and denominators that are alike.

The numbers are those of `fractions.Fraction`, and mix with them; before Python 3.12 its arithmetic spends most of its
time on finding out of what kind its operands are.
"""

from __future__ import annotations

import fractions
from math import gcd

Rational = fractions.Fraction | int
_new = object.__new__


def _made(numerator: int, denominator: int) -> Fraction:
    """A fraction in lowest terms, its denominator above 0."""
    made = _new(Fraction)
    made._numerator = numerator
    made._denominator = denominator
    return made


def _of(value: fractions.Fraction) -> Fraction:
    return _made(value.numerator, value.denominator)


class Fraction(fractions.Fraction):
    """A rational number; all that is computed from one is one. Errors are those of `fractions.Fraction`."""

    __slots__ = ()
    _numerator: int
    _denominator: int

    def __new__(cls, numerator: int | str | fractions.Fraction = 0, denominator: int | None = None) -> Fraction:
        """The same number, from what `fractions.Fraction` takes; of two whole numbers without looking further."""
        if type(numerator) is int:
            if denominator is None:
                return _made(numerator, 1)
            if type(denominator) is int and denominator > 0:
                shared = gcd(numerator, denominator)
                return _made(numerator // shared, denominator // shared)
        return super().__new__(cls, numerator, denominator)  # type: ignore[arg-type]

    def __add__(self, other: Rational) -> Fraction:  # type: ignore[override]
        if type(other) is Fraction:
            return _sum(self._numerator, self._denominator, other._numerator, other._denominator)
        if type(other) is int:
            return _made(self._numerator + other * self._denominator, self._denominator)
        return self + _of(other) if isinstance(other, fractions.Fraction) else NotImplemented

    __radd__ = __add__  # type: ignore[assignment]

    def __sub__(self, other: Rational) -> Fraction:  # type: ignore[override]
        if type(other) is Fraction:
            return _sum(self._numerator, self._denominator, -other._numerator, other._denominator)
        if type(other) is int:
            return _made(self._numerator - other * self._denominator, self._denominator)
        return self - _of(other) if isinstance(other, fractions.Fraction) else NotImplemented

    def __rsub__(self, other: Rational) -> Fraction:  # type: ignore[override]
        return -self + other

    def __mul__(self, other: Rational) -> Fraction:  # type: ignore[override]
        if type(other) is Fraction:
            return _product(self._numerator, self._denominator, other._numerator, other._denominator)
        if type(other) is int:
            return _product(self._numerator, self._denominator, other, 1)
        if isinstance(other, fractions.Fraction):
            return self * _of(other)
        return NotImplemented

    __rmul__ = __mul__  # type: ignore[assignment]

    def __truediv__(self, other: Rational) -> Fraction:  # type: ignore[override]
        if type(other) is Fraction:
            return _quotient(self._numerator, self._denominator, other._numerator, other._denominator)
        if type(other) is int:
            return _quotient(self._numerator, self._denominator, other, 1)
        if isinstance(other, fractions.Fraction):
            return self / _of(other)
        return NotImplemented

    def __rtruediv__(self, other: Rational) -> Fraction:  # type: ignore[override]
        if type(other) is int:
            return _quotient(other, 1, self._numerator, self._denominator)
        if isinstance(other, fractions.Fraction):
            return _of(other) / self
        return NotImplemented

    def __neg__(self) -> Fraction:
        return _made(-self._numerator, self._denominator)

    def __pos__(self) -> Fraction:
        return self

    def __abs__(self) -> Fraction:
        return self if self._numerator >= 0 else _made(-self._numerator, self._denominator)

    def __mod__(self, other: Rational) -> Fraction:  # type: ignore[override]
        return _of(super().__mod__(other))

    def __pow__(self, power: int) -> Fraction:  # type: ignore[override]
        return _of(super().__pow__(power))

    def __eq__(self, other: object) -> bool:
        if type(other) is Fraction:
            return self._numerator == other._numerator and self._denominator == other._denominator
        if type(other) is int:
            return self._denominator == 1 and self._numerator == other
        return super().__eq__(other)

    def __hash__(self) -> int:  # type: ignore[override]
        return hash(self._numerator) if self._denominator == 1 else super().__hash__()

    def __lt__(self, other: Rational) -> bool:  # type: ignore[override]
        if type(other) is Fraction:
            return self._numerator * other._denominator < other._numerator * self._denominator
        return self._numerator < other * self._denominator if type(other) is int else super().__lt__(other)

    def __le__(self, other: Rational) -> bool:  # type: ignore[override]
        if type(other) is Fraction:
            return self._numerator * other._denominator <= other._numerator * self._denominator
        return self._numerator <= other * self._denominator if type(other) is int else super().__le__(other)

    def __gt__(self, other: Rational) -> bool:  # type: ignore[override]
        if type(other) is Fraction:
            return self._numerator * other._denominator > other._numerator * self._denominator
        return self._numerator > other * self._denominator if type(other) is int else super().__gt__(other)

    def __ge__(self, other: Rational) -> bool:  # type: ignore[override]
        if type(other) is Fraction:
            return self._numerator * other._denominator >= other._numerator * self._denominator
        return self._numerator >= other * self._denominator if type(other) is int else super().__ge__(other)


def _sum(first: int, first_parts: int, second: int, second_parts: int) -> Fraction:
    """a/b + c/d: what the sum over the least common denominator shares with it divides gcd(b, d).

    Knuth, Seminumerical Algorithms, 4.5.1; from memory.
    """
    if first_parts == second_parts:
        if first_parts == 1:
            return _made(first + second, 1)
        common, left, right = first_parts, 1, first + second
    else:
        common = gcd(first_parts, second_parts)
        left = first_parts // common
        right = first * (second_parts // common) + second * left
    shared = gcd(right, common)
    if shared == 1:
        return _made(right, left * second_parts)
    return _made(right // shared, left * (second_parts // shared))


def _product(first: int, first_parts: int, second: int, second_parts: int) -> Fraction:
    if first_parts == 1 and second_parts == 1:
        return _made(first * second, 1)
    crosswise, other = gcd(first, second_parts), gcd(second, first_parts)
    return _made((first // crosswise) * (second // other), (first_parts // other) * (second_parts // crosswise))


def _quotient(first: int, first_parts: int, second: int, second_parts: int) -> Fraction:
    if second < 0:
        return _product(-first, first_parts, second_parts, -second)
    if second == 0:
        raise ZeroDivisionError(f"Fraction({first}, 0)")
    return _product(first, first_parts, second_parts, second)
