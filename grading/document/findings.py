"""Findings: zips, webbing, elastic, binding and hardware."""

from typing import Literal, Self

from pydantic import Field, model_validator

from grading.document.choices import When
from grading.document.prices import EACH, FindingPrice
from grading.document.seams import Side
from grading.document.values import Expression, Factor, Name, Part, Text, fault


class Ends(Part):
    """How far the ends of a strap run into what holds them."""

    by: Expression = Field(description="How far each end runs in.", examples=["40 mm"])
    count: int = Field(2, ge=0, le=2, description="How many ends.", examples=[2])


class Zip(Part):
    """A zip, a rectangle of its length and its exposed width for the seams beside it."""

    length: Expression = Field(description="From stop to stop.", examples=["zip_length"])
    exposed: Expression = Field(description="The width that shows between the cloths.", examples=["zip_exposed"])
    stock: Name = Field(description="The stock list of lengths.", examples=["zips"])
    shortened: bool = Field(False, description="Whether it may be cut shorter than it is bought.", examples=[True])
    sliders: int = Field(1, ge=1, le=10, description="How many sliders run on it.", examples=[2])


class Adjusts(Part):
    """How long a strap is worn, between the hardware at its ends."""

    least: Expression = Field(description="Worn at its shortest.", examples=["strap_least"])
    most: Expression = Field(description="Worn at its longest.", examples=["strap_most"])
    takes: Expression = Field(
        0, description="What slider, buckle and rings take up at its longest.", examples=["90 mm"]
    )
    doubled: bool = Field(
        False, description="Whether it runs back on itself through a slider, half its length at most.", examples=[True]
    )


class Webbing(Part):
    """A length of webbing."""

    width: Expression = Field(description="Its width.", examples=["webbing_width"])
    length: Expression = Field(
        description="Its finished length between what holds its ends.", examples=["handle_length"]
    )
    stock: Name | None = Field(None, description="The stock list of widths.", examples=["webbing"])
    ends: Ends | None = Field(None, description="What its ends need besides.", examples=[{"by": "40 mm"}])
    adjusts: Adjusts | None = Field(
        None, description="The range that it adjusts to.", examples=[{"least": "700 mm", "most": "1250 mm"}]
    )


class Elastic(Part):
    """A length of elastic that is stretched to the length it is sewn to."""

    width: Expression = Field(description="Its width.", examples=["20 mm"])
    length: Expression = Field(description="The length it is stretched to.", examples=["pocket_width"])
    stretch: Factor = Field("1", description="How many times its own length it is stretched to.", examples=["5/4"])
    ends: Ends | None = Field(None, description="What its ends need besides.", examples=[{"by": "10 mm"}])


class Binding(Part):
    """A binding round raw edges."""

    width: Expression = Field(description="The width of the strip as cut or bought.", examples=["48 mm"])
    along: Side = Field(min_length=1, max_length=60, description="The edges that it binds.", examples=[["front.top"]])
    join: Expression = Field(0, description="What the join and the ends need besides.", examples=["250 mm"])
    cut_on: Literal["bias", "straight", "bought"] = Field("bias", description="How it is cut.", examples=["bias"])
    material: Name | None = Field(None, description="The role it is cut from.", examples=["contrast"])

    @model_validator(mode="after")
    def _cut_from_something(self) -> Self:
        if (self.cut_on == "bought") == (self.material is not None):
            raise fault("a binding is either bought or cut from a material", 'give a material, or "cut_on": "bought"')
        return self


class Hardware(Part):
    """A buckle, ring, hook or snap."""

    what: Text = Field(description="What it is.", examples=["side-release buckle"])
    width: Expression | None = Field(None, description="The webbing it is for.", examples=["webbing_width"])
    stock: Name | None = Field(None, description="The stock list of widths.", examples=["webbing"])


class Finding(Part):
    """One kind of finding, and how many."""

    zip: Zip | None = Field(
        None, description="A zip.", examples=[{"length": "zip_length", "exposed": 25, "stock": "zips"}]
    )
    webbing: Webbing | None = Field(None, description="Webbing.", examples=[{"width": 25, "length": "handle_length"}])
    elastic: Elastic | None = Field(None, description="Elastic.", examples=[{"width": 20, "length": "pocket_width"}])
    binding: Binding | None = Field(
        None, description="Binding.", examples=[{"width": 48, "along": ["front.top"], "material": "contrast"}]
    )
    hardware: Hardware | None = Field(None, description="Hardware.", examples=[{"what": "side-release buckle"}])
    count: int = Field(1, ge=1, le=200, description="How many.", examples=[2])
    price: FindingPrice | None = Field(
        None, description="What it costs.", examples=[{"amount": "1.80", "currency": "EUR", "per": "1 m"}]
    )
    says: Text = Field("", description="What it is for.", examples=["the handles"])
    when: When

    @property
    def kind(self) -> str:
        """The name of the one kind that is given."""
        return next(kind for kind in KINDS if getattr(self, kind) is not None)

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        given = [kind for kind in KINDS if getattr(self, kind) is not None]
        if len(given) != 1:
            raise fault(f"a finding is one thing, and {len(given)} are given", f"give one of {', '.join(KINDS)}")
        return self

    @model_validator(mode="after")
    def _priced_as_it_is_sold(self) -> Self:
        if self.price is None or self.zip is not None:
            return self
        if self.binding is not None and self.binding.material is not None:
            raise fault("this binding is cut from a cloth, and has a price of its own", "give the cloth its price")
        is_each = self.price.per == EACH
        if self.hardware is not None and not is_each:
            raise fault("hardware is sold by the piece, not by length", f'write "per": "{EACH}"')
        if self.hardware is None and is_each:
            raise fault("webbing, elastic and binding are sold by length", 'write the length, as in "per": "1 m"')
        return self


KINDS = ("zip", "webbing", "elastic", "binding", "hardware")
