"""What is bought and used besides the pieces, and how thick the layers lie at seams."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import ConfigDict, Field
from pydantic.config import JsonDict

from api.schemas.base import Count, Envelope, LayoutsId, Request, without_null
from api.schemas.comparisons import Format, PatternTitle

SupplySettings = Annotated[
    dict[str, Any], Field(description="What is other than usual; the reference of the library says what can be set.")
]


def _described(schema: JsonDict) -> None:
    without_null(schema)
    schema["examples"] = [{"settings": {"waste": "20 %", "reel": "200 m"}}]


class SuppliesRequest(Request):
    """How supplies are to be counted."""

    model_config = ConfigDict(json_schema_extra=_described)

    settings: SupplySettings | None = None
    layouts: LayoutsId | None = None


def _of_bulk(schema: JsonDict) -> None:
    without_null(schema)
    schema["examples"] = [{"settings": {"lift": "8 mm", "pressed": "aside"}}]


class BulkRequest(Request):
    """What the machine sews, and how allowances are pressed."""

    model_config = ConfigDict(json_schema_extra=_of_bulk)

    settings: SupplySettings | None = None


class SupplyRow(Envelope):
    """One thing that is bought or used."""

    name: Annotated[str, Field(description="Its name.", examples=["main_zip"])]
    kind: Annotated[str, Field(description="What it is.", examples=["zip"])]
    findings: Annotated[list[str], Field(description="The findings that it is for.")]
    says: Annotated[str, Field(description="What to look for.", examples=["coil zip with two sliders"])]
    count: Count
    width: Annotated[str | None, Field(description="Its width.", examples=["25 mm"])]
    each: Annotated[str | None, Field(description="How long each is, where all are alike.", examples=["480 mm"])]
    total: Annotated[str | None, Field(description="How long all are.", examples=["480 mm"])]
    buy: Annotated[dict[str, Any], Field(description="What to buy.")]
    waste: Annotated[str | None, Field(description="What is left of what is bought.", examples=["20 mm"])]
    steps: Annotated[list[Count], Field(description="The steps in which it is used.")]
    cost: Annotated[dict[str, str], Field(default_factory=dict, description="What it costs, where that is known.")]


class ThreadRow(Envelope):
    """The thread for one class of stitch."""

    stitch: Annotated[str, Field(description="The class (ISO 4915).", examples=["301"])]
    seams: Annotated[list[str], Field(description="What is sewn with it.")]
    length: Annotated[str, Field(description="How much is sewn.", examples=["23.23 m"])]
    ratio: Annotated[str | None, Field(description="Thread for seam.", examples=["5.15"])]
    used: Annotated[str | None, Field(description="The thread that it takes.", examples=["137.62 m"])]
    buy: Annotated[dict[str, Any] | None, Field(description="What to buy.")]


class Supplies(Envelope):
    """What one grade needs besides its pieces."""

    format: Format
    kind: Annotated[str, Field(description="Always `supplies`.", examples=["supplies"])]
    pattern: PatternTitle
    size: Annotated[dict[str, Any], Field(description="The size's name, or null, and the request.")]
    ruler: Annotated[str, Field(description="The step that cut measures lie on.", examples=["1 mm"])]
    settings: Annotated[dict[str, Any], Field(description="The settings in full, as used.")]
    rows: Annotated[list[SupplyRow], Field(description="What is bought and used.")]
    thread: Annotated[list[ThreadRow], Field(description="Thread by class of stitch.")]
    needles: Annotated[list[str], Field(description="Which needle for what.")]
    cost: Annotated[list[dict[str, str]], Field(description="The sum in each currency.")]
    unpriced: Annotated[list[str], Field(description="What is bought and has no price.")]
    says: Annotated[list[str], Field(description="What a maker should know.")]


class Bulk(Envelope):
    """How thick the layers lie at every seam."""

    format: Format
    kind: Annotated[str, Field(description="Always `bulk`.", examples=["bulk"])]
    pattern: PatternTitle
    size: Annotated[dict[str, Any], Field(description="The size's name, or null, and the request.")]
    ruler: Annotated[str, Field(description="The step that cut measures lie on.", examples=["1 mm"])]
    settings: Annotated[dict[str, Any], Field(description="The settings in full, as used.")]
    lift: Annotated[str, Field(description="How thick the machine can sew.", examples=["6 mm"])]
    places: Annotated[list[dict[str, Any]], Field(description="Every place, in the order of making.")]
    says: Annotated[list[str], Field(description="The thickest places in words.")]
