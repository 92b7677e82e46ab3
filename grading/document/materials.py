"""Materials: the roles that cloths, foams and meshes play, and what is known of each."""

from typing import Literal

from pydantic import Field

from grading.document.values import Length, Part, Percentage, Text


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
    shrinks: Shrinks | None = Field(
        None, description="What quilting or fusing takes its layers in.", examples=[{"across": "2 %", "along": "3 %"}]
    )
