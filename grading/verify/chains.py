"""Chains: that the entries of a seam's side follow one another, round corners that are already sewn together."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from grading.verify.forms import Form
from grading.verify.pattern import Pattern
from grading.verify.seams import Seam
from grading.verify.sides import Entry, Side
from grading.verify.verdict import Claim

Corner = tuple[Any, ...]
JOIN, TO = "join", "to"


class Corners:
    """Corners that are one and the same place: sets that grow as seams are made (union by path halving)."""

    def __init__(self) -> None:
        self._parents: dict[Corner, Corner] = {}

    def root(self, corner: Corner) -> Corner:
        """Return the corner that stands for all that were brought together with this one."""
        parents = self._parents
        while (parent := parents.setdefault(corner, corner)) != corner:
            parents[corner] = parents.setdefault(parent, parent)
            corner = parents[corner]
        return corner

    def unite(self, first: Corner, second: Corner) -> None:
        """Bring two corners together."""
        self._parents[self.root(first)] = self.root(second)

    def are_one(self, first: Corner, second: Corner) -> bool:
        """Whether both were brought together."""
        return self.root(first) == self.root(second)


class _Ends:
    """The first and last corner of entries and sides; equal places of one use are equal corners."""

    def __init__(self) -> None:
        self._known: dict[int, tuple[Corner, Corner]] = {}

    def entry(self, entry: Entry) -> tuple[Corner, Corner]:
        found = self._known.get(id(entry))
        if found is None:
            found = self._known[id(entry)] = _entry_ends(entry)
        return found

    def side(self, side: Side) -> tuple[Corner, Corner]:
        return self.entry(side[0])[0], self.entry(side[-1])[1]


def _entry_ends(entry: Entry) -> tuple[Corner, Corner]:
    use, (start, end) = entry.use.name, entry.places
    first: Corner = (use, start[0].identity, start[1].identity)
    last: Corner = (use, end[0].identity, end[1].identity)
    if entry.start is not None and not entry.start.is_zero:
        first = _inside(entry, entry.start)
    if entry.end is not None and not (entry.end - entry.whole).is_zero:
        last = _inside(entry, entry.end)
    return (first, last) if entry.forward else (last, first)


def _inside(entry: Entry, at: Form) -> Corner:
    return (entry.use.name, entry.name, at.identity)


def chain_claims(pattern: Pattern) -> Iterator[Claim]:
    """Yield a claim for each side that has several entries or is closed, in the order in which seams are made."""
    ends, corners = _Ends(), Corners()
    made = [title for step in pattern.steps for title in step.makes]
    order = list(dict.fromkeys(made))
    later = [title for title in pattern.seams if title not in set(order)]
    if not pattern.steps:
        order, later = [], list(pattern.seams)
    for title in order:
        seam = pattern.seams[title]
        yield from _seam_claims(seam, ends, corners)
        _sew(seam, ends, corners)
    for title in later:
        _sew(pattern.seams[title], ends, corners)
    for title in later:
        yield from _seam_claims(pattern.seams[title], ends, corners)


def _sew(seam: Seam, ends: _Ends, corners: Corners) -> None:
    join, to = ends.side(seam.join), ends.side(seam.to)
    corners.unite(join[0], to[0])
    corners.unite(join[1], to[1])


def _seam_claims(seam: Seam, ends: _Ends, corners: Corners) -> Iterator[Claim]:
    for which, side in ((JOIN, seam.join), (TO, seam.to)):
        followers = list(pairwise(side))
        if seam.closed:
            followers.append((side[-1], side[0]))
        if not followers:
            continue
        broken = [
            (before, after)
            for before, after in followers
            if not corners.are_one(ends.entry(before)[1], ends.entry(after)[0])
        ]
        about = f"chain:{seam.name}:{which}"
        if broken:
            before, after = broken[0]
            left, right = f"end of {_way(before)}", f"start of {_way(after)}"
            says = f"seam {seam.name}: the {left} is not yet at the {right} when the seam is made"
        else:
            left, right = f"end of {_way(side[0])}", f"start of {_way(side[-1])}"
            says = f"seam {seam.name}: its {which} side runs on from edge to edge"
        yield Claim("chain", about, left, right, not broken, says)


def _way(entry: Entry) -> str:
    return f"{entry.title} {'forward' if entry.forward else 'backward'}"
