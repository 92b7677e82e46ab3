"""What an operation cannot do, as errors that carry what they are about.

OperationError
├── Missing            nothing of that name in this workshop
├── StaleHead          the pattern has moved on since it was read
├── DraftMoved         a draft that was changed since it was read
├── NothingToGoTo      a draft with nothing to take back, or to make again
├── NoPrecondition     a change that does not say which head it was made from
├── DocumentRefused    a pattern document with faults
├── RequestRefused     a request with faults, or input that cannot be judged
├── SizeConflict       a size that the pattern's relations do not allow
├── RulerTooCoarse     a ruler on which the joins cannot be kept
├── DoesNotFit         a piece that is wider than its cloth
├── GradeOutdated      a grade that does not come out the same any more
└── TooMuchWork        not done within the time limit
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


@dataclass(frozen=True)
class Fault:
    """Where something is wrong, what, and what would be right."""

    path: str
    problem: str
    remedy: str


@dataclass(frozen=True)
class Relation:
    """A relation of a pattern in a maker's words: its name, what it says, why it is there, where it is written."""

    id: str
    says: str
    because: str
    path: str


class OperationError(Exception):
    """The root of what operations refuse."""


class Missing(OperationError):
    """Nothing of this kind has this name; `kind` is a word such as `pattern`."""

    def __init__(self, kind: str, name: str) -> None:
        self.kind, self.name = kind, name
        super().__init__(f"There is no {kind} {name!r} in this workshop.")


class StaleHead(OperationError):
    """The head that a change was made from is not the pattern's head any more."""

    def __init__(self, pattern: str, head: str) -> None:
        self.pattern, self.head = pattern, head
        super().__init__(f"The head of this pattern is now {head}.")


class DraftMoved(OperationError):
    """A draft that was changed since it was read; `document` is what it is now, as JSON text."""

    def __init__(self, version: int, says: str, document: str) -> None:
        self.version, self.says, self.document = version, says, document
        super().__init__(f"This draft was changed since you read it; the last change was: {says}.")


class NothingToGoTo(OperationError):
    """A draft with no state before this one to go back to, or none after it."""

    def __init__(self, way: str) -> None:
        self.way = way
        super().__init__("Nothing is left to take back." if way == "undo" else "Nothing was taken back.")


class NoPrecondition(OperationError):
    """A change to a pattern that does not name the head it was made from."""


class _Faulty(OperationError):
    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(f"{fault.path}: {fault.problem}" for fault in self.faults))


class DocumentRefused(_Faulty):
    """A pattern document that cannot be used; `faults` lists all of its faults."""


class RequestRefused(_Faulty):
    """A request that cannot be used; `faults` lists all of its faults."""


class SizeConflict(OperationError):
    """Relations that cannot hold together at the size asked for; without any one of them the others would.

    `shown` is plain data: what shows it, what each relation needs and could come to, remedies, and further sets.
    """

    def __init__(self, relations: Sequence[Relation], shown: Mapping[str, Any] | None = None) -> None:
        self.relations, self.shown = tuple(relations), dict(shown or {})
        super().__init__("; ".join(relation.says for relation in self.relations))


class RulerTooCoarse(OperationError):
    """A ruler on which these joins cannot be kept, and what would make it right."""

    def __init__(self, relations: Sequence[Relation], ruler: str, remedy: str) -> None:
        self.relations, self.ruler, self.remedy = tuple(relations), ruler, remedy
        super().__init__(f"On a ruler of {ruler} these joins cannot be kept.")


class DoesNotFit(_Faulty):
    """A piece that is wider than the cloth it is cut from, with what would help."""


class GradeOutdated(OperationError):
    """A grade that an older version made and this one makes otherwise."""


class TooMuchWork(OperationError):
    """Work that was not done within the time limit."""
