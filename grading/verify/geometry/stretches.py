"""Stretches: pieces of lines and curves between points of control, in whole numbers of 2**-PLACES mm.

A line, a cubic, a quarter of an ellipse and an arc are each a polynomial curve over a weight: its points lie between
its points of control, as do those of its halves between theirs (de Casteljau). Each point is off by less than
ROUNDING units, however often it is halved.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from grading.verify.exact.enclosures import near_root
from grading.verify.exact.fraction import Fraction
from grading.verify.geometry.bends import Bend, Bow, Oval, Spot
from grading.verify.unreadable import refuse

PLACES = 128
ONE = 1 << PLACES
ROUNDING = 1 << 30
DEEPEST = 60
MOST_NODES = 60
# A point with its weight: x and y times the weight, and the weight.
Node = tuple[int, int, int]
Dot = tuple[int, int]


@dataclass(frozen=True)
class Stretch:
    """A line or curve, or a piece of one; `weighted`: the weights differ, `depth`: how often it was halved."""

    nodes: tuple[Node, ...]
    weighted: bool
    depth: int = 0

    @cached_property
    def dots(self) -> tuple[Dot, ...]:
        """The points of control."""
        if not self.weighted:
            return tuple((x, y) for x, y, _ in self.nodes)
        return tuple((x * ONE // weight, y * ONE // weight) for x, y, weight in self.nodes)

    @cached_property
    def box(self) -> tuple[int, int, int, int]:
        """Least and greatest x, least and greatest y."""
        across, along = [x for x, _ in self.dots], [y for _, y in self.dots]
        return min(across), max(across), min(along), max(along)

    @property
    def extent(self) -> int:
        """The greater of the width and the height of its box."""
        left, right, bottom, top = self.box
        return max(right - left, top - bottom)

    @cached_property
    def halves(self) -> tuple[Stretch, Stretch]:
        """The first and the second half."""
        row, first, last = list(self.nodes), [self.nodes[0]], [self.nodes[-1]]
        while len(row) > 1:
            row = [
                ((x + u) >> 1, (y + v) >> 1, (weight + other) >> 1) for (x, y, weight), (u, v, other) in pairwise(row)
            ]
            first.append(row[0])
            last.append(row[-1])
        depth = self.depth + 1
        return Stretch(tuple(first), self.weighted, depth), Stretch(tuple(last[::-1]), self.weighted, depth)

    def is_within(self, least: Spot, most: Spot) -> bool:
        """Whether it shows that no point of it leaves a box."""
        low = [-(-value.numerator * ONE // value.denominator) + ROUNDING for value in least]
        high = [value.numerator * ONE // value.denominator - ROUNDING for value in most]

        def inside(dot: Dot) -> bool:
            return low[0] <= dot[0] <= high[0] and low[1] <= dot[1] <= high[1]

        waiting = [self]
        while waiting:
            stretch = waiting.pop()
            if all(inside(dot) for dot in stretch.dots):
                continue
            if stretch.depth >= DEEPEST or not (inside(stretch.dots[0]) and inside(stretch.dots[-1])):
                return False
            waiting += stretch.halves
        return True


def stretch_of(start: Spot, end: Spot, turns: str | None, bend: Bend | None) -> Stretch:
    """Return a line, quarter arc or bend as one stretch."""
    if isinstance(bend, Bow):
        return Stretch(tuple(_node(spot, Fraction(1)) for spot in (start, bend.first, bend.second, end)), False)
    if turns is None:
        return Stretch((_node(start, Fraction(1)), _node(end, Fraction(1))), False)
    if bend is None or isinstance(bend, Oval):
        return _quarter(start, end, turns)
    return _arc(start, end, turns, bend.rise or Fraction(0))


def _quarter(start: Spot, end: Spot, turns: str) -> Stretch:
    """Return (1 - t²) of the one half axis and 2t of the other, over 1 + t²: from t = 0 to 1."""
    across, along = end[0] - start[0], end[1] - start[1]
    # The tangents at the ends are level and upright: the corner where they meet is opposite the centre.
    level_first = (across * along > 0) == (turns == "right")
    corner = (start[0], end[1]) if level_first else (end[0], start[1])
    return Stretch((_node(start, Fraction(1)), _node(corner, Fraction(1)), _node(end, Fraction(2))), True)


def _arc(start: Spot, end: Spot, turns: str, rise: Fraction) -> Stretch:
    """Return the arc from t = -1 to 1: middle of the chord + (half of it (1 + k) t + rise (1 - t²)) / (1 + k t²).

    k is 4 rise² / chord². The middle one of three points of control lies far out where the arc is nearly half a
    circle: the same curve has points of control of a higher degree, whose weights are all above 0.
    """
    across, along = end[0] - start[0], end[1] - start[1]
    square = across * across + along * along
    chord = abs(across + along) if 0 in (across, along) else near_root(square)
    k = 4 * rise * rise / square
    side = rise / chord * (1 if turns == "right" else -1)
    out = -along * side, across * side
    middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    first, last = ([spot[0] * (1 + k), spot[1] * (1 + k), 1 + k] for spot in (start, end))
    row = [first, [middle[0] * (1 - k) + 2 * out[0], middle[1] * (1 - k) + 2 * out[1], 1 - k], last]
    while len(row) == 3 or (min(node[2] for node in row) <= 0 and len(row) < MOST_NODES):
        row = _raised(row)
    if min(node[2] for node in row) <= 0:
        refuse("an arc turns by nearly a full circle, at this size")
    return Stretch(tuple((_fixed(x), _fixed(y), _fixed(weight)) for x, y, weight in row), True)


def _raised(row: list[list[Fraction]]) -> list[list[Fraction]]:
    """Return the points of control of the same curve in the next higher degree."""
    degree = len(row)
    between = [
        [(index * before + (degree - index) * after) / degree for before, after in zip(first, second, strict=True)]
        for index, (first, second) in enumerate(pairwise(row), 1)
    ]
    return [row[0], *between, row[-1]]


def _node(spot: Spot, weight: Fraction) -> Node:
    return _fixed(spot[0] * weight), _fixed(spot[1] * weight), _fixed(weight)


def _fixed(value: Fraction) -> int:
    return value.numerator * ONE // value.denominator
