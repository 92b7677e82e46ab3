"""Quotes: what a customer wishes, and what it costs."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Self

from pydantic import ConfigDict, Field, model_validator
from pydantic.config import JsonDict

from api.schemas.base import (
    NAME_PATTERN,
    UUID_EXAMPLE,
    UUID_PATTERN,
    Envelope,
    GradeId,
    LayoutsId,
    PatternId,
    Request,
    RevisionId,
    SizeName,
    without_null,
)

MOST_BAGS = 1000
MOST_AMOUNT = 2**53 - 1
Named = Annotated[str, Field(pattern=NAME_PATTERN, max_length=60)]
QuoteId = Annotated[
    str, Field(pattern=UUID_PATTERN, description="A quote's name for machines.", examples=[UUID_EXAMPLE])
]
Quantity = Annotated[int, Field(ge=1, le=MOST_BAGS, description="How many bags.", examples=[1])]
Amount = Annotated[
    int, Field(ge=-MOST_AMOUNT, le=MOST_AMOUNT, description="In minor units of the currency.", examples=[20300])
]
Currency = Annotated[str, Field(description="Its three letters by ISO 4217.", examples=["EUR"])]
ValidUntil = Annotated[datetime, Field(description="Until when it can be ordered.", examples=["2025-03-15T09:30:00Z"])]
Measures = Annotated[
    dict[str, str],
    Field(description="What may be chosen of the bag's measures, as printed.", examples=[{"width": "320 mm"}]),
]
Asked = Annotated[datetime, Field(description="When it was asked for.", examples=["2025-03-01T09:30:00Z"])]


def _described(schema: JsonDict) -> None:
    without_null(schema)
    schema["oneOf"] = [{"required": ["size"]}, {"required": ["measures"]}]
    schema["examples"] = [{"measures": {"width": "320 mm"}, "cloths": {"main": "slate"}, "quantity": 2}]


class QuoteRequest(Request):
    """What a customer wishes, within what the order form offers."""

    model_config = ConfigDict(json_schema_extra=_described)

    size: SizeName | None = None
    measures: Annotated[
        dict[Named, str | int | float] | None,
        Field(
            min_length=1,
            max_length=8,
            description="Measures of one's own; numbers are in the pattern's unit. Those left out are as usual.",
            examples=[{"width": "320 mm", "height": 400}],
        ),
    ] = None
    options: Annotated[
        dict[Named, Named],
        Field(default_factory=dict, max_length=50, description="Choices of options.", examples=[{"sleeve": "without"}]),
    ]
    cloths: Annotated[
        dict[Named, Named],
        Field(default_factory=dict, max_length=50, description="A cloth for each role.", examples=[{"main": "slate"}]),
    ]
    quantity: Quantity = 1

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        if (self.size is None) == (self.measures is None):
            raise ValueError("A quote is asked for by a size or by measures, one of the two.")
        return self


class ToPay(Envelope):
    """What a customer pays."""

    currency: Currency
    digits: Annotated[int, Field(ge=0, le=4, description="Digits of its minor unit.", examples=[2])]
    before_tax: Amount
    tax: Amount
    tax_says: Annotated[str | None, Field(description="The tax's name; null without tax.", examples=["VAT 19 %"])]
    total: Amount
    text: Annotated[str, Field(description="The total as it is written.", examples=["203.00 EUR"])]


class Quote(Envelope):
    """A price for one wish, of one revision, until a time. It never changes."""

    id: QuoteId
    pattern: PatternId
    revision: RevisionId
    grade: GradeId
    layouts: LayoutsId
    wish: Annotated[dict[str, Any], Field(description="What was wished.", examples=[{"size": "mini"}])]
    measures: Measures
    price: ToPay
    created_at: Asked
    valid_until: ValidUntil


class PriceLine(Envelope):
    """One line of a price."""

    kind: Annotated[str, Field(description="What kind of line it is.", examples=["work"])]
    name: Annotated[str, Field(description="What it is of.", examples=["sew"])]
    says: Annotated[str, Field(description="How it comes about.", examples=["sew: 120 min at 28.00 EUR an hour"])]
    amount: Amount


class PriceDocument(Envelope):
    """A price line by line: the lines add up to the total. For the workshop, not for the customer."""

    format: Annotated[int, Field(ge=1, le=1, description="The version of this format.", examples=[1])]
    kind: Annotated[str, Field(description="Always `price`.", examples=["price"])]
    pattern: Annotated[str, Field(description="The pattern's name.", examples=["Market tote"])]
    size: Annotated[dict[str, Any], Field(description="The size's name, or null, and the request.")]
    measures: Measures
    quantity: Quantity
    cloths: Annotated[dict[str, str], Field(description="The cloth of each role.", examples=[{"main": "slate"}])]
    currency: Currency
    digits: Annotated[int, Field(ge=0, le=4, description="Digits of its minor unit.", examples=[2])]
    lines: Annotated[list[PriceLine], Field(description="What it is made up of.")]
    before_tax: Amount
    tax: Amount
    total: Amount
    text: Annotated[str, Field(description="The total as it is written.", examples=["203.00 EUR"])]
    minutes: Annotated[str, Field(description="The minutes of work, exact.", examples=["162.2"])]
    says: Annotated[list[str], Field(description="What the workshop should know.")]
