"""The order form: between which ends a customer may choose which dimensions."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from grading.document.values import Length, Name, Part

GREATEST_CHOICE = 8
"""Dimensions that an order form may have; what is looked at doubles with each."""


class Order(Part):
    """The least and the greatest value of each dimension that a customer may set, and what the others do."""

    choose: dict[Name, tuple[Length, Length]] = Field(
        min_length=1,
        max_length=GREATEST_CHOICE,
        description="The least and the greatest value of each dimension that may be set.",
        examples=[{"width": ["300 mm", "420 mm"], "height": ["330 mm", "450 mm"]}],
    )
    others: Literal["in proportion", "at base"] = Field(
        "at base", description="What the dimensions do that are not set.", examples=["in proportion"]
    )
