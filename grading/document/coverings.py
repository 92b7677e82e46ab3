"""Coverings: pieces that are laid over others, and where."""

from typing import Literal

from pydantic import Field

from grading.document.choices import When
from grading.document.values import Expression, Name, Part, Text


class AtLeast(Part):
    """A distance with room to spare."""

    at_least: Expression = Field(description="The least distance.", examples=["20 mm"])


class Clear(Part):
    """Distances from the covering's sides to the sides of what it lies on."""

    left: Expression | AtLeast | None = Field(None, description="On the left.", examples=["20 mm"])
    right: Expression | AtLeast | None = Field(None, description="On the right.", examples=["20 mm"])
    top: Expression | AtLeast | None = Field(None, description="At the top.", examples=["80 mm"])
    bottom: Expression | AtLeast | None = Field(None, description="At the bottom.", examples=[{"at_least": "20 mm"}])


class TakesUp(Part):
    """What pleats or a box fold take up of a covering's cloth."""

    across: Expression = Field(0, description="Across.", examples=["2*pleat"])
    along: Expression = Field(0, description="Along.", examples=[0])


class Covering(Part):
    """A piece laid over another."""

    piece: Name = Field(description="The use that lies on top.", examples=["pocket"])
    over: Name = Field(description="The use that it lies on.", examples=["front"])
    face: Literal["up", "down"] = Field("up", description="Which way its right side lies.", examples=["up"])
    caught: dict[Name, Name] = Field(
        {},
        description="Its edges that are caught in edges of the other.",
        examples=[{"left": "left", "right": "right"}],
    )
    clear: Clear = Field(Clear(), description="Its distances from the sides.", examples=[{"top": "80 mm"}])
    takes_up: TakesUp = Field(TakesUp(), description="What its folds take up.", examples=[{"across": "2*pleat"}])
    match: bool = Field(
        False, description="Whether the print runs on from what it lies on to this piece.", examples=[True]
    )
    says: Text = Field(
        "", description="Anything more to say.", examples=["the pocket runs from side seam to side seam"]
    )
    when: When
