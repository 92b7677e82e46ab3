"""Checks of drafts, which are not stored."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from api.schemas.base import Count, Envelope
from api.schemas.patterns import Document
from api.schemas.problems import Fault


class Unchecked(Envelope):
    """A draft that may still be wrong or incomplete."""

    document: Document


class Check(Envelope):
    """What a check of a draft found."""

    sound: Annotated[
        bool,
        Field(
            description="Whether nothing is wrong with the draft; one with faults may be stored if it can be graded."
        ),
    ]
    faults: Annotated[list[Fault], Field(description="Everything that is wrong, at once; empty for a sound draft.")]
    remarks: Annotated[list[Fault], Field(description="What is worth a look; a draft with remarks may be sound.")]
    pieces: Count
    seams: Count
    relations: Count
    claims: Count
