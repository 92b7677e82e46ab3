"""Chains: that the entries of a seam's side follow one another, round corners that are already sewn together."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from grading.verify.document.pattern import Pattern
from grading.verify.document.seams import Seam
from grading.verify.document.sides import Entry, Side
from grading.verify.exact.forms import Form
from grading.verify.verdict import Claim

Corner = tuple[Any, ...]
JOIN, TO = "join", "to"


class Corners:
    """Corners that are one and the same place: sets that grow as seams are made, and that can be taken apart again."""

    def __init__(self) -> None:
        self._parents: dict[Corner, Corner] = {}
        self._sizes: dict[Corner, int] = {}
        self._joined: list[Corner] = []

    def root(self, corner: Corner) -> Corner:
        """Return the corner that stands for all that were brought together with this one."""
        while (parent := self._parents.get(corner)) is not None:
            corner = parent
        return corner

    def unite(self, first: Corner, second: Corner) -> None:
        """Bring two corners together; the smaller set joins the larger, so that no way to a root is long."""
        small, large = self.root(first), self.root(second)
        if small == large:
            return
        sizes = self._sizes.get(small, 1), self._sizes.get(large, 1)
        if sizes[0] > sizes[1]:
            small, large = large, small
        self._parents[small] = large
        self._sizes[large] = sum(sizes)
        self._joined.append(small)

    def are_one(self, first: Corner, second: Corner) -> bool:
        """Whether both were brought together."""
        return self.root(first) == self.root(second)

    @property
    def mark(self) -> int:
        """How far things have come, to return to."""
        return len(self._joined)

    def return_to(self, mark: int) -> None:
        """Take apart what was brought together since the mark."""
        while len(self._joined) > mark:
            small = self._joined.pop()
            large = self._parents.pop(small)
            self._sizes[large] -= self._sizes.get(small, 1)


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
    use, (start, end) = entry.use.name, entry.corners
    first: Corner = (use, start)
    last: Corner = (use, end)
    if entry.start is not None and not entry.start.is_zero:
        first = _inside(entry, entry.start)
    if entry.end is not None and not (entry.end - entry.whole).is_zero:
        last = _inside(entry, entry.end)
    return (first, last) if entry.forward else (last, first)


def _inside(entry: Entry, at: Form) -> Corner:
    return (entry.use.name, entry.name, at.identity)


def chain_claims(pattern: Pattern) -> Iterator[Claim]:
    """Yield a claim for each side that has several entries or is closed, in the order in which seams are made.

    A seam of no step is judged with all other seams made.
    """
    ends, corners = _Ends(), Corners()
    order = list(dict.fromkeys(title for step in pattern.steps for title in step.makes))
    for title in order:
        seam = pattern.seams[title]
        yield from _seam_claims(seam, ends, corners)
        _sew(seam, ends, corners)
    made = set(order)
    yield from _with_all_others([seam for title, seam in pattern.seams.items() if title not in made], ends, corners)


def _with_all_others(seams: list[Seam], ends: _Ends, corners: Corners) -> Iterator[Claim]:
    """Judge each seam with all others made: each half of the list in turn with the other half made."""
    if len(seams) < 2:
        for seam in seams:
            yield from _seam_claims(seam, ends, corners)
        return
    middle, mark = len(seams) // 2, corners.mark
    for now, others in ((seams[:middle], seams[middle:]), (seams[middle:], seams[:middle])):
        for seam in others:
            _sew(seam, ends, corners)
        yield from _with_all_others(now, ends, corners)
        corners.return_to(mark)


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
