"""What the stores give out: plain frozen records, without a session behind them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Generic, TypeVar

Item = TypeVar("Item")


@dataclass(frozen=True)
class PatternRecord:
    """A pattern with its head and the number of its revisions."""

    id: str
    name: str
    head: str
    revision_count: int
    created_at: datetime


@dataclass(frozen=True)
class RevisionRecord:
    """One revision; `document` is the pattern document as JSON text."""

    id: str
    pattern: str
    number: int
    created_at: datetime
    document: str


@dataclass(frozen=True)
class RevisionEntry:
    """A revision in a list, without its document."""

    id: str
    pattern: str
    number: int
    created_at: datetime


@dataclass(frozen=True)
class GradeRecord:
    """One grade; `request`, `document`, `proof` and `answer` are JSON texts. Old grades have no answer."""

    id: str
    pattern: str
    revision: str
    engine: str
    request: str
    document: str
    proof: str
    cut_list_csv: str
    created_at: datetime
    answer: str | None = None


@dataclass(frozen=True)
class TesterRecord:
    """What a tester sent in of one size; `content` is JSON text: measures, minutes, remarks."""

    id: str
    pattern: str
    revision: str
    size: str
    cloth: str
    content: str
    created_at: datetime


@dataclass(frozen=True)
class LayoutsRecord:
    """The layouts of one grade; `document` is JSON text."""

    id: str
    grade: str
    engine: str
    document: str
    pieces_csv: str
    created_at: datetime


@dataclass(frozen=True)
class JobRecord:
    """Work on a grade as it was written down last; `request`, `progress` and `problem` are JSON texts.

    `state` is `waiting` until the job has ended, also while it is worked at.
    """

    id: str
    grade: str
    kind: str
    engine: str
    request: str
    state: str
    progress: str
    result: str | None
    problem: str | None
    created_at: datetime


@dataclass(frozen=True)
class WorkshopRecord:
    """A workshop by its name."""

    id: str
    name: str
    created_at: datetime


@dataclass(frozen=True)
class KeyRecord:
    """A key without its secret; it works until it is revoked or expires."""

    id: str
    workshop: str
    says: str
    scopes: frozenset[str]
    created_at: datetime
    expires_at: datetime | None
    revoked_at: datetime | None
    successor: str | None

    def works(self, now: datetime) -> bool:
        """Whether it works at this time."""
        return self.revoked_at is None and (self.expires_at is None or self.expires_at > now)


@dataclass(frozen=True)
class FormRecord:
    """An order form of one pattern, without its token; open until it is revoked."""

    id: str
    pattern: str
    says: str
    origins: tuple[str, ...]
    created_at: datetime
    revoked_at: datetime | None


@dataclass(frozen=True)
class Page(Generic[Item]):
    """A part of a list, and how long the whole list is."""

    items: tuple[Item, ...]
    total: int
