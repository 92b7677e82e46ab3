"""The pattern document: one bag, written down once."""

from typing import Literal

from pydantic import Field

from grading.document.choices import Option
from grading.document.contents import Content
from grading.document.coverings import Covering
from grading.document.dimensions import Dimension
from grading.document.edition import Edition
from grading.document.findings import Finding
from grading.document.materials import Material
from grading.document.order import Order
from grading.document.pieces import Piece
from grading.document.requests import SizeRequest
from grading.document.rules import Rule
from grading.document.seams import Seam
from grading.document.steps import Step
from grading.document.stock import StockValue
from grading.document.values import Expression, Length, Name, Part, Text

MOST_PARTS = 2000
"""The most entries that one section may have."""


class Pattern(Part):
    """A sewn bag, drafted once in one size; see the reference for what each part means."""

    format: Literal[1] = Field(description="The version of this format.", examples=[1])
    name: Text = Field(min_length=1, description="The pattern's name.", examples=["Market tote"])
    says: Text = Field("", description="What it is, in words.", examples=["a tote for market days"])
    unit: Literal["mm", "cm", "m", "in", "ft", "yd"] = Field(
        "mm", description="The unit of bare numbers.", examples=["mm"]
    )
    ruler: Length = Field("1 mm", description="The step on which cut measures lie.", examples=["1 mm", "1/8 in"])
    allowance: Length = Field("10 mm", description="The seam allowance where nothing else is said.", examples=["10 mm"])
    seam_tolerance: Length = Field(
        "1.5 mm", description="How far two sides may differ where no exact answer exists.", examples=["1.5 mm"]
    )
    edition: Edition | None = Field(None, description="The publication.", examples=[{"system": "metric"}])
    inside: tuple[Expression, Expression, Expression] | None = Field(
        None, description="The room inside the bag: width, height, depth.", examples=[["width", "height", "depth"]]
    )
    outside: tuple[Expression, Expression, Expression] | None = Field(
        None,
        description="The size of the bag from outside, without bulk: width, height, depth.",
        examples=[["width", "height + 10", "depth + 20"]],
    )
    options: dict[Name, Option] = Field(
        {},
        max_length=50,
        description="Parts that may be left out or swapped.",
        examples=[{"front_pocket": {"choices": ["none", "open"]}}],
    )
    dimensions: dict[Name, Dimension] = Field(
        min_length=1, max_length=MOST_PARTS, description="The named measures.", examples=[{"width": {"base": "360 mm"}}]
    )
    stock: dict[Name, tuple[StockValue, ...]] = Field(
        {},
        max_length=200,
        description="Lists of what can be bought, ascending.",
        examples=[{"webbing": ["20 mm", {"metric": "25 mm", "imperial": "1 in"}]}],
    )
    materials: dict[Name, Material] = Field(
        min_length=1, max_length=200, description="The materials by role.", examples=[{"main": {"says": "canvas"}}]
    )
    pieces: dict[Name, Piece] = Field(
        min_length=1,
        max_length=MOST_PARTS,
        description="The pieces.",
        examples=[{"pocket": {"outline": {"rectangle": ["width", "height"]}, "layers": [{"material": "main"}]}}],
    )
    seams: dict[Name, Seam] = Field(
        {},
        max_length=MOST_PARTS,
        description="What is sewn to what.",
        examples=[{"side": {"join": ["front.right"], "to": ["back.left"]}}],
    )
    coverings: dict[Name, Covering] = Field(
        {},
        max_length=MOST_PARTS,
        description="What is laid over what.",
        examples=[
            {"pocket_on_front": {"piece": "pocket", "over": "front", "clear": {"top": "80 mm", "left": "20 mm"}}}
        ],
    )
    contents: dict[Name, Content] = Field(
        {},
        max_length=MOST_PARTS,
        description="What must fit.",
        examples=[{"magazine": {"in": "pocket", "object": ["210 mm", "297 mm", "12 mm"]}}],
    )
    findings: dict[Name, Finding] = Field(
        {},
        max_length=MOST_PARTS,
        description="What is bought ready made.",
        examples=[{"handle": {"webbing": {"width": 25, "length": "handle_length"}, "count": 2}}],
    )
    rules: dict[Name, Rule] = Field(
        {},
        max_length=MOST_PARTS,
        description="What must hold in every size.",
        examples=[{"shoulder": {"holds": "handle_length >= 600", "because": "the handles go over a shoulder"}}],
    )
    sizes: dict[Name, SizeRequest] = Field(
        {}, max_length=200, description="The named sizes; base is always there.", examples=[{"mini": {"scale": "7/10"}}]
    )
    order: Order | None = Field(
        None,
        description="Between which ends a customer may choose.",
        examples=[{"choose": {"width": ["300 mm", "420 mm"]}, "others": "at base"}],
    )
    steps: tuple[Step, ...] = Field(
        (),
        max_length=MOST_PARTS,
        description="How it is made, in order.",
        examples=[[{"text": "Close the sides.", "action": "sew", "makes": ["side"]}]],
    )
