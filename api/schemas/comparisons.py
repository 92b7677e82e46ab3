"""Charts of sizes, differences of revisions, and answers to requests."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from api.schemas.base import Envelope
from api.schemas.problems import Fault, Relation

Format = Annotated[int, Field(ge=1, le=1, description="The version of this format.", examples=[1])]
PatternTitle = Annotated[str, Field(description="The pattern's name.", examples=["Market tote"])]
SizeTitle = Annotated[str, Field(description="The size's name.", examples=["mini"])]
State = Annotated[str, Field(description="How far the edition has come.", examples=["published"])]


class SizeRefused(Envelope):
    """Why a size cannot be made."""

    says: Annotated[str, Field(description="The reason in words.", examples=["width is at most 520 mm"])]
    relations: Annotated[list[Relation], Field(description="What cannot hold together.")]
    faults: Annotated[list[Fault], Field(description="What is wrong with the request or the document.")]
    remedy: Annotated[str, Field(description="What would help, where that is known.", examples=["use 2 mm"])]


class HeldBack(Envelope):
    """A dimension that is given otherwise than wished, and why."""

    dimension: Annotated[str, Field(description="Its name.", examples=["corner"])]
    wished: Annotated[str | None, Field(description="What was wished.", examples=["38.5 mm"])]
    given: Annotated[str, Field(description="What is given.", examples=["40 mm"])]
    because: Annotated[list[Relation], Field(description="What holds it back, the nearest first.")]
    says: Annotated[str, Field(description="All of it in one sentence.", examples=["corner: 40 mm instead of 38.5 mm"])]


class MadeSize(Envelope):
    """One size of a chart."""

    ruler: Annotated[str, Field(description="The step that its measures lie on.", examples=["1 mm"])]
    dimensions: Annotated[dict[str, str], Field(description="Each dimension as given.", examples=[{"width": "252 mm"}])]
    inside: Annotated[list[str] | None, Field(description="The room inside: width, height, depth.")]
    volume: Annotated[str | None, Field(description="The room inside in litres.", examples=["16.42 L"])]
    pieces: Annotated[dict[str, Any], Field(description="The finished width and height of the main pieces.")]
    stock: Annotated[dict[str, str], Field(description="What is chosen from stock.")]
    zips: Annotated[dict[str, Any], Field(description="Each zip: its length in the bag and as bought.")]
    held: Annotated[list[HeldBack], Field(description="The dimensions that a rule holds back.")]


class ChartSize(Envelope):
    """A size of a chart: made, or refused."""

    name: SizeTitle
    made: Annotated[MadeSize | None, Field(description="Its measures; null if it cannot be made.")]
    refused: Annotated[SizeRefused | None, Field(description="Why it cannot be made; null if it can.")]


class Chart(Envelope):
    """All named sizes of a revision beside each other."""

    format: Format
    kind: Annotated[str, Field(description="Always `chart`.", examples=["chart"])]
    pattern: PatternTitle
    state: State
    says: Annotated[str, Field(description="What a reader should know.", examples=["calculated, not yet sewn"])]
    titles: Annotated[dict[str, str], Field(description="What each dimension is.")]
    sizes: Annotated[list[ChartSize], Field(description="The sizes, base first.")]


class Change(Envelope):
    """One measure, number or text that has changed."""

    what: Annotated[str, Field(description="What it is.", examples=["main across"])]
    before: Annotated[str | None, Field(description="As it was; null if it is new.", examples=["500 mm"])]
    after: Annotated[str | None, Field(description="As it is; null if it is gone.", examples=["504 mm"])]
    by: Annotated[str | None, Field(description="How much longer or greater it is.", examples=["+4 mm"])]


class PartChange(Envelope):
    """A piece, seam, covering or finding that has changed."""

    name: Annotated[str, Field(description="Its name.", examples=["panel"])]
    kind: Annotated[str, Field(description="`added`, `removed` or `changed`.", examples=["changed"])]
    changes: Annotated[list[Change], Field(description="What has changed of it.")]


class SidesRefused(Envelope):
    """Why a size cannot be made before or after."""

    before: SizeRefused | None
    after: SizeRefused | None


class SizeDifference(Envelope):
    """What changes in one size."""

    name: SizeTitle
    changed: Annotated[bool, Field(description="Whether a maker of this size would notice.")]
    refused: SidesRefused
    asked: Annotated[list[Change], Field(description="What the size is asked by.")]
    dimensions: list[Change]
    steps: list[Change]
    pieces: list[PartChange]
    seams: list[PartChange]
    coverings: list[PartChange]
    findings: list[PartChange]


class Side(Envelope):
    """One of two revisions."""

    pattern: PatternTitle
    state: State


class Difference(Envelope):
    """What changes from one revision to another, in each size that both have."""

    format: Format
    kind: Annotated[str, Field(description="Always `difference`.", examples=["difference"])]
    old: Side
    new: Side
    sizes: list[SizeDifference]
    only_old: Annotated[list[str], Field(description="Sizes that the newer one has no more.")]
    only_new: Annotated[list[str], Field(description="Sizes that are new.")]
    published: Annotated[list[str], Field(description="Sizes of a published edition that change or are taken away.")]
    says: Annotated[str, Field(description="The difference in one line.", examples=["2 of 3 sizes change"])]


class DimensionAnswer(Envelope):
    """One dimension of an answer."""

    title: Annotated[str, Field(description="What it is.", examples=["finished width"])]
    sizing: Annotated[str, Field(description="How it follows a size.", examples=["proportion"])]
    asked: Annotated[str | None, Field(description="What the request sets.", examples=["250 mm"])]
    wished: Annotated[str | None, Field(description="What it would be if nothing stood in the way.")]
    nearest: Annotated[str, Field(description="The nearest with which everything holds.", examples=["252.5 mm"])]
    given: Annotated[str, Field(description="As it is cut, on the ruler.", examples=["253 mm"])]
    in_stock: Annotated[list[str], Field(description="What it was chosen from.", examples=[["20 mm", "25 mm"]])]
    because: Annotated[list[Relation], Field(description="What holds it back, or decides it.")]
    says: Annotated[str, Field(description="All of it in one sentence.", examples=["width: 252 mm, as wished"])]


class Answer(Envelope):
    """The answer to a size request: what was asked, what is given, and why they differ."""

    format: Format
    kind: Annotated[str, Field(description="Always `answer`.", examples=["answer"])]
    pattern: PatternTitle
    size: Annotated[dict[str, Any], Field(description="The size's name, or null, and the request.")]
    ruler: Annotated[str, Field(description="The step that measures lie on.", examples=["1 mm"])]
    dimensions: dict[str, DimensionAnswer]
    held: Annotated[list[Relation], Field(description="Everything that holds the size back.")]
    says: Annotated[list[str], Field(description="A sentence for each dimension that is not given as wished.")]
