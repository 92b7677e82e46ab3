"""Rows: affine forms with pi as the stated rational, on which all exact linear algebra of a size is done.

A row {name: coefficient, "": constant} stands for coefficient × dimension + … + constant. Its numbers are elements
of sympy's field QQ, which are rationals of FLINT where python-flint is installed: some twenty times faster
than Fractions and as exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any, TypeAlias

from sympy import QQ

from grading.area import CurveLength
from grading.exact import PI40
from grading.form import CONSTANT, Form

Number: TypeAlias = Any
"""An exact rational: an element of sympy's QQ."""
Row: TypeAlias = dict[str, Number]
ZERO: Number = QQ(0)
SLOPE_DIGITS = 40
"""Decimals kept of the slope of a root; the reference judges roots to 1e-9."""


def rational(value: Fraction | int) -> Number:
    """The same rational as an element of QQ."""
    return QQ(value.numerator, value.denominator)


def fraction(value: Number) -> Fraction:
    """The same rational as a Fraction."""
    return Fraction(int(value.numerator), int(value.denominator))


_PI: Number = rational(PI40)


def row_of(terms: Mapping[str, Fraction]) -> Row:
    """The row with these coefficients."""
    return {name: rational(value) for name, value in terms.items() if value}


def stated_row(form: Form) -> Row:
    """The row of a form without roots and curves, pi as PI40. Raises ValueError for a form with one."""
    if form.roots:
        msg = "a form with a root has no row, only a tangent"
        raise ValueError(msg)
    row = row_of(form.plain)
    for name, value in form.pi.items():
        add_to(row, name, _PI * rational(value))
    return row


def tangent_row(form: Form, at: Mapping[str, Fraction], curve_digits: int = SLOPE_DIGITS) -> Row:
    """The row that touches a form at a point; roots and their slopes to 40 decimals, curves to 24 (or `curve_digits`).

    Where an area is not above zero the root has no slope; it counts as the constant 0 there.
    """
    row = stated_row(Form(form.plain, form.pi))
    for term, coefficient in form.roots.items():
        digits = curve_digits if isinstance(term, CurveLength) else SLOPE_DIGITS
        slopes = term.steepness(at, digits)
        if slopes is None:
            continue
        add_to(row, CONSTANT, rational(coefficient * term.enclosure(at, digits).low))
        for name, slope in slopes.items():
            steepness = coefficient * round(slope, SLOPE_DIGITS)
            add_to(row, name, rational(steepness))
            add_to(row, CONSTANT, rational(-steepness * at[name]))
    return row


def add_to(row: Row, name: str, value: Number) -> None:
    """Add to one coefficient of a row in place, leaving no zero behind."""
    total = row.get(name, ZERO) + value
    if total:
        row[name] = total
    else:
        row.pop(name, None)


def combined(terms: Iterable[tuple[Number, Row]]) -> Row:
    """The sum of number × row."""
    total: Row = {}
    for factor, row in terms:
        for name, value in row.items():
            add_to(total, name, factor * value)
    return total


def substituted(row: Row, solution: Mapping[str, Row]) -> Row:
    """The row with dimensions replaced by rows."""
    if not any(name in solution for name in row):
        return row
    total: Row = {}
    for name, value in row.items():
        if name in solution:
            for inner, factor in solution[name].items():
                add_to(total, inner, value * factor)
        else:
            add_to(total, name, value)
    return total


def constant_of(row: Row) -> Number:
    """The constant of a row."""
    return row.get(CONSTANT, ZERO)


def value_of(row: Row, values: Mapping[str, Number]) -> Number:
    """The value of a row at a point given in numbers of QQ."""
    total = row.get(CONSTANT, ZERO)
    for name, coefficient in row.items():
        if name:
            total += coefficient * values[name]
    return total
