"""Sizes that cannot be graded, and claims of a graded size that fail."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grading.check.attempts import Attempt
from grading.check.notes import Note, fault, fault_note, listed
from grading.errors import Conflict, DocumentFaults, Fault, RelationInConflict, RequestFaults, RulerOutOfReach
from grading.proof import Claim

BASE = "base"
OF_A_REQUEST = ("fixed:", "asked:", "kept:", "hold:", "within:")
"""How relations that only one size has are named."""
TOLD_ELSEWHERE = {
    "fate": frozenset({"unfinished_edge", "finished_twice", "open_part", "not_bound", "bound_twice", "bound_unsaid"}),
    "order": frozenset({"no_step", "two_steps", "out_of_order"}),
    "chain": frozenset({"not_connected"}),
    "allowance": frozenset({"unequal_allowances"}),
}
"""Kinds of claims that other checks explain better, by the kinds of notes that do."""


def size_notes(attempts: Sequence[Attempt]) -> Iterator[Note]:
    """Why sizes are refused; what several are refused for is told once."""
    conflicts: dict[tuple[str, ...], list[tuple[str, Conflict]]] = {}
    for attempt in attempts:
        refused = attempt.refused
        if isinstance(refused, Conflict):
            key = tuple(sorted(f"{relation.id}: {relation.says}" for relation in refused.relations))
            conflicts.setdefault(key, []).append((attempt.size, refused))
        elif isinstance(refused, RulerOutOfReach):
            yield _ruler(attempt.size, refused)
        elif isinstance(refused, RequestFaults):
            yield from (_asked(attempt.size, found) for found in refused.faults)
        elif isinstance(refused, DocumentFaults):
            yield from (fault_note("undecided_dimension", found) for found in refused.faults)
        elif refused is not None:
            yield fault("size_refused", _path(attempt.size, ()), str(refused), "ask for another size")
    for found in conflicts.values():
        yield _conflict([size for size, _ in found], found[0][1])


def _path(size: str, relations: Sequence[RelationInConflict]) -> str:
    """Where a size is written; the base size is the draft's own measures."""
    if size != BASE:
        return f"sizes.{size}"
    return relations[0].path if relations else "dimensions"


def _said(relations: Sequence[RelationInConflict]) -> str:
    return "; ".join(f"{relation.says} ({relation.because})" for relation in relations)


def _conflict(sizes: Sequence[str], conflict: Conflict) -> Note:
    lasting = BASE in sizes and not any(relation.id.startswith(OF_A_REQUEST) for relation in conflict.relations)
    which = "in no size can" if lasting else f"in the {'size' if len(sizes) == 1 else 'sizes'} {listed(sizes)} cannot"
    path = conflict.relations[0].path if lasting and conflict.relations else _path(sizes[0], conflict.relations)
    return fault(
        "impossible" if lasting else "size_conflict",
        path,
        f"{which} all of these hold: {_said(conflict.relations)}",
        _remedy(conflict, lasting),
    )


def _remedy(conflict: Conflict, lasting: bool) -> str:
    """Changes that were tried and do, the nearest first."""
    tried = [remedy.change for remedy in conflict.remedies[:3]]
    if tried:
        return "; or ".join(tried)
    return "loosen one of them" if lasting else "loosen one of them, or ask for another size"


def _ruler(size: str, refused: RulerOutOfReach) -> Note:
    return fault(
        "ruler_out_of_reach",
        _path(size, refused.relations),
        f"in the size {size}, on a ruler of {refused.ruler}, these cannot be measured and joined: "
        f"{_said(refused.relations)}",
        refused.remedy,
    )


def _asked(size: str, found: Fault) -> Note:
    inner = found.path.removeprefix("request").lstrip(".")
    return fault("size_request", ".".join(part for part in ("sizes", size, inner) if part), found.problem, found.remedy)


def claim_notes(attempts: Sequence[Attempt], told: frozenset[str]) -> Iterator[Note]:
    """Claims that do not hold, but for those that a note of the kinds `told` has explained already."""
    failing: dict[tuple[str, str], list[tuple[str, Claim]]] = {}
    for attempt in attempts:
        for claim in attempt.claims:
            if not claim.holds and not TOLD_ELSEWHERE.get(claim.kind, frozenset()) & told:
                failing.setdefault((claim.kind, claim.about), []).append((attempt.size, claim))
    graded = sum(attempt.grade is not None for attempt in attempts)
    for found in failing.values():
        sizes, claim = listed(size for size, _ in found), found[0][1]
        where = "in every size" if len(found) == graded else f"in {sizes}"
        yield fault(
            f"claim_{claim.kind}",
            claim.path,
            f"{where} it does not hold that {claim.says}: it is {claim.left}, not {claim.right}",
            claim.remedy or "correct the draft",
        )
