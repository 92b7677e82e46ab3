"""Materials: the roles that cloths, foams and meshes play, and what is known of each."""

from typing import Literal, Self

from pydantic import Field, model_validator

from grading.document.prices import SHEET, MaterialPrice
from grading.document.values import Length, Part, Percentage, Text, fault


class Repeat(Part):
    """The repeat of a print."""

    across: Length | None = Field(None, description="Across the cloth.", examples=["160 mm"])
    along: Length | None = Field(None, description="Along the cloth.", examples=["160 mm"])


class Shrinkage(Part):
    """What washing takes off."""

    along: Percentage = Field("0 %", description="Along the cloth.", examples=["3 %"])
    across: Percentage = Field("0 %", description="Across the cloth.", examples=["2 %"])


class Shrinks(Part):
    """What quilting or fusing takes a layer in, after it is cut."""

    across: Percentage = Field("0 %", description="Across the grain.", examples=["2 %"])
    along: Percentage = Field("0 %", description="Along the grain.", examples=["3 %"])


class Material(Part):
    """A role such as main or lining, and the cloth chosen for it."""

    says: Text = Field("", description="What the cloth is.", examples=["printed canvas"])
    kind: Literal["cloth", "foam", "mesh", "interfacing", "film"] = Field(
        "cloth", description="What sort of material it is.", examples=["foam"]
    )
    usable_width: Length | None = Field(
        None, description="The width between the selvages that can be cut from.", examples=["1370 mm"]
    )
    direction: Literal["any", "two-way", "one-way"] = Field(
        "any", description="Which ways up the cloth may be used.", examples=["one-way"]
    )
    repeat: Repeat | None = Field(None, description="The repeat of its print.", examples=[{"across": "160 mm"}])
    shrinkage: Shrinkage | None = Field(
        None, description="What washing takes off.", examples=[{"along": "3 %", "across": "2 %"}]
    )
    thickness: Length | None = Field(None, description="Its thickness, stitched.", examples=["0.6 mm"])
    loose: Length | None = Field(
        None, description="Its thickness as it lies, before it is stitched.", examples=["0.9 mm"]
    )
    shrinks: Shrinks | None = Field(
        None, description="What quilting or fusing takes its layers in.", examples=[{"across": "2 %", "along": "3 %"}]
    )
    washed: bool = Field(True, description="Whether it is washed before it is cut, and so shrinks.", examples=[False])
    sheet: tuple[Length, Length] | None = Field(
        None,
        description="The size across and along of the sheets that it is sold in, in place of a width.",
        examples=[["500 mm", "700 mm"]],
    )
    border: Literal["left", "right"] | None = Field(
        None, description="The selvage along which a border is printed.", examples=["left"]
    )
    sold_by: Length | None = Field(
        None, description="The least length that a shop sells, and its multiples.", examples=["10 cm", "1/4 yd"]
    )
    price: MaterialPrice | None = Field(
        None, description="What it costs.", examples=[{"amount": "14.50", "currency": "EUR", "per": "1 m"}]
    )

    @model_validator(mode="after")
    def _sold_in_one_way(self) -> Self:
        if self.sheet is not None and self.usable_width is not None:
            raise fault("it is sold in sheets and by the length at once", "give `sheet` or `usable_width`, not both")
        if self.price is not None and (self.price.per == SHEET) != (self.sheet is not None):
            raise fault(
                "its price is not for what is sold",
                f'write "per": "{SHEET}" of a material with `sheet`, else a length such as "1 m"',
            )
        return self
