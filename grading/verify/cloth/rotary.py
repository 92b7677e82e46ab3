"""Cutting with a rotary cutter: strips across the cloth, cut into columns, cut into pieces."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from grading.verify.cloth.cloths import Cloth
from grading.verify.cloth.laid import Lain, one_claim
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import PRINTED_DIGITS, length_or_none
from grading.verify.printing.printed import shown
from grading.verify.verdict import Claim


@dataclass(frozen=True)
class Span:
    """From where to where something goes, one way."""

    start: Fraction
    size: Fraction

    @property
    def end(self) -> Fraction:
        """Where it ends."""
        return self.start + self.size

    def holds(self, start: Fraction, end: Fraction) -> bool:
        """Whether it goes from at most the start to at least the end."""
        return self.start <= start and end <= self.end


class Misshapen(Exception):
    """Strips or columns that are not of their form; the text says where."""


def strips_claim(cloth: Cloth, lain: Sequence[Lain], length: Fraction, given: Any) -> Claim:
    """Return the claim that straight cuts across, along and across again free every piece."""

    def faults() -> Iterator[str]:
        try:
            yield from _faults(cloth, {item.index: item for item in lain}, length, given)
        except Misshapen as error:
            yield f"{cloth.role}: {error}"

    says = f"{cloth.role}: straight cuts free every piece: strips, then columns, then pieces"
    return one_claim("strips", cloth.role, f"{len(lain)} pieces", faults(), says)


def _faults(cloth: Cloth, lain: Mapping[int, Lain], length: Fraction, given: Any) -> Iterator[str]:
    cut: list[int] = []
    strips = [(_span(entry, "y", "along", "strips"), entry) for entry in _listed(given, "strips")]
    yield from _crowded([span for span, _ in strips], cloth, "strips")
    for strip, entry in strips:
        if not Span(Fraction(0), length).holds(strip.start, strip.end):
            yield f"{cloth.role}: a strip runs beyond the ends of the cloth that is laid"
        columns = [(_span(item, "x", "across", "columns"), item) for item in _listed(entry.get("columns"), "columns")]
        yield from _crowded([span for span, _ in columns], cloth, "columns")
        for column, item in columns:
            if not Span(cloth.left, cloth.width).holds(column.start, column.end):
                yield f"{cloth.role}: a column runs over the edge of the cloth"
            places = _listed(item.get("pieces"), "pieces")
            cut += places
            if any(type(place) is not int or place not in lain for place in places):
                yield f"{cloth.role}: a column names no piece of the layout"
                return
            yield from _in_column(cloth, strip, column, [lain[place] for place in places])
    if sorted(cut) != sorted(lain):
        yield f"{cloth.role}: not every piece is cut from one column: {len(cut)} are named, and there are {len(lain)}"


def _in_column(cloth: Cloth, strip: Span, column: Span, pieces: Sequence[Lain]) -> Iterator[str]:
    for piece in pieces:
        if not column.holds(piece.x, piece.right) or not strip.holds(piece.y, piece.end):
            yield f"{cloth.role}: {piece.title} does not lie in its column of its strip"
    yield from _crowded([Span(piece.y, piece.along) for piece in pieces], cloth, "pieces of a column")


def _crowded(spans: Sequence[Span], cloth: Cloth, what: str) -> Iterator[str]:
    for first, second in pairwise(sorted(spans, key=lambda span: span.start)):
        if first.end + cloth.gap > second.start:
            yield f"{cloth.role}: {what} overlap, or lie nearer than the gap"


def _listed(value: Any, what: str) -> list[Any]:
    if not isinstance(value, (list, tuple)) or not value:
        msg = f"{what} are not listed ({shown(value)})"
        raise Misshapen(msg)
    return list(value)


def _span(entry: Any, start: str, size: str, what: str) -> Span:
    fields = entry if isinstance(entry, dict) else {}
    first, second = (length_or_none(fields.get(key), PRINTED_DIGITS) for key in (start, size))
    if first is None or second is None or second <= 0 or len(fields) != 3:
        msg = f"one of the {what} is not of its form"
        raise Misshapen(msg)
    return Span(first, second)
