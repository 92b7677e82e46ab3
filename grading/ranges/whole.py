"""Whole-number solutions of conditions "a rational row comes out whole": an offset and a basis, exactly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm


@dataclass(frozen=True)
class Solutions:
    """All whole vectors offset + basis × t, t whole; `basis` is a list of columns, one for each unknown."""

    offset: tuple[int, ...]
    basis: tuple[tuple[int, ...], ...]


def solve_whole(
    count: int, conditions: Sequence[tuple[Sequence[Fraction], Fraction]], spared: frozenset[int] = frozenset()
) -> Solutions | None:
    """All whole z for which each row · z + constant is whole; None if there is none.

    One condition after the other: with z = offset + basis × t, the condition is one congruence in t, which
    column operations of Euclid turn into a congruence of one unknown; not, if it can be helped, of a `spared` one.
    """
    offset = [0] * count
    basis = [[int(row == column) for row in range(count)] for column in range(count)]
    for row, constant in conditions:
        parts = [sum((row[k] * column[k] for k in range(count)), Fraction(0)) for column in basis]
        rest = constant + sum((row[k] * offset[k] for k in range(count)), Fraction(0))
        modulus = lcm(*(part.denominator for part in parts), rest.denominator)
        steps = [int(part * modulus) % modulus for part in parts]
        _gather(steps, basis, spared, modulus)
        place = next((k for k, step in enumerate(steps) if step), 0)
        common = gcd(steps[place] if steps else 0, modulus)
        target = -int(rest * modulus) % modulus
        if target % common:
            return None
        turn = modulus // common
        first = 0 if turn == 1 else target // common * pow(steps[place] // common, -1, turn) % turn
        if basis:
            offset = [value + first * part for value, part in zip(offset, basis[place], strict=True)]
            basis[place] = [turn * part for part in basis[place]]
    return Solutions(tuple(offset), tuple(tuple(column) for column in basis))


def _gather(steps: list[int], basis: list[list[int]], spared: frozenset[int], modulus: int) -> None:
    """Column operations that leave the steps in one place, as what divides all of them together with the modulus."""
    common = gcd(*steps, modulus)
    ready = [place for place, step in enumerate(steps) if gcd(step, modulus) == common and step]
    if ready:
        chosen = min(ready, key=lambda place: (place in spared, place))
        turn = modulus // common
        inverse = pow(steps[chosen] // common, -1, turn) if turn > 1 else 0
        for place, step in enumerate(steps):
            if place != chosen and step:
                times = step // common * inverse % turn
                times = times - turn if 2 * times > turn else times
                basis[place] = [a - times * b for a, b in zip(basis[place], basis[chosen], strict=True)]
                steps[place] = 0
        return
    for place in range(1, len(steps)):
        while steps[place]:
            if steps[0] == 0 or steps[place] < steps[0]:
                steps[0], steps[place] = steps[place], steps[0]
                basis[0], basis[place] = basis[place], basis[0]
                continue
            times = steps[place] // steps[0]
            steps[place] -= times * steps[0]
            basis[place] = [a - times * b for a, b in zip(basis[place], basis[0], strict=True)]


def single_out(columns: list[list[int]], start: int, row: Sequence[Fraction]) -> bool:
    """Column operations from `start` on after which the row has only its first place there; whether it has any.

    `columns` is changed in place; the whole vectors that it stands for stay the same.
    """
    values = [sum((row[k] * column[k] for k in range(len(row))), Fraction(0)) for column in columns[start:]]
    scale = lcm(*(value.denominator for value in values), 1)
    steps = [int(value * scale) for value in values]
    while sum(1 for step in steps if step) > 1:
        chosen = min((place for place, step in enumerate(steps) if step), key=lambda place: (abs(steps[place]), place))
        for place, step in enumerate(steps):
            if place != chosen and step:
                times = round(Fraction(step, steps[chosen]))
                steps[place] -= times * steps[chosen]
                columns[start + place] = [
                    a - times * b for a, b in zip(columns[start + place], columns[start + chosen], strict=True)
                ]
    only = next((place for place, step in enumerate(steps) if step), None)
    if only is None:
        return False
    columns[start], columns[start + only] = columns[start + only], columns[start]
    return True
