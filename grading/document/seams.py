"""Seams: two sides that are sewn to each other, each an ordered list of edges."""

from typing import Literal, Self

from pydantic import Field, model_validator

from grading.document.choices import When
from grading.document.pieces import SideEntry
from grading.document.values import Ease, Factor, Length, Part, Reference, Text, fault

Side = tuple[SideEntry, ...]


class Seam(Part):
    """A seam: the edges of `join`, in order, are sewn to those of `to`."""

    join: Side = Field(
        min_length=1, max_length=60, description="One side, in order of sewing.", examples=[["front.right"]]
    )
    to: Side = Field(min_length=1, max_length=60, description="The other side.", examples=[["back.left"]])
    ease: Ease | None = Field(
        None, description="How much longer the eased side is: a length or a percentage.", examples=["3 mm", "2 %"]
    )
    fullness: Factor | None = Field(
        None, description="How many times as long the eased side is, gathered.", examples=["3/2"]
    )
    eased: Literal["join", "to"] = Field("join", description="Which side is the longer one.", examples=["join"])
    closed: bool = Field(False, description="Whether both sides run round and end where they start.", examples=[True])
    kind: Literal["plain", "topstitched", "lapped", "zip", "bound"] = Field(
        "plain", description="How it is made.", examples=["plain"]
    )
    tolerance: Length | None = Field(
        None,
        description="How far the sides may differ where a curve or a slant leaves no exact answer.",
        examples=["1.5 mm"],
    )
    notches: tuple[tuple[Reference, Reference], ...] = Field(
        (),
        max_length=40,
        description="Notches that must meet, the join side's first.",
        examples=[[["band.middle", "front.middle"]]],
    )
    stitch: str = Field(
        "301",
        max_length=3,
        pattern=r"^[1-8][0-9]{2}$",
        description="The class of stitch that sews it, by ISO 4915.",
        examples=["401"],
    )
    match: bool = Field(False, description="Whether the print runs on across the seam.", examples=[True])
    says: Text = Field(
        "", description="Anything more to say.", examples=["the side seam comes to lie on the bottom seam"]
    )
    when: When

    @model_validator(mode="after")
    def _one_kind_of_ease(self) -> Self:
        if self.ease is not None and self.fullness is not None:
            raise fault("ease and fullness are both given", "keep one of the two")
        return self
