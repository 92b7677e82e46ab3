"""Patterns and their revisions."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from pydantic import Field

from api.schemas.base import Count, Envelope, PatternId, RevisionId
from api.schemas.problems import Fault

Document = Annotated[dict[str, Any], Field(description="A pattern document; its schema is /schemas/pattern.json.")]
PatternName = Annotated[str, Field(description="The name that the document gives.", examples=["Market tote"])]
Number = Annotated[int, Field(ge=1, le=2**31 - 1, description="Which revision of its pattern it is.", examples=[1])]
Stored = Annotated[datetime, Field(description="When it was stored.", examples=["2025-03-01T09:30:00Z"])]


Left = Annotated[
    list[Fault], Field(description="What is left to mend before the pattern is sound; empty for a sound one.")
]


class Draft(Envelope):
    """A pattern document on its way in."""

    document: Document


class Pattern(Envelope):
    """A pattern: its head is the newest revision."""

    id: PatternId
    name: PatternName
    head: RevisionId
    revision_count: Count
    created_at: Stored


class StoredPattern(Pattern):
    """A pattern that was just stored."""

    faults: Left


class PatternList(Envelope):
    """A part of the list of patterns."""

    items: list[Pattern]
    total: Count


class RevisionEntry(Envelope):
    """A revision without its document."""

    id: RevisionId
    pattern: PatternId
    number: Number
    created_at: Stored


class StoredRevision(RevisionEntry):
    """A revision that was just stored."""

    faults: Left


class RevisionList(Envelope):
    """A part of the list of a pattern's revisions."""

    items: list[RevisionEntry]
    total: Count


class Revision(RevisionEntry):
    """A revision with its document; neither ever changes."""

    document: Document
