"""Grades, their cut lists and their proofs."""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import ConfigDict, Field, model_validator
from pydantic.config import JsonDict

from api.schemas.base import MOST_COUNT, Envelope, GradeId, PatternId, Request, RevisionId, SizeName, without_null

ONE_OF_TWO: JsonDict = {"oneOf": [{"required": ["size"]}, {"required": ["request"]}]}
Ruler = Annotated[
    str, Field(min_length=1, max_length=60, description="The step that cut measures lie on.", examples=["1/8 in"])
]


def _described(schema: JsonDict) -> None:
    without_null(schema)
    schema.update(ONE_OF_TWO)


class GradeRequest(Request):
    """A size to be made: a named one, or a request of one's own."""

    model_config = ConfigDict(json_schema_extra=_described)

    size: SizeName | None = None
    request: Annotated[
        dict[str, Any] | None,
        Field(description="A scale, or dimensions that are set.", examples=[{"scale": "7/10"}]),
    ] = None
    ruler: Ruler | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        if (self.size is None) == (self.request is None):
            raise ValueError("A grade is asked for by a size or by a request, one of the two.")
        return self


class Grade(Envelope):
    """Where a grade lies and what it was made from."""

    id: GradeId
    pattern: PatternId
    revision: RevisionId
    size: SizeName | None
    # Generated clients name its class by both titles, and GradeRequest is another one.
    request: Annotated[
        dict[str, Any], Field(title="Asked For", description="What was asked for.", examples=[{"scale": "7/10"}])
    ]
    engine: Annotated[str, Field(description="The version that made it.", examples=["0.1.0"])]


class GradeDocument(Envelope):
    """A grade: every number that a maker needs, as printed, with the certificate of the nearest size."""

    format: Annotated[int, Field(ge=1, le=1, description="The version of this format.", examples=[1])]
    kind: Annotated[str, Field(description="Always `grade`.", examples=["grade"])]
    pattern: Annotated[str, Field(description="The pattern's name.", examples=["Market tote"])]
    size: Annotated[dict[str, Any], Field(description="The size's name, or null, and the request.")]
    unit: Annotated[str, Field(description="The unit of bare numbers.", examples=["mm"])]
    ruler: Annotated[str, Field(description="The step that cut measures lie on.", examples=["1 mm"])]
    state: Annotated[str, Field(description="How far the edition has come.", examples=["calculated, not yet sewn"])] = (
        "calculated, not yet sewn"
    )
    dimensions: Annotated[dict[str, Any], Field(description="Each dimension: asked, nearest, and as printed.")]
    altered: Annotated[list[Any], Field(description="Constants that were put on the ruler.")]
    stock: Annotated[dict[str, Any], Field(description="What is bought by the stock size.")]
    pieces: Annotated[dict[str, Any], Field(description="Each piece: outline, notches, lines and cut line.")]
    seams: Annotated[dict[str, Any], Field(description="Each seam: both sides and the ease.")]
    coverings: Annotated[dict[str, Any], Field(description="Each covering: its four clearances.")]
    cut_list: Annotated[list[Any], Field(description="What to cut, a row for each layer of each piece.")]
    findings: Annotated[list[Any], Field(description="Zips, webbing, elastic, bindings and hardware.")]
    steps: Annotated[list[str], Field(description="The steps with this size's measures in them.")]
    certificate: Annotated[dict[str, Any], Field(description="What shows that this is the nearest size.")]
    options: Annotated[
        dict[str, Any], Field(default_factory=dict, description="The options chosen, where the pattern has any.")
    ]
    volume: Annotated[str, Field(description="The room inside, where the pattern says what that is.")] = ""


class CutList(Envelope):
    """What to cut, sorted by material, the largest first."""

    rows: Annotated[list[dict[str, Any]], Field(description="A row for each layer of each piece, and each binding.")]


class Claim(Envelope):
    """One statement about a grade."""

    kind: Annotated[str, Field(description="What kind of statement it is.", examples=["seam"])]
    about: Annotated[str, Field(description="The relation or part that it is about.", examples=["seam:side"])]
    says: Annotated[str, Field(description="The statement in words.", examples=["both sides are equally long"])]
    left: Annotated[str, Field(description="One side's number.", examples=["380 mm"])]
    right: Annotated[str, Field(description="The other side's number.", examples=["380 mm"])]
    holds: Annotated[bool, Field(description="Whether it holds.")]


class Proof(Envelope):
    """What is claimed of a grade, and what shows it."""

    format: Annotated[int, Field(ge=1, le=1, description="The version of this format.", examples=[1])]
    kind: Annotated[str, Field(description="Always `proof`.", examples=["proof"])]
    pattern: Annotated[str, Field(description="The pattern's name.", examples=["Market tote"])]
    certificate: Annotated[dict[str, Any], Field(description="The nearest size with its multipliers, exact.")]
    claims: Annotated[list[Claim], Field(description="Every claim, with both sides' numbers.")]
    holding: Annotated[int, Field(ge=0, le=MOST_COUNT, description="How many of them hold.", examples=[475])]
    says: Annotated[str, Field(description="What a proof cannot know.")]
