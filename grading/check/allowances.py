"""Allowances that stay raw where they are seen."""

from __future__ import annotations

from collections.abc import Iterator

from grading.check.bag import Bag, edge_entries
from grading.check.notes import Note, fault
from grading.check.shells import Shells
from grading.model.seams import Seam, SeamEntry

FRAYS = frozenset({"cloth"})
"""Kinds of material whose cut edges fray; common practice, no source."""


def allowance_notes(bag: Bag) -> Iterator[Note]:
    """Plain seams of cloth whose allowances nothing hides, and of which no finish is said.

    Hidden are the allowances of what is laid on another piece, and of shells that are closed all round in the end, as a
    bag and its lining are; a shell with a free edge, or with a zip that shows its inside, hides nothing.
    """
    shells = Shells(bag, bag.model.seams.values())
    for seam in bag.model.seams.values():
        entries = [entry for entry in edge_entries(seam) if entry.use in bag.uses]
        if seam.written.kind != "plain" or not entries or not any(FRAYS & {*bag.materials(e.use)} for e in entries):
            continue
        if all(entry.use in bag.laid_uses for entry in entries) or not any(_allowed(bag, entry) for entry in entries):
            continue
        if not _is_finished(bag, seam) and _shows_inside(bag, shells, entries[0].use):
            edges = ", ".join(dict.fromkeys(entry.reference for entry in entries))
            yield fault(
                "raw_inside",
                f"seams.{seam.name}",
                f"the allowances of {seam.name} ({edges}) stay raw inside, and nothing says so",
                'give the edges of one side a finish: "bound" (with a binding), "overcast", "turned in", or "raw" if '
                "the cloth does not fray",
            )


def _allowed(bag: Bag, entry: SeamEntry) -> bool:
    return bag.uses[entry.use].allowances[entry.edge.name] > 0


def _is_finished(bag: Bag, seam: Seam) -> bool:
    """Whether one side is finished all along; a binding that wraps both is written on one."""
    return any(
        all(entry.use in bag.uses and bag.settings((entry.use, entry.edge.name)).finish is not None for entry in side)
        for side in (seam.join, seam.to)
        if not any(entry.is_line for entry in side)
    )


def _shows_inside(bag: Bag, shells: Shells, use: str) -> bool:
    shell = shells.around(use)
    if any(not gap.waiting for gap in shells.gaps(shell)):
        return True
    return any(_joined_once(bag, name) for name in shells.zips(shell))


def _joined_once(bag: Bag, zip_name: str) -> bool:
    """Whether only the outside is sewn to a zip, and no lining that would hide what is behind."""
    return all(len(bag.joined.get((zip_name, edge), [])) < 2 for edge in ("top", "bottom"))
