"""Dimensions: the named measures of a bag, their base values, and how each is sized."""

from typing import Literal, Self

from pydantic import Field, model_validator

from grading.document.choices import When
from grading.document.values import Length, Name, Part, Text, fault


class Dimension(Part):
    """A named measure that the bag is drafted with."""

    base: Length = Field(description="Its value in the base size.", examples=["360 mm"])
    says: Text = Field("", description="What it is, in words.", examples=["finished width"])
    limits: tuple[Length, Length] | None = Field(
        None, description="The least and the greatest value it may have.", examples=[["200 mm", "520 mm"]]
    )
    sizing: Literal["proportion", "fixed", "stock", "decided"] = Field(
        "proportion",
        description="How it follows a size: in proportion, fixed at its base, chosen from a stock list, or decided "
        "by the seams and rules alone.",
        examples=["decided"],
    )
    stock: Name | None = Field(None, description="The stock list it is chosen from.", examples=["webbing"])
    kind: Literal["length", "count"] = Field(
        "length", description="A length, or a count such as the number of pleats.", examples=["count"]
    )
    when: When

    @model_validator(mode="after")
    def _stock_goes_with_sizing(self) -> Self:
        if (self.sizing == "stock") != (self.stock is not None):
            raise fault(
                "the sizing 'stock' and the name of a stock list go together",
                'give both, as in "sizing": "stock", "stock": "webbing", or neither',
            )
        if self.kind == "count" and self.sizing not in {"proportion", "fixed"}:
            raise fault("a count is neither from stock nor decided", "leave its sizing out")
        return self
