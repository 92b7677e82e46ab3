"""Order forms: what a revision offers to customers."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from api.schemas.base import Envelope, PatternId, RevisionId


class OfferedSize(Envelope):
    """A named size with the measures that a customer may know it by."""

    name: Annotated[str, Field(description="Its name.", examples=["mini"])]
    measures: Annotated[dict[str, str], Field(description="As printed.", examples=[{"width": "252 mm"}])]


class Swatch(Envelope):
    """A cloth that may be chosen."""

    name: Annotated[str, Field(description="Its name.", examples=["slate"])]
    says: Annotated[str, Field(description="What it is.", examples=["plain canvas, slate grey"])]
    colours: Annotated[list[str], Field(description="Its colours, the ground first.", examples=[["#5c666d"]])]


class OrderForm(Envelope):
    """What may be wished of one revision: a JSON Schema (2020-12) of wishes, and what a page shows beside it."""

    format: Annotated[int, Field(ge=1, le=1, description="The version of this format.", examples=[1])]
    kind: Annotated[str, Field(description="Always `form`.", examples=["form"])]
    id: PatternId
    revision: RevisionId
    pattern: Annotated[str, Field(description="The pattern's name.", examples=["Market tote"])]
    says: Annotated[str, Field(description="What it is.", examples=["a tote for market days"])]
    unit: Annotated[str, Field(description="The unit of bare numbers.", examples=["mm"])]
    ruler: Annotated[str, Field(description="The step that cut measures lie on.", examples=["1 mm"])]
    schema_: Annotated[
        dict[str, Any], Field(alias="schema", description="A JSON Schema of what is sent to ask for a quote.")
    ]
    defaults: Annotated[dict[str, Any], Field(description="What is usual.", examples=[{"size": "base"}])]
    proven: Annotated[bool, Field(description="Whether every size between the ends that the pattern says is proven.")]
    sizes: Annotated[list[OfferedSize], Field(description="The named sizes that are offered.")]
    cloths: Annotated[dict[str, list[Swatch]], Field(description="The cloths by role, the usual one first.")]
    options: Annotated[dict[str, dict[str, str]], Field(description="The options that are offered, in words.")]
    cautions: Annotated[list[str], Field(description="What a customer is to be told.")]
    names: Annotated[dict[str, str], Field(description="What each measure is, in words.")]
