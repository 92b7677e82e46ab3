"""Openings that are left to turn a bag through, and whether a hand passes them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grading.check.attempts import Attempt
from grading.check.bag import Bag
from grading.check.customs import Customs
from grading.check.notes import Note, remark
from grading.check.shells import Shells
from grading.check.turning import turned_uses
from grading.model.seams import Seam


def opening_notes(bag: Bag, attempts: Sequence[Attempt], customs: Customs) -> Iterator[Note]:
    """Parts of seams that are left open for turning, and in some size shorter than is usual."""
    told = set()
    for seam, has_foam in _openings(bag):
        least = customs.least_opening_over_foam if has_foam else customs.least_opening
        lengths = [(a.grade.seams[seam.name].join.high, a.size) for a in attempts if a.grade is not None]
        shortest, size = min(lengths, default=(bag.at(seam.join_length).high, "base"))
        if shortest < least and seam.name not in told:
            told.add(seam.name)
            ruler = bag.model.ruler
            yield remark(
                "small_opening",
                f"seams.{seam.name}",
                f"the bag is turned through {seam.name}, {ruler.text(shortest)} long in the size {size}; a hand"
                f"{' with foam' if has_foam else ''} needs {ruler.text(least)}",
                f"make the opening at least {ruler.text(least)} long, on a straight edge",
            )


def _openings(bag: Bag) -> Iterator[tuple[Seam, bool]]:
    """Parts of edges that are the only opening of what is turned, and whether foam comes through them."""
    shells, last = Shells(bag), None
    for step in bag.steps:
        for name in step.makes:
            shells.sew(bag.model.seams[name])
            last = bag.model.seams[name] if bag.model.seams[name].written.kind != "topstitched" else last
        for use in turned_uses(bag, step, last):
            shell = shells.around(use)
            waiting = [gap.waiting for gap in shells.gaps(shell)]
            if shells.zips(shell) or not all(waiting):
                continue
            seams = {seam.name: seam for some in waiting for seam in some}
            if all(_is_part(seam) for seam in seams.values()):
                has_foam = any(bag.has_foam(name) for name in shell)
                yield from ((seam, has_foam) for seam in seams.values())


def _is_part(seam: Seam) -> bool:
    return any(not entry.is_whole for entry in (*seam.join, *seam.to))
