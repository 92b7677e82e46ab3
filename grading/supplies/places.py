"""Places of the bag at which layers lie on each other, as bulk is told of."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from grading.grade import Grade
from grading.model.seams import Side
from grading.supplies.plies import Plies

PlaceKind = Literal["seam", "crossing", "hem", "binding"]


@dataclass(frozen=True)
class Remedy:
    """What makes a place thinner, and how thick it then is, stitched, in mm."""

    says: str
    thickness: Fraction


@dataclass(frozen=True)
class Place:
    """A place in a seam, hem or binding: its layers and their thickness in mm; `over` by how much the machine's lift is
    less, None where it is not.
    """

    name: str
    kind: PlaceKind
    where: str
    plies: Plies
    thickness: Fraction
    over: Fraction | None
    remedies: tuple[Remedy, ...]


@dataclass(frozen=True)
class Run:
    """One side of a seam at one size: for each entry, where it starts and ends along the side, in mm."""

    side: Side
    ends: tuple[tuple[Fraction, Fraction], ...]

    @property
    def length(self) -> Fraction:
        """The length of the side."""
        return self.ends[-1][1]

    def entry_at(self, place: Fraction) -> int:
        """The number of the entry at a place along the side."""
        return next((number for number, (_, end) in enumerate(self.ends) if place <= end), len(self.side) - 1)


def run_of(grade: Grade, side: Side) -> Run:
    """A side with the places of its entries."""
    ends, before = [], Fraction(0)
    for entry in side:
        after = before + entry.length.enclosure(grade.values).high
        ends.append((before, after))
        before = after
    return Run(side, tuple(ends))


def place_on_edge(grade: Grade, run: Run, number: int, place: Fraction) -> Fraction:
    """How far along its edge, from the edge's start, an entry is at a place along the side."""
    entry, (start, end) = run.side[number], run.ends[number]
    if entry.forward:
        return entry.start.enclosure(grade.values).low + place - start
    return entry.start.enclosure(grade.values).low + end - place
