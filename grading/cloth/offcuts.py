"""Offcuts: rectangles of cloth that no piece takes and that are worth keeping."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from grading.cloth.layout import Arrangement, Free
from grading.cloth.stuff import Stuff

MOST_OFFCUTS = 20
"""How many are told of at most, the largest."""


@dataclass(frozen=True)
class Span:
    """A rectangle by its sides."""

    left: Fraction
    low: Fraction
    right: Fraction
    high: Fraction

    @property
    def area(self) -> Fraction:
        """Its area."""
        return (self.right - self.left) * (self.high - self.low)

    def overlaps(self, other: Span) -> bool:
        """Whether the two have more than an edge in common."""
        return self.left < other.right and other.left < self.right and self.low < other.high and other.low < self.high

    def contains(self, other: Span) -> bool:
        """Whether the other lies within it."""
        return (
            self.left <= other.left and other.right <= self.right and self.low <= other.low and other.high <= self.high
        )

    def without(self, other: Span) -> Iterator[Span]:
        """The greatest rectangles of it that the other leaves; they overlap at its corners."""
        if self.left < other.left:
            yield Span(self.left, self.low, other.left, self.high)
        if other.right < self.right:
            yield Span(other.right, self.low, self.right, self.high)
        if self.low < other.low:
            yield Span(self.left, self.low, self.right, other.low)
        if other.high < self.high:
            yield Span(self.left, other.high, self.right, self.high)


def offcuts_of(stuff: Stuff, arrangement: Arrangement, least: Fraction) -> tuple[Free, ...]:
    """Free rectangles of at least this measure both ways, apart from each other, the largest taken first.

    A gap about each piece is not counted as free. Of sheets they are told for each.
    """
    if arrangement.sheets is None:
        return tuple(_free(stuff, arrangement, arrangement.length, None, least))
    length = stuff.sheet or Fraction(0)
    return tuple(
        free for sheet in range(arrangement.sheets) for free in _free(stuff, arrangement, length, sheet, least)
    )


def _free(
    stuff: Stuff, arrangement: Arrangement, length: Fraction, sheet: int | None, least: Fraction
) -> Iterator[Free]:
    gap = stuff.gap
    taken = [
        Span(laid.x - gap, laid.y - gap, laid.x + laid.across + gap, laid.y + laid.along + gap)
        for laid in arrangement.pieces
        if laid.sheet == sheet
    ]
    free = greatest_free(Span(stuff.start, Fraction(0), stuff.start + stuff.width, length), taken)
    for _ in range(MOST_OFFCUTS):
        fit = [span for span in free if span.right - span.left >= least and span.high - span.low >= least]
        if not fit:
            return
        best = max(fit, key=lambda span: (span.area, -span.low, -span.left))
        yield Free(best.left, best.low, best.right - best.left, best.high - best.low, sheet)
        free = _after(free, best)


def greatest_free(whole: Span, taken: Iterable[Span]) -> list[Span]:
    """The rectangles within a whole that overlap nothing taken and are part of no larger such one."""
    free = [whole]
    for span in taken:
        free = _after(free, span)
    return free


def _after(free: list[Span], taken: Span) -> list[Span]:
    kept = [span for span in free if not span.overlaps(taken)]
    parts = [part for span in free if span.overlaps(taken) for part in span.without(taken)]
    new = [
        part
        for place, part in enumerate(parts)
        if not any(span.contains(part) for span in kept)
        and not any(other.contains(part) and (other != part or number < place) for number, other in enumerate(parts))
    ]
    return kept + new
