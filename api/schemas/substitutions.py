"""Substitutions: changes of a revision that give another document."""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import ConfigDict, Field, model_validator
from pydantic.config import JsonDict

from api.schemas.base import Envelope, Request, SizeName, without_null
from api.schemas.comparisons import Difference, Format, PatternTitle
from api.schemas.grades import Ruler
from api.schemas.layouts import Settings
from api.schemas.patterns import Document

MOST_CHANGES = 50
"""The changes that the library makes at once."""


def _described(schema: JsonDict) -> None:
    without_null(schema)
    schema["oneOf"] = [{"required": ["size"]}, {"required": ["request"]}]
    schema["examples"] = [{"changes": [{"toile": "calico"}], "size": "mini"}]


class SubstitutionRequest(Request):
    """Changes, taken in order, and the size of which the cloth is told."""

    model_config = ConfigDict(json_schema_extra=_described)

    changes: Annotated[
        list[dict[str, Any]],
        Field(
            min_length=1, max_length=MOST_CHANGES, description="What to change; the reference of the library lists it."
        ),
    ]
    size: SizeName | None = None
    request: Annotated[dict[str, Any] | None, Field(description="A scale, or dimensions that are set.")] = None
    ruler: Ruler | None = None
    settings: Settings | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        if (self.size is None) == (self.request is None):
            raise ValueError("A substitution names a size or has a request, one of the two.")
        return self


class ClothChange(Envelope):
    """What is bought of one cloth before and after."""

    material: Annotated[str, Field(description="The cloth's role.", examples=["main"])]
    before: Annotated[str | None, Field(description="As it was; null if it is not used.", examples=["1.2 m"])]
    after: Annotated[str | None, Field(description="As it is; null if it is not used.", examples=["0.9 m"])]
    by: Annotated[str | None, Field(description="How much more.", examples=["-300 mm"])]
    cost_before: Annotated[dict[str, str], Field(default_factory=dict, description="Its cost, where that is known.")]
    cost_after: Annotated[dict[str, str], Field(default_factory=dict, description="Its cost, where that is known.")]
    cost_by: Annotated[dict[str, str], Field(default_factory=dict, description="How much dearer, where that is known.")]


class Substitution(Envelope):
    """The changed document, and what changes with it."""

    format: Format
    kind: Annotated[str, Field(description="Always `substitution`.", examples=["substitution"])]
    pattern: PatternTitle
    size: Annotated[str | None, Field(description="The size of which the cloth is told.", examples=["mini"])]
    changes: Annotated[list[str], Field(description="What was done, in words.")]
    document: Document
    difference: Difference
    cloths: Annotated[list[ClothChange], Field(description="What is bought of each cloth.")]
