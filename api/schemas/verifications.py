"""Verifications: a second program's judgement."""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import ConfigDict, Field, JsonValue, model_validator
from pydantic.config import JsonDict

from api.schemas.base import Count, Envelope, GradeId, LayoutsId, Request, without_null
from api.schemas.grades import Claim
from api.schemas.patterns import Document

Closing = Annotated[str, Field(description="What no calculation can know.")]

_FIELDS = ("grade_id", "layouts_id", "document", "grade", "layouts", "supplies", "measured")
_USES = tuple(
    frozenset(use.split())
    for use in (
        "grade_id",
        "grade_id measured",
        "layouts_id",
        "document grade",
        "document grade layouts",
        "document grade supplies",
        "document grade supplies layouts",
        "document measured",
    )
)


def _only(use: frozenset[str]) -> JsonDict:
    others: list[JsonValue] = [{"required": [name]} for name in _FIELDS if name not in use]
    required: list[JsonValue] = [*sorted(use)]
    return {"required": required, "not": {"anyOf": others}}


def _described(schema: JsonDict) -> None:
    without_null(schema)
    schema["oneOf"] = [_only(use) for use in _USES]


class VerificationRequest(Request):
    """A grade or layouts, stored or sent with their document (supplies too), or pieces measured at the table."""

    model_config = ConfigDict(json_schema_extra=_described)

    grade_id: GradeId | None = None
    layouts_id: LayoutsId | None = None
    document: Document | None = None
    grade: Annotated[dict[str, Any] | None, Field(description="A grade as it was sent out, changed or not.")] = None
    layouts: Annotated[dict[str, Any] | None, Field(description="Layouts of the grade, changed or not.")] = None
    supplies: Annotated[dict[str, Any] | None, Field(description="Supplies of the grade, changed or not.")] = None
    measured: Annotated[dict[str, Any] | None, Field(description="Edges measured at the table.")] = None

    @model_validator(mode="after")
    def _one_use(self) -> Self:
        if frozenset(name for name in _FIELDS if getattr(self, name) is not None) not in _USES:
            raise ValueError(
                "A verification takes a grade_id or a layouts_id alone, a document with a grade (and layouts, "
                "supplies, or both), or measured pieces with a grade_id or a document."
            )
        return self


class GradeVerdict(Envelope):
    """What the independent verifier says of a grade, or of layouts or supplies of one."""

    holds: Annotated[bool, Field(description="Whether every claim holds.")]
    claims_held: Count
    claims_made: Count
    counts_by_kind: Annotated[dict[str, int], Field(description="How many claims there are of each kind.")]
    failing: Annotated[list[Claim], Field(description="The claims that do not hold.")]
    claims: Annotated[list[Claim], Field(description="Every claim, with both sides' numbers.")]
    closing: Closing


class MeasuredSeam(Envelope):
    """What the measured pieces say of one seam."""

    seam: Annotated[str, Field(description="The seam's name.", examples=["side"])]
    verdict: Annotated[str, Field(description="Whether it can be sewn, or what to do.", examples=["ease it in"])]
    join: Annotated[str, Field(description="The length of its join side.", examples=["381 mm"])]
    to: Annotated[str, Field(description="The length of its other side.", examples=["380 mm"])]
    difference: Annotated[str, Field(description="How far they are from fitting.", examples=["1 mm"])]
    uncertainty: Annotated[str, Field(description="How sure the measuring is.", examples=["1 mm"])]
    too_long: Annotated[str, Field(description="The side to trim, if any.", examples=["front.right"])]
    too_short: Annotated[str, Field(description="The side to cut anew, if any.", examples=["back.left"])]
    says: Annotated[str, Field(description="All of this in words.")]


class MeasuredVerdict(Envelope):
    """What the independent verifier says of pieces measured at the table."""

    holds: Annotated[bool, Field(description="Whether every judged seam can be sewn as it is.")]
    seams: Annotated[list[MeasuredSeam], Field(description="The seams that could be judged.")]
    unmeasured: Annotated[list[str], Field(description="Seams of which not every edge was measured.")]
    closing: Closing
