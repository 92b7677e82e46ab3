"""Contents: what must fit, and the hand that must reach in."""

from typing import Annotated, Any

from pydantic import Discriminator, Field, Tag

from grading.document.choices import When
from grading.document.values import Expression, Length, Part, Reference, Text


class Object(Part):
    """An object that must fit into a pocket or the bag."""

    in_: Reference | None = Field(None, alias="in", description='The use it goes into, or "bag".', examples=["pocket"])
    object: tuple[Length, Length, Length] = Field(
        description="Its width, height and depth as carried.", examples=[["210 mm", "297 mm", "12 mm"]]
    )
    ease: Length = Field(0, description="The room it needs besides.", examples=["10 mm"])
    stands_out: Length = Field(0, description="How much of its height may stand out.", examples=["140 mm"])
    says: Text = Field("", description="What it is.", examples=["a magazine"])
    when: When


class Opening(Part):
    """An opening that a hand must pass."""

    opening: Expression = Field(description="Its length.", examples=["width - 40"])
    least: Length = Field(description="The least that will do.", examples=["110 mm"])
    says: Text = Field("", description="What must pass.", examples=["a hand"])
    when: When


def _kind(value: Any) -> str:
    return "opening" if isinstance(value, Opening) or (isinstance(value, dict) and "opening" in value) else "object"


Content = Annotated[Annotated[Object, Tag("object")] | Annotated[Opening, Tag("opening")], Discriminator(_kind)]
