"""Everything that the library raises on purpose.

SizewrightError
├── DocumentFaults      a pattern document cannot be used; all faults at once
├── RequestFaults       a size request cannot be used; all faults at once
├── Conflict            relations that cannot hold together, an irreducible set of them
├── RulerOutOfReach     no size near the nearest one lies on this ruler with every join kept
└── Stopped             the caller's stop callback asked to end
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong: where (a path in the document), what, and what would be right."""

    path: str
    problem: str
    remedy: str

    def __str__(self) -> str:
        return f"{self.path}: {self.problem} ({self.remedy})"


@dataclass(frozen=True)
class RelationInConflict:
    """A relation as a person meets it in a conflict: its name, what it says, the reason, where it is written."""

    id: str
    says: str
    because: str
    path: str


class SizewrightError(Exception):
    """The root of all errors that the library raises on purpose."""


class DocumentFaults(SizewrightError):
    """A pattern document that cannot be used, with all of its faults."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(str(fault) for fault in self.faults))


class RequestFaults(SizewrightError):
    """A size request that cannot be used, with all of its faults."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(str(fault) for fault in self.faults))


class Conflict(SizewrightError):
    """Relations that cannot hold together; leaving out any one of them would let the others hold."""

    def __init__(self, relations: Iterable[RelationInConflict]) -> None:
        self.relations = tuple(relations)
        listed = "; ".join(f"{relation.says} ({relation.because})" for relation in self.relations)
        super().__init__(f"these cannot all hold: {listed}")


class RulerOutOfReach(SizewrightError):
    """A ruler on which the joins named here cannot be kept, and what would make it right."""

    def __init__(self, relations: Iterable[RelationInConflict], ruler: str, remedy: str) -> None:
        self.relations = tuple(relations)
        self.ruler = ruler
        self.remedy = remedy
        listed = "; ".join(relation.says for relation in self.relations)
        super().__init__(f"on a ruler of {ruler} these cannot be kept: {listed} ({remedy})")


class Stopped(SizewrightError):
    """The caller asked to stop before the size was found."""
