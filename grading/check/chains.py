"""Sides of seams that run on from one edge to the next, by what is sewn before; and their allowances."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from grading.check.bag import Bag, edge_entries, first, step_name
from grading.check.notes import Note, fault
from grading.model.seams import Seam, SeamEntry
from grading.proof.corners import Corners


def chain_notes(bag: Bag) -> Iterator[Note]:
    """Entries of a side that nothing connects when the seam is sewn, and unequal allowances of a plain seam."""
    order = _made_in_order(bag)
    sewn = Corners(bag.model, bag.values)
    for seam in order:
        for key, side in (("join", seam.join), ("to", seam.to)):
            pairs = [*pairwise(side), *([(side[-1], side[0])] if seam.written.closed else [])]
            if not pairs:
                continue
            corners = sewn if bag.steps else _sewn(bag, order, seam)
            loose = next((pair for pair in pairs if not corners.meet(*pair)), None)
            if loose is not None:
                later = bool(bag.steps) and all(_sewn(bag, order, seam).meet(*pair) for pair in pairs)
                yield _unconnected(bag, seam, key, loose, later)
        sewn.sew(seam)
    for seam in bag.model.seams.values():
        yield from _unequal_allowances(bag, seam)


def _made_in_order(bag: Bag) -> list[Seam]:
    if not bag.steps:
        return list(bag.model.seams.values())
    names = dict.fromkeys(name for step in bag.steps for name in step.makes)
    return [bag.model.seams[name] for name in names]


def _sewn(bag: Bag, seams: Sequence[Seam], but: Seam) -> Corners:
    corners = Corners(bag.model, bag.values)
    for seam in seams:
        if seam is not but:
            corners.sew(seam)
    return corners


def _unconnected(bag: Bag, seam: Seam, key: str, loose: tuple[SeamEntry, SeamEntry], later: bool) -> Note:
    number = first(bag.made[seam.name])
    when = "" if number is None else f" when it is sewn in {step_name(number)}"
    return fault(
        "not_connected",
        f"seams.{seam.name}.{key}",
        f"{loose[0].reference} does not run on to {loose[1].reference} in the seam {seam.name}{when}",
        "make the seam that brings these two together in an earlier step"
        if later
        else "turn an edge round (forward, backward), change their order, or add the seam between them",
    )


def _unequal_allowances(bag: Bag, seam: Seam) -> Iterator[Note]:
    if seam.written.kind != "plain":
        return
    found = {
        bag.uses[entry.use].allowances[entry.edge.name]: entry.reference
        for entry in edge_entries(seam)
        if entry.use in bag.uses
    }
    if len(found) > 1:
        shown = ", ".join(f"{reference} {bag.model.ruler.text(value)}" for value, reference in found.items())
        yield fault(
            "unequal_allowances",
            f"seams.{seam.name}",
            f"the edges of the plain seam {seam.name} have different allowances: {shown}",
            "give these edges one allowance, or make the seam of another kind",
        )
