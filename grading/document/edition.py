"""Editions: for which ruler a pattern is written, how far it is tested, and what makers may do with it."""

from typing import Literal

from pydantic import Field

from grading.document.values import Name, Part, Text


class Erratum(Part):
    """A correction of copies that have been printed."""

    size: Name | None = Field(None, description="The size that it is about; all if left out.", examples=["mini"])
    says: Text = Field(min_length=1, description="What is wrong, and what is right.", examples=["cut the tab twice"])
    since: Text = Field("", description="Since when it is known, or mended.", examples=["2 May"])


class Edition(Part):
    """What a maker wants to know of the pattern as a publication."""

    system: Literal["metric", "imperial"] = Field("metric", description="Its measures.", examples=["metric"])
    state: Literal["drafted", "sewn", "in testing", "published"] = Field(
        "drafted", description="How far it has come.", examples=["drafted"]
    )
    licence: Text = Field("", description="What makers may do.", examples=["personal use"])
    skills: tuple[Text, ...] = Field(
        (), max_length=40, description="What a maker should know.", examples=[["sewing curves"]]
    )
    time: Text = Field("", description="How long it takes, as a range.", examples=["4 to 6 hours"])
    errata: tuple[Erratum, ...] = Field(
        (), max_length=200, description="Corrections, by size.", examples=[[{"says": "cut the tab twice"}]]
    )

    @property
    def is_sewn(self) -> bool:
        """Whether a bag has been sewn from it."""
        return self.state != "drafted"
