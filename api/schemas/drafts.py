"""Drafts: documents in work."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from pydantic import Field, model_validator

from api.schemas.base import UUID_EXAMPLE, UUID_PATTERN, Count, Envelope, PatternId, Request, RevisionId
from api.schemas.comparisons import Answer
from api.schemas.grades import GradeDocument
from api.schemas.patterns import Document, Left, Number

MOST_OPERATIONS = 1000
MOST_SAYS = 300
MOST_POINTER = 1000
MOST_REFERENCE = 200
NAMED = (
    *("dimension", "stock", "material", "piece", "use", "edge", "notch", "line", "layer", "seam"),
    *("covering", "content", "finding", "rule", "option", "choice", "size", "activity"),
)
"""What can be renamed in a draft."""
MOST_CSV = 1_000_000
MOST_XLSX = 6_000_000

DraftId = Annotated[
    str, Field(pattern=UUID_PATTERN, description="A draft's name for machines.", examples=[UUID_EXAMPLE])
]
DraftName = Annotated[str, Field(description="The name that the document gives.", examples=["Market tote"])]
Version = Annotated[int, Field(ge=1, le=2**31 - 1, description="How often it was changed, from 1.", examples=[7])]
StateNumber = Annotated[int, Field(ge=1, le=2**31 - 1, description="A state in its history, from 1.", examples=[5])]
Says = Annotated[str, Field(max_length=MOST_SAYS, description="What was changed.", examples=["width: 360 mm"])]
Base = Annotated[RevisionId | None, Field(description="The revision that it was started from or published as.")]
Moment = Annotated[datetime, Field(description="When.", examples=["2025-03-01T09:30:00Z"])]
Pointer = Annotated[
    str, Field(max_length=MOST_POINTER, description="A JSON Pointer (RFC 6901).", examples=["/dimensions/width/base"])
]


class Operation(Request):
    """One operation of a JSON Patch (RFC 6902)."""

    op: Annotated[
        str,
        Field(pattern="^(add|remove|replace|move|copy|test)$", description="What is done.", examples=["replace"]),
    ]
    path: Pointer
    value: Annotated[Any, Field(description="The value, for add, replace and test.", examples=["360 mm"])] = None
    source: Annotated[Pointer | None, Field(alias="from", description="The place that is moved or copied.")] = None

    def plain(self) -> dict[str, Any]:
        """The operation as JSON has it; a value of null is there where it was sent."""
        return self.model_dump(by_alias=True, exclude_unset=True)


class PieceList(Request):
    """A piece list from a spreadsheet: as CSV, or as the first sheet of a workbook (XLSX) in Base64 (RFC 4648)."""

    name: Annotated[str, Field(min_length=1, max_length=200, description="The bag's name.", examples=["Market tote"])]
    unit: Annotated[str, Field(pattern="^(mm|cm|in)$", description="The unit of bare numbers.", examples=["mm"])] = "mm"
    csv: Annotated[
        str | None,
        Field(max_length=MOST_CSV, description="The table.", examples=["piece,width,height\npanel,480,440\n"]),
    ] = None
    xlsx: Annotated[str | None, Field(max_length=MOST_XLSX, description="The workbook.", examples=["UEsDBBQ="])] = None

    @model_validator(mode="after")
    def _one(self) -> PieceList:
        if (self.csv is None) == (self.xlsx is None):
            raise ValueError("Send one of csv and xlsx.")
        return self


class DraftRequest(Request):
    """What a draft is started from: a document, the head of a pattern, or a piece list."""

    document: Document | None = None
    pattern: PatternId | None = None
    list: PieceList | None = None

    @model_validator(mode="after")
    def _one(self) -> DraftRequest:
        if len(self.model_fields_set) != 1:
            raise ValueError("Send one of document, pattern and list.")
        return self


class DraftPatch(Request):
    """A change of a draft."""

    patch: Annotated[
        list[Operation], Field(min_length=1, max_length=MOST_OPERATIONS, description="Carried out in this order.")
    ]
    says: Says | None = None


class Renaming(Request):
    """Another name for a part of a draft."""

    kind: Annotated[
        str,
        Field(pattern=f"^({'|'.join(NAMED)})$", description="What is renamed.", examples=["edge"]),
    ]
    old: Annotated[
        str,
        Field(
            alias="from",
            min_length=1,
            max_length=MOST_REFERENCE,
            description="Its name; of what belongs to a piece or an option with that before it.",
            examples=["panel.top", "width"],
        ),
    ]
    new: Annotated[
        str,
        Field(alias="to", min_length=1, max_length=MOST_REFERENCE, description="Its name then.", examples=["mouth"]),
    ]


class Publication(Request):
    """How a draft is published: over which head of its pattern, where that has moved on since it was started."""

    over: RevisionId | None = None


class DraftEntry(Envelope):
    """A draft in a list, without its document."""

    id: DraftId
    pattern: Annotated[PatternId | None, Field(description="The pattern that it is a draft of.")]
    base: Base
    name: DraftName
    version: Version
    created_at: Moment
    changed_at: Moment


class DraftInWork(DraftEntry):
    """A draft as it is now."""

    at: StateNumber
    says: Says
    undo: Annotated[bool, Field(description="Whether there is a state before.")]
    redo: Annotated[bool, Field(description="Whether a change was taken back that can be made again.")]
    document: Document


class TrialSize(Envelope):
    """A size of a draft, which is kept nowhere."""

    grade: GradeDocument
    answer: Answer


class DraftList(Envelope):
    """A part of the list of drafts."""

    items: list[DraftEntry]
    total: Count


class DraftState(Envelope):
    """A state in the history of a draft."""

    number: StateNumber
    before: Annotated[StateNumber | None, Field(description="The state that it was made from.")]
    says: Says
    created_at: Moment


class DraftHistory(Envelope):
    """A part of the history of a draft, the last state first."""

    items: list[DraftState]
    total: Count


class PublishedDraft(Envelope):
    """Where a draft went."""

    pattern: PatternId
    revision: RevisionId
    number: Number
    faults: Left
    draft: DraftEntry
