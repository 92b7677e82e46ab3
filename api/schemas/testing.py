"""Testers' records: what came of sewing one size of a revision."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from pydantic import Field

from api.schemas.base import UUID_EXAMPLE, UUID_PATTERN, Count, Envelope, PatternId, Request, RevisionId, SizeName

MOST_REMARKS = 200
MOST_MEASURES = 200
MOST_MINUTES = 100_000
MOST_TEXT = 2000
MOST_STEP = 2000

Cloth = Annotated[
    str, Field(min_length=1, max_length=MOST_TEXT, description="What it was sewn from.", examples=["canvas, 0.6 mm"])
]
Measures = dict[str, Annotated[str, Field(max_length=60)]]
FINISHED = "What dimensions measure on the finished bag."
Minutes = Annotated[int, Field(ge=1, le=MOST_MINUTES, description="How long the sewing took.", examples=[380])]
RecordId = Annotated[
    str, Field(pattern=UUID_PATTERN, description="A record's name for machines.", examples=[UUID_EXAMPLE])
]


Step = Annotated[int, Field(ge=1, le=MOST_STEP, description="The step it is about, from 1.", examples=[3])]
Says = Annotated[
    str, Field(min_length=1, max_length=MOST_TEXT, description="The remark.", examples=["clip the corner first"])
]


class NewRemark(Request):
    """What a tester has to say, of one step or of the whole."""

    step: Step | None = None
    says: Says


class Remark(Envelope):
    """What a tester had to say; of the whole where there is no step."""

    step: Step | None
    says: Says


class NewRecord(Request):
    """What a tester sends in."""

    size: SizeName
    cloth: Cloth
    measures: Annotated[
        Measures,
        Field(default_factory=dict, max_length=MOST_MEASURES, description=FINISHED, examples=[{"width": "358 mm"}]),
    ]
    minutes: Minutes | None = None
    remarks: Annotated[
        list[NewRemark], Field(default_factory=list, max_length=MOST_REMARKS, description="Remarks by step.")
    ]


class Record(Envelope):
    """What a tester sent in, as it was written down."""

    id: RecordId
    pattern: PatternId
    revision: RevisionId
    size: SizeName
    cloth: Cloth
    measures: Annotated[Measures, Field(description=FINISHED, examples=[{"width": "358 mm"}])]
    minutes: Minutes | None
    remarks: Annotated[list[Remark], Field(description="Remarks by step.")]
    created_at: Annotated[datetime, Field(description="When it was sent in.", examples=["2025-03-01T09:30:00Z"])]


class RecordList(Envelope):
    """A part of the list of a revision's records."""

    items: list[Record]
    total: Count
