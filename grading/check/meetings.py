"""Meetings: which straight or curved stretch of one edge lies against which of another in a seam."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from grading.check.bag import Bag
from grading.model.seams import Seam, SeamEntry, Side
from grading.model.segment import Segment

Vector = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Stretch:
    """One segment of an entry: where it lies along the side (in mm from its start), and which way it is followed."""

    entry: SeamEntry
    segment: Segment
    begins: Fraction
    ends: Fraction
    way: Vector

    @property
    def is_curved(self) -> bool:
        """Whether it is an arc or another curve."""
        return not self.segment.is_line


@dataclass(frozen=True)
class Meeting:
    """Two stretches that lie against each other for some length in mm."""

    join: Stretch
    to: Stretch
    length: Fraction


def stretches(bag: Bag, side: Side) -> list[Stretch]:
    """The stretches of a side in order. Places on curves are enclosed, and taken from below: to search with."""
    found: list[Stretch] = []
    at = Fraction(0)
    for entry in side:
        least, most = bag.at(entry.start).low, bag.at(entry.end).low
        place, inner = Fraction(0), []
        for segment in entry.edge.segments:
            end = place + bag.at(segment.length).low
            if min(end, most) > max(place, least):
                inner.append((segment, max(place, least) - least, min(end, most) - least))
            place = end
        length, sign = most - least, 1 if entry.forward else -1
        for segment, begins, ends in inner if entry.forward else reversed(inner):
            way = (sign * bag.at(segment.across).low, sign * bag.at(segment.along).low)
            span = (begins, ends) if entry.forward else (length - ends, length - begins)
            found.append(Stretch(entry, segment, at + span[0], at + span[1], way))
        at += length
    return found


def side_length(bag: Bag, side: Side) -> Fraction:
    """The length of a side in mm, from below."""
    return sum((bag.at(entry.length).low for entry in side), Fraction(0))


def meetings(bag: Bag, seam: Seam) -> Iterator[Meeting]:
    """What lies against what in a seam; where one side is longer, it is taken to be eased in evenly."""
    join, to = stretches(bag, seam.join), stretches(bag, seam.to)
    whole, other = side_length(bag, seam.join), side_length(bag, seam.to)
    if not whole or not other:
        return
    ratio = whole / other
    for one in join:
        for two in to:
            length = min(one.ends, two.ends * ratio) - max(one.begins, two.begins * ratio)
            if length > 0:
                yield Meeting(one, two, length)
