"""Layouts: how the pieces of a grade are laid on each cloth."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import ConfigDict, Field
from pydantic.config import JsonDict

from api.schemas.base import MOST_COUNT, Count, Envelope, GradeId, LayoutsId, Request, without_null

LEAST_SECONDS, MOST_SECONDS = 0.1, 60.0

Length = Annotated[str, Field(description="An exact length with its unit.", examples=["900 mm"])]
Settings = Annotated[
    dict[str, Any], Field(description="How to lay; the reference of the library says what can be set.")
]
SETTINGS_EXAMPLE: JsonDict = {
    "style": "rotary",
    "gap": "3 mm",
    "effort": "quick",
    "cloths": {"main": {"direction": "any"}},
}


def _described(schema: JsonDict) -> None:
    without_null(schema)
    schema["examples"] = [{"settings": dict(SETTINGS_EXAMPLE), "seconds": 5}]


class LayoutsRequest(Request):
    """How a grade is to be laid out."""

    model_config = ConfigDict(json_schema_extra=_described)

    settings: Settings | None = None
    seconds: Annotated[
        float | None,
        Field(
            ge=LEAST_SECONDS,
            le=MOST_SECONDS,
            description="An answer within this time, the best found so far; else as long as `effort` takes.",
        ),
    ] = None


class MadeLayouts(Envelope):
    """Where layouts lie."""

    id: LayoutsId
    grade: GradeId
    engine: Annotated[str, Field(description="The version that made them.", examples=["0.1.0"])]


class LaidPiece(Envelope):
    """A piece, a strip or a block in its place."""

    letter: Annotated[str, Field(description="The letter of its row in the cut list.", examples=["A"])]
    piece: Annotated[str, Field(description="The piece.", examples=["panel"])]
    layer: Annotated[str, Field(description="Its layer.", examples=["main"])]
    copy_: Annotated[
        int, Field(alias="copy", ge=1, le=MOST_COUNT, description="Which of its row, from 1.", examples=[1])
    ]
    mirrored: Annotated[bool, Field(description="Whether it lies mirrored.")]
    x: Annotated[Length, Field(description="From the left edge of the usable width, or from the fold.")]
    y: Annotated[Length, Field(description="From the cut end.")]
    across: Length
    along: Length
    turned: Annotated[int, Field(ge=0, le=270, multiple_of=90, description="Clockwise, in degrees.", examples=[90])]
    kind: Annotated[str, Field(description="`piece`, `strip` or `block`.", examples=["piece"])]
    on_fold: Annotated[bool, Field(description="Whether it lies on the fold.")] = False
    pair: Annotated[bool, Field(description="Whether it is two, one in each layer of folded cloth.")] = False
    nested: Annotated[
        int, Field(ge=0, le=MOST_COUNT, description="The pair that it lies head to tail in, from 1; 0 if in none.")
    ] = 0
    sheet: Annotated[int, Field(ge=0, le=MOST_COUNT, description="Which sheet it is on, from 0.")] = 0
    bias: Annotated[
        dict[str, Any], Field(default_factory=dict, description="The strips on the bias that a block is cut into.")
    ]


class Layout(Envelope):
    """How the pieces of one cloth lie, how short that is, and what to buy."""

    says: Annotated[str, Field(description="What the cloth is.", examples=["waxed canvas"])]
    style: Annotated[str, Field(description="How it is cut.", examples=["scissors"])]
    usable_width: Annotated[Length, Field(description="As bought.")]
    washed_width: Annotated[Length, Field(description="After washing.")]
    width: Annotated[Length, Field(description="That pieces lie within, on the grid.")]
    grid: Annotated[Length, Field(description="All places are whole multiples of it.")]
    direction: Annotated[str, Field(description="Which ways up the cloth may be used.", examples=["one-way"])]
    repeat: Annotated[dict[str, str], Field(default_factory=dict, description="The print's repeat, washed.")]
    pieces: list[LaidPiece]
    length: Annotated[Length, Field(description="How far the pieces reach.")]
    least: Annotated[dict[str, Any], Field(description="A length that no layout is below, and what shows it.")]
    above: Annotated[str, Field(description="How far above the least it may be.", examples=["as short as can be"])]
    shortest: Annotated[bool, Field(description="Whether it is proven that none is shorter.")]
    strips: Annotated[list[Any], Field(default_factory=list, description="Of rotary style: strips and columns.")]
    cuts: Annotated[list[str], Field(default_factory=list, description="Of rotary style: the cuts in their order.")]
    sheets: Annotated[int, Field(ge=0, le=MOST_COUNT, description="How many sheets.")] = 0
    offcuts: Annotated[list[dict[str, Any]], Field(description="Rectangles that are left.")]
    buy: Annotated[dict[str, Any], Field(description="What to buy, and what it costs.")]
    widths: Annotated[list[dict[str, Any]], Field(description="The same pieces on cloth of other widths.")]
    fat_quarters: Annotated[Count | None, Field(description="How many fat quarters would do; null if they would not.")]
    hurried: Annotated[str, Field(description="What was left out for want of time.")] = ""


class LayoutsDocument(Envelope):
    """How the pieces of one grade are laid on each cloth."""

    format: Annotated[int, Field(ge=1, le=1, description="The version of this format.", examples=[1])]
    kind: Annotated[str, Field(description="Always `layouts`.", examples=["layouts"])]
    pattern: Annotated[str, Field(description="The pattern's name.", examples=["Market tote"])]
    size: Annotated[dict[str, Any], Field(description="The size's name, or null, and the request.")]
    ruler: Annotated[str, Field(description="The step that cut measures lie on.", examples=["1 mm"])]
    settings: Annotated[dict[str, Any], Field(description="The settings in full, as used.")]
    cloths: Annotated[dict[str, Layout], Field(description="A layout for each cloth.")]
    without: Annotated[list[dict[str, str]], Field(description="Materials without a width, which are not laid out.")]
