"""Ranges of sizes: what an order form may offer."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from api.schemas.base import Count, Envelope, Request
from api.schemas.grades import Ruler

MOST_DIMENSIONS = 8
"""The dimensions that the library takes in one range."""
Ends = Annotated[list[str | int | float], Field(min_length=2, max_length=2)]
Lengths = Annotated[dict[str, str], Field(description="A length for each dimension.", examples=[{"width": "600 mm"}])]
Box = dict[str, Annotated[list[str], Field(min_length=2, max_length=2)]]
Others = Literal["in proportion", "at base"]


class RangeRequest(Request):
    """The ends between which a customer may choose; those of the pattern's order form where they are left out."""

    choose: Annotated[
        dict[str, Ends] | None,
        Field(
            min_length=1,
            max_length=MOST_DIMENSIONS,
            description="The least and the greatest value of each dimension; numbers are in the pattern's unit.",
            examples=[{"width": ["300 mm", "420 mm"], "height": [330, 450]}],
        ),
    ] = None
    others: Annotated[
        Others | None,
        Field(description="What the dimensions do that are not chosen.", examples=["at base"]),
    ] = None
    options: Annotated[
        dict[str, str] | None,
        Field(description="The choices of the pattern's options.", examples=[{"sleeve": "without"}]),
    ] = None
    ruler: Ruler | None = None


class Obstacle(Envelope):
    """Why a range is not proven: a rule, and how near to it some size comes."""

    says: Annotated[str, Field(description="The rule in words.", examples=["width is at most 520 mm"])]
    because: Annotated[str, Field(description="The reason for it.", examples=["it would topple"])]
    path: Annotated[str, Field(description="Where it is written.", examples=["dimensions.width.limits"])]
    room: Annotated[
        str | None, Field(description="The least room that a size leaves, before the ruler.", examples=["-80 mm"])
    ]
    needed: Annotated[str | None, Field(description="What the ruler may take of it.", examples=["1 mm"])]
    size: Annotated[Lengths | None, Field(description="The size that leaves this room.")]


class FailingSize(Envelope):
    """A size of the range that cannot be made."""

    size: Lengths
    reason: Annotated[str, Field(description="Why.", examples=["these cannot all hold: width is at most 520 mm"])]


class SizeRange(Envelope):
    """Whether every size of a range can be made, and what may be offered if that is not proven."""

    format: Annotated[int, Field(ge=1, le=1, description="The version of this format.", examples=[1])]
    kind: Annotated[str, Field(description="Always `range`.", examples=["range"])]
    pattern: Annotated[str, Field(description="The pattern's name.", examples=["Market tote"])]
    ruler: Annotated[str, Field(description="The step that cut measures lie on.", examples=["1 mm"])]
    others: Annotated[Others, Field(description="What the dimensions do that are not chosen.", examples=["at base"])]
    proven: Annotated[bool, Field(description="Whether it is proven that every size can be made.")]
    box: Annotated[Box, Field(description="The range asked for.", examples=[{"width": ["300 mm", "420 mm"]}])]
    rules: Annotated[Count, Field(description="How many rules were looked at.")]
    largest: Annotated[Box | None, Field(description="The largest range found in it that is proven.")]
    obstacles: Annotated[list[Obstacle], Field(description="What stands in the way of a proof.")]
    counterexample: Annotated[FailingSize | None, Field(description="A size that cannot be made, if one was found.")]
    sizes: Annotated[list[Any], Field(description="Where it is not proven: sizes that were tried and can be made.")]
    says: Annotated[list[str], Field(description="What is shown and what is not, in words.")]
