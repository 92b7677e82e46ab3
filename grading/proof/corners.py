"""Corners that sewing brings together, as sets that are merged seam by seam."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from fractions import Fraction

from grading.model import Model
from grading.model.seams import Seam, SeamEntry

Corner = Hashable


class Corners:
    """Which corners of uses and zips are the same point of the bag, after the seams sewn so far."""

    def __init__(self, model: Model, values: Mapping[str, Fraction]) -> None:
        self._model, self._values = model, values
        self._leader: dict[Corner, Corner] = {}

    def meet(self, before: SeamEntry, after: SeamEntry) -> bool:
        """Whether the end of one entry is the start of the next."""
        return self._find(self._end(before)) == self._find(self._start(after))

    def sew(self, seam: Seam) -> None:
        """Bring the starts of both sides together, and their ends."""
        self._merge(self._start(seam.join[0]), self._start(seam.to[0]))
        self._merge(self._end(seam.join[-1]), self._end(seam.to[-1]))

    def _start(self, entry: SeamEntry) -> Corner:
        return self._corner(entry, at_start=entry.forward)

    def _end(self, entry: SeamEntry) -> Corner:
        return self._corner(entry, at_start=not entry.forward)

    def _corner(self, entry: SeamEntry, *, at_start: bool) -> Corner:
        if entry.is_line:
            return entry.use, "line", entry.edge.name, at_start
        place = (entry.start if at_start else entry.end).enclosure(self._values)
        number = self._edges(entry.use).index(entry.edge.name)
        if place.low == place.high == 0:
            return entry.use, number
        if place == entry.edge.length.enclosure(self._values):
            return entry.use, (number + 1) % len(self._edges(entry.use))
        return entry.use, entry.edge.name, place.low

    def _edges(self, use: str) -> tuple[str, ...]:
        return self._model.draft.index.edges_of(use) or ()

    def _find(self, corner: Corner) -> Corner:
        while corner in self._leader:
            corner = self._leader[corner]
        return corner

    def _merge(self, one: Corner, two: Corner) -> None:
        one, two = self._find(one), self._find(two)
        if one != two:
            self._leader[one] = two
