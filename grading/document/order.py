"""The order form: what a customer may choose, and what it costs."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints, model_validator

from grading.document.materials import Repeat, Shrinkage
from grading.document.price_rule import PriceRule
from grading.document.prices import MaterialPrice
from grading.document.values import Length, Name, Part, Text, fault

GREATEST_CHOICE = 8
"""Dimensions that an order form may have; what is looked at doubles with each."""
MOST_CLOTHS = 40

Colour = Annotated[str, StringConstraints(pattern=r"^#[0-9a-f]{6}$")]
"""A colour as a style sheet has it: "#2f6f7a"."""


class OtherCloth(Part):
    """What of a cloth is other than the role says."""

    usable_width: Length | None = Field(None, description="Its usable width.", examples=["1120 mm"])
    direction: Literal["any", "two-way", "one-way"] | None = Field(
        None, description="Which ways up it may be used.", examples=["any"]
    )
    repeat: Repeat | None = Field(None, description="The repeat of its print.", examples=[{"across": "80 mm"}])
    shrinkage: Shrinkage | None = Field(None, description="What washing takes off.", examples=[{"along": "4 %"}])
    sold_by: Length | None = Field(None, description="The least length that a shop sells.", examples=["25 cm"])
    price: MaterialPrice | None = Field(
        None, description="What it costs.", examples=[{"amount": "21.00", "currency": "EUR", "per": "1 m"}]
    )


class OfferedCloth(Part):
    """A cloth that a customer may choose for a role."""

    name: Name = Field(description="Its name.", examples=["sea_green"])
    says: Text = Field("", description="What it is, in words.", examples=["plain canvas, sea green"])
    colours: tuple[Colour, ...] = Field(
        (), max_length=12, description="Its colours for a swatch, the ground first.", examples=[["#2f6f7a", "#f4efe6"]]
    )
    material: OtherCloth | None = Field(
        None, description="What of it is other than the role says.", examples=[{"direction": "any"}]
    )


class Order(Part):
    """What a customer may choose: measures between two ends, sizes, options, cloths; and the price."""

    choose: dict[Name, tuple[Length, Length]] | None = Field(
        None,
        min_length=1,
        max_length=GREATEST_CHOICE,
        description="The least and the greatest value of each dimension that may be set.",
        examples=[{"width": ["300 mm", "420 mm"], "height": ["330 mm", "450 mm"]}],
    )
    others: Literal["in proportion", "at base"] = Field(
        "at base", description="What the dimensions do that are not set.", examples=["in proportion"]
    )
    sizes: tuple[Name, ...] | None = Field(
        None,
        min_length=1,
        max_length=200,
        description="The named sizes that are offered; all if left out.",
        examples=[["base", "mini"]],
    )
    options: tuple[Name, ...] | None = Field(
        None, max_length=50, description="The options that may be chosen; all if left out.", examples=[["front_pocket"]]
    )
    cloths: dict[Name, Annotated[tuple[OfferedCloth, ...], Field(min_length=1, max_length=MOST_CLOTHS)]] = Field(
        {},
        max_length=50,
        description="The cloths that may be chosen for a role, the usual one first.",
        examples=[{"main": [{"name": "sea_green", "colours": ["#2f6f7a"]}]}],
    )
    price: PriceRule | None = Field(
        None, description="What it costs.", examples=[{"currency": "EUR", "hour": "32.00", "minutes": {"sew": 120}}]
    )

    @model_validator(mode="after")
    def _offers_something(self) -> Self:
        if self.choose is None and self.sizes is None:
            raise fault("it says neither sizes nor what may be chosen", "give `choose`, `sizes`, or both")
        return self
