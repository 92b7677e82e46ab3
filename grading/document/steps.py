"""Steps: how the bag is made, with measures in the text."""

import re
from typing import Literal

from pydantic import Field

from grading.document.choices import When
from grading.document.values import Name, Part, Reference, Text

MEASURE = re.compile(r"\{\{|\}\}|\{(?P<path>[^{}]*)\}|(?P<stray>[{}])")
"""A measure in a step's text, or a doubled brace, or a brace out of place."""

Action = Literal[
    "fuse",
    "quilt",
    "trim",
    "tack",
    "sew",
    "leave open",
    "turn",
    "close",
    "clip",
    "bind",
    "topstitch",
    "cut",
    "mark",
    "press",
]


class Step(Part):
    """One step of the making."""

    text: Text = Field(
        description="What to do; {…} stands for a measure.", examples=["Close the sides ({side.length})."]
    )
    action: Action = Field(description="What kind of work it is.", examples=["sew"])
    uses: tuple[Name, ...] = Field((), description="The uses and findings it needs.", examples=[["front", "back"]])
    makes: tuple[Name, ...] = Field((), description="The seams it makes.", examples=[["side"]])
    lays: tuple[Name, ...] = Field((), description="The coverings it lays.", examples=[["pocket_on_front"]])
    finishes: tuple[Reference, ...] = Field((), description="The edges it finishes.", examples=[["pocket.top"]])
    binds: tuple[Name, ...] = Field((), description="The bindings it sews.", examples=[["binding"]])
    when: When
