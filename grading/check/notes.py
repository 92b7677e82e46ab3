"""Notes: what a check has to say, each with its kind, its place, both numbers, and a remedy."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from grading.document.pattern import Pattern
from grading.errors import Fault

OF_THE_WHOLE = frozenset(
    {
        "unused_dimension",
        "unused_line",
        "unused_material",
        "unused_notch",
        "unused_stock",
        "limit_out_of_reach",
        "rule_follows",
    }
)
"""Kinds that are true of a pattern with options only if they are true whatever is chosen."""


@dataclass(frozen=True)
class Note(Fault):
    """One thing that a check found. A remark is worth a look; all others must be mended."""

    kind: str
    is_remark: bool = False


def fault(kind: str, path: str, problem: str, remedy: str) -> Note:
    """Something that must be mended."""
    return Note(path, problem, remedy, kind)


def remark(kind: str, path: str, problem: str, remedy: str) -> Note:
    """Something that is worth a look."""
    return Note(path, problem, remedy, kind, True)


def fault_note(kind: str, found: Fault) -> Note:
    """A fault that another stage found."""
    return Note(found.path, found.problem, found.remedy, kind)


def listed(names: Iterable[str], most: int = 8) -> str:
    """Names in a sentence: a, b and c; of many the first ones and how many there are."""
    all_names = list(dict.fromkeys(names))
    if len(all_names) > most:
        return f"{', '.join(all_names[:most])} and {len(all_names) - most} more"
    if len(all_names) < 2:
        return "".join(all_names)
    return f"{', '.join(all_names[:-1])} and {all_names[-1]}"


def merged(found: Sequence[tuple[str, frozenset[str], Iterable[Note]]]) -> tuple[Note, ...]:
    """The notes of all combinations of options, each told once.

    `found` has for each combination how a text names it ("" without options), the paths of the parts that are there,
    and its notes. A note that is not found in every combination names the first one that has it.
    """
    by_key: dict[tuple[str, str, str], list[int]] = {}
    first: dict[tuple[str, str, str], Note] = {}
    for number, (_, _, notes) in enumerate(found):
        for note in notes:
            key = (note.kind, note.path, note.problem)
            first.setdefault(key, note)
            places = by_key.setdefault(key, [])
            if not places or places[-1] != number:
                places.append(number)
    kept = []
    for key, places in by_key.items():
        note = first[key]
        there = [number for number, (_, parts, _) in enumerate(found) if _part_of(note.path) in parts]
        if note.kind in OF_THE_WHOLE and len(places) < len(there):
            continue
        told = "" if len(places) == len(found) else found[places[0]][0]
        kept.append(replace(note, problem=note.problem + told))
    return tuple(kept)


def _part_of(path: str) -> str:
    return ".".join(path.split(".")[:2])


def parts_of(pattern: Pattern) -> frozenset[str]:
    """The paths of the named parts of a pattern, such as "pieces.panel"."""
    sections = ("dimensions", "stock", "materials", "pieces", "seams", "coverings", "findings", "rules")
    return frozenset(f"{section}.{name}" for section in sections for name in getattr(pattern, section))
