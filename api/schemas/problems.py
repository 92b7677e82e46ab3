"""What every error looks like."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from api.schemas.base import Envelope


class Fault(Envelope):
    """One thing that is wrong."""

    path: Annotated[str, Field(description="Where, from the top of the document.", examples=["seams.side.join.0"])]
    problem: Annotated[str, Field(description="What is wrong.", examples=["panel has no edge 'rigth'"])]
    remedy: Annotated[str, Field(description="What would be right.", examples=["name one of top, right, bottom, left"])]


class Relation(Envelope):
    """A relation of a pattern in a maker's words."""

    id: Annotated[str, Field(description="Its name.", examples=["rule:shoulder"])]
    says: Annotated[str, Field(description="What it says, with its numbers.", examples=["handle_length >= 600"])]
    because: Annotated[str, Field(description="Why it is there.", examples=["the handles go over a shoulder"])]
    path: Annotated[str, Field(description="Where it is written.", examples=["rules.shoulder"])]


class Problem(Envelope):
    """A problem document (RFC 9457)."""

    type: Annotated[str, Field(description="Where this kind of problem is explained.", examples=["/problems/faults"])]
    title: Annotated[str, Field(description="The kind of problem.", examples=["What was sent has faults"])]
    status: Annotated[int, Field(ge=400, le=599, description="The status of the answer.", examples=[422])]
    detail: Annotated[str, Field(description="This problem in particular.", examples=["One fault was found."])]
    faults: Annotated[list[Fault] | None, Field(description="Everything that is wrong, at once.")] = None
    relations: Annotated[list[Relation] | None, Field(description="What cannot hold together.")] = None
    head: Annotated[str | None, Field(description="The pattern's head as it is now.")] = None


class ProblemKind(Envelope):
    """A kind of problem, explained."""

    type: Annotated[str, Field(description="The kind's address.", examples=["/problems/conflict"])]
    title: Annotated[str, Field(description="Its title.", examples=["This size cannot be made"])]
    status: Annotated[int, Field(ge=400, le=599, description="The status that comes with it.", examples=[409])]
    says: Annotated[str, Field(description="What it means.", examples=["The relations listed cannot hold together."])]
