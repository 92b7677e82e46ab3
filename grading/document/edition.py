"""Editions: for which ruler a pattern is written, how far it is tested, and what makers may do with it."""

from typing import Literal

from pydantic import Field

from grading.document.values import Part, Text


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
