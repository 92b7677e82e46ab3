"""What every error looks like."""

from __future__ import annotations

from typing import Annotated, Any

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


class ConflictBranch(Envelope):
    """What shows a conflict for one choice from stock: relations times these numbers add up to less than nothing."""

    stock: Annotated[dict[str, str], Field(description="The choice.", examples=[{"zip_length": "300 mm"}])]
    order: Annotated[
        list[int] | None, Field(description="How the bag is turned in a box.", examples=[[0, 2, 1]], max_length=3)
    ] = None
    multipliers: Annotated[
        dict[str, str], Field(description="A rational number for each relation.", examples=[{"rule:shoulder": "1"}])
    ]


class Limit(Envelope):
    """What a relation in a conflict needs, and what it could come to if all others held."""

    relation: Annotated[str, Field(description="The relation's name.", examples=["rule:shoulder"])]
    needs: Annotated[str, Field(description="What it needs.", examples=["600 mm"])]
    reaches: Annotated[str, Field(description="The nearest that it could come to.", examples=["400 mm"])]
    says: Annotated[str, Field(description="Both in words, and why.", examples=["it needs 600 mm, and it can be …"])]


class Remedy(Envelope):
    """A change with which a size was found."""

    change: Annotated[str, Field(description="In words.", examples=["ask for width of 300 mm in place of 400 mm"])]
    request: Annotated[
        dict[str, Any] | None,
        Field(description="The request that asks for it; null for a change of the pattern.", examples=[{"scale": 1}]),
    ]
    distance: Annotated[float, Field(ge=0, description="How large the change is, in proportion.", examples=[0.25])]


class ConflictSet(Envelope):
    """A further set of relations that cannot hold together."""

    relations: Annotated[list[Relation], Field(description="What cannot hold together.")]
    certificate: Annotated[list[ConflictBranch], Field(description="What shows it.")]


class Problem(Envelope):
    """A problem document (RFC 9457)."""

    type: Annotated[str, Field(description="Where this kind of problem is explained.", examples=["/problems/faults"])]
    title: Annotated[str, Field(description="The kind of problem.", examples=["What was sent has faults"])]
    status: Annotated[int, Field(ge=400, le=599, description="The status of the answer.", examples=[422])]
    detail: Annotated[str, Field(description="This problem in particular.", examples=["One fault was found."])]
    faults: Annotated[list[Fault] | None, Field(description="Everything that is wrong, at once.")] = None
    relations: Annotated[list[Relation] | None, Field(description="What cannot hold together.")] = None
    certificate: Annotated[list[ConflictBranch] | None, Field(description="What shows that they cannot.")] = None
    limits: Annotated[list[Limit] | None, Field(description="What they need, and could come to.")] = None
    remedies: Annotated[list[Remedy] | None, Field(description="What would do, the nearest first.")] = None
    further: Annotated[list[ConflictSet] | None, Field(description="What else cannot hold together.")] = None
    document: Annotated[dict[str, Any] | None, Field(description="The draft's document as it is now.")] = None
    version: Annotated[int | None, Field(ge=1, le=2**31 - 1, description="The draft's version as it is now.")] = None
    head: Annotated[str | None, Field(description="The pattern's head as it is now.")] = None
    scope: Annotated[str | None, Field(description="The scope that a key would need.")] = None


class ProblemKind(Envelope):
    """A kind of problem, explained."""

    type: Annotated[str, Field(description="The kind's address.", examples=["/problems/conflict"])]
    title: Annotated[str, Field(description="Its title.", examples=["This size cannot be made"])]
    status: Annotated[int, Field(ge=400, le=599, description="The status that comes with it.", examples=[409])]
    says: Annotated[str, Field(description="What it means.", examples=["The relations listed cannot hold together."])]
