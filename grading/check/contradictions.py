"""Seams and rules that contradict each other whatever the size."""

from __future__ import annotations

from collections.abc import Iterator

from grading.check.bag import Bag
from grading.check.notes import Note, fault, listed
from grading.errors import Conflict, RelationInConflict
from grading.solve import compile_relations

MOST_CONTRADICTIONS = 20
"""How many independent contradictions are looked for."""


def contradiction_notes(bag: Bag) -> Iterator[Note]:
    """Independent sets of equations that cannot hold together; none of a set can be spared."""
    relations = list(bag.model.relations)
    for _ in range(MOST_CONTRADICTIONS):
        try:
            compile_relations(tuple(bag.model.draft.base), relations)
        except Conflict as conflict:
            yield _note(bag, conflict.relations)
            gone = {relation.id for relation in conflict.relations}
            relations = [relation for relation in relations if relation.id not in gone]
        else:
            return


def _note(bag: Bag, together: tuple[RelationInConflict, ...]) -> Note:
    said = "; ".join(f"{relation.says} ({relation.path})" for relation in together)
    sides = [_sides(bag, relation.id.removeprefix("seam:")) for relation in together if relation.id.startswith("seam:")]
    shown = f". In the draft {listed(sides)}" if sides else ""
    what = "this cannot hold" if len(together) == 1 else "these cannot all hold, each of them could without the others"
    return fault(
        "contradiction",
        together[0].path,
        f"whatever the size, {what}: {said}{shown}",
        "correct one of them, or give one side a dimension that is decided by its seam",
    )


def _sides(bag: Bag, name: str) -> str:
    seam = bag.model.seams[name]
    return f"{name} joins {bag.text(seam.join_length)} to {bag.text(seam.to_length)}"
