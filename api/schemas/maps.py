"""The solution map of a revision."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from api.schemas.base import Envelope


class SolutionMap(Envelope):
    """What a revision's seams and rules decide in every size: each dimension from those that they leave free."""

    format: Annotated[int, Field(ge=1, le=1, description="The version of this format.", examples=[1])]
    kind: Annotated[str, Field(description="Always `map`.", examples=["map"])]
    pattern: Annotated[str, Field(description="The pattern's name.", examples=["Market tote"])]
    ruler: Annotated[str, Field(description="The ruler that the pattern's constants lie on.", examples=["1 mm"])]
    options: Annotated[
        dict[str, str] | None, Field(description="The choice of each option.", examples=[{"sleeve": "with"}])
    ] = None
    free: Annotated[list[str], Field(description="The dimensions that are left free.", examples=[["width", "depth"]])]
    map: Annotated[
        dict[str, dict[str, str]],
        Field(
            description="Each other dimension: how often it takes a free one, and `1` how many mm more.",
            examples=[{"pocket_width": {"1": "-20", "width": "1", "depth": "1"}}],
        ),
    ]
    curved: Annotated[list[str], Field(description="Equations in which roots stay, of which the map says nothing.")]
