"""Pieces: outlines on the stitching line, their edges, layers, notches and lines."""

from typing import Annotated, Any, Literal, Self

from pydantic import Discriminator, Field, Tag, model_validator

from grading.document.choices import When
from grading.document.materials import Shrinks
from grading.document.values import Expression, Factor, Length, Name, Part, Reference, Text, fault
from grading.exact import read_number

Place = tuple[Expression, Expression]
"""A point [x, y]: x to the right, y upwards, seen from the right side of the cloth."""


class Trapezoid(Part):
    """A shape with a level top and bottom and slanted sides."""

    top: Expression = Field(description="Length of the top.", examples=["flap_width"])
    bottom: Expression = Field(description="Length of the bottom.", examples=["flap_width - 60"])
    height: Expression = Field(description="Distance from top to bottom.", examples=["flap_height"])
    lean: Expression = Field(0, description="How far the bottom's middle lies right of the top's.", examples=[0])


class Corners(Part):
    """A radius for each rounded corner; a corner left out is square."""

    top_left: Expression | None = Field(None, description="Radius at the top left.", examples=["corner"])
    top_right: Expression | None = Field(None, description="Radius at the top right.", examples=["corner"])
    bottom_right: Expression | None = Field(None, description="Radius at the bottom right.", examples=["corner"])
    bottom_left: Expression | None = Field(None, description="Radius at the bottom left.", examples=["corner"])


class RoundedRectangle(Part):
    """A rectangle with rounded corners, each its own."""

    width: Expression = Field(description="Width over all.", examples=["width"])
    height: Expression = Field(description="Height over all.", examples=["height"])
    corners: Expression | Corners = Field(
        description="One radius for all corners, or one for each.", examples=["corner", {"bottom_left": "corner"}]
    )


class Disc(Part):
    """A round piece."""

    radius: Expression = Field(description="Radius on the stitching line.", examples=["radius"])


class RectangleOutline(Part):
    """A rectangle, by width and height."""

    rectangle: tuple[Expression, Expression] = Field(description="Width and height.", examples=[["width", "height"]])


class TrapezoidOutline(Part):
    """A trapezoid."""

    trapezoid: Trapezoid = Field(
        description="Its measures.",
        examples=[{"top": "flap_width", "bottom": "flap_width - 60", "height": "flap_height"}],
    )


class RoundedRectangleOutline(Part):
    """A rounded rectangle."""

    rounded_rectangle: RoundedRectangle = Field(
        description="Its measures.", examples=[{"width": "width", "height": "height", "corners": "corner"}]
    )


class DiscOutline(Part):
    """A disc; its one edge is named rim."""

    disc: Disc = Field(description="Its measure.", examples=[{"radius": "radius"}])


class Sector(Part):
    """A part of a ring."""

    outer: Expression = Field(description="Radius of the outer circle.", examples=["outer"])
    inner: Expression = Field(description="Radius of the inner circle; 0 for none.", examples=["outer - breadth"])
    turn: Factor = Field(description="The part of the full circle, above 0 and below 1.", examples=["1/4"])

    @model_validator(mode="after")
    def _turns_a_part(self) -> Self:
        if not 0 < read_number(self.turn) < 1:
            raise fault(f"{self.turn} is no part of a circle", "give a turn above 0 and below 1, such as '1/4'")
        return self


class SectorOutline(Part):
    """A part of a ring: a flat whose points follow from its measures."""

    sector: Sector = Field(
        description="Its measures.", examples=[{"outer": "outer", "inner": "outer - breadth", "turn": "1/4"}]
    )


class Cone(Part):
    """A cone, or one cut off level, before it is laid flat."""

    bottom: Expression = Field(description="Radius at the wide end.", examples=["rim_radius"])
    top: Expression = Field(description="Radius at the narrow end; 0 where it runs to a point.", examples=["radius"])
    height: Expression = Field(description="Height, upright, not along the slope.", examples=["height"])
    share: Factor = Field(1, description="What part of the way round one piece goes.", examples=["1/2"])

    @model_validator(mode="after")
    def _is_a_share(self) -> Self:
        if not 0 < read_number(self.share) <= 1:
            raise fault(f"{self.share} is no share of a cone", "give a share above 0 and up to 1, such as '1/2'")
        return self


class ConeOutline(Part):
    """The flat of a cone, or of a part of it."""

    cone: Cone = Field(
        description="The measures of the cone.",
        examples=[{"bottom": "rim_radius", "top": "radius", "height": "height", "share": "1/2"}],
    )


class PathEdge(Part):
    """One edge of a free path: a line, an arc of a quarter or half turn or of any rise, an ellipse, or a cubic."""

    name: Name = Field(description="The edge's name.", examples=["top"])
    to: Place = Field(description="Where it ends.", examples=[["width/2", 0]])
    quarter: Literal["right", "left"] | None = Field(
        None, description="A quarter arc, turning right (clockwise) or left.", examples=["right"]
    )
    half: Literal["right", "left"] | None = Field(
        None, description="A half arc, turning right (clockwise) or left.", examples=["right"]
    )

    ellipse: Literal["right", "left"] | None = Field(
        None,
        description="A quarter of an ellipse whose half axes are how far it goes across and along, turning right or "
        "left.",
        examples=["right"],
    )
    arc: Literal["right", "left"] | None = Field(
        None,
        description="An arc of a circle with `rise`, turning right or left, at most a half turn.",
        examples=["left"],
    )
    rise: Expression | None = Field(
        None, description="How far the middle of an arc lies beside the middle of its chord.", examples=["width/10"]
    )
    cubic: tuple[Place, Place] | None = Field(
        None,
        description="The two inner points of a cubic curve (Bezier).",
        examples=[[["width/6", "-height/4"], ["width/3", "-height/4"]]],
    )

    @model_validator(mode="after")
    def _one_kind_of_curve(self) -> Self:
        kinds = [kind for kind in ("quarter", "half", "ellipse", "arc", "cubic") if getattr(self, kind) is not None]
        if len(kinds) > 1:
            raise fault(f"it is {' and '.join(kinds)} at once", "keep one of them")
        if self.arc is not None and self.rise is None:
            raise fault("this arc has no rise", 'say how far its middle lies beside its chord, as in "rise": "20 mm"')
        if self.rise is not None and self.arc is None:
            raise fault("only an arc has a rise", 'add "arc": "right" or "left", or leave the rise out')
        return self


class PathOutline(Part):
    """A free path of lines and curves, clockwise, that ends where it starts."""

    start: Place = Field(description="Where the first edge starts.", examples=[["-width/2", 0]])
    edges: tuple[PathEdge, ...] = Field(
        min_length=1,
        max_length=60,
        description="The edges in order.",
        examples=[[{"name": "top", "to": ["width/2", 0]}]],
    )


_SHAPES = ("rectangle", "trapezoid", "rounded_rectangle", "disc", "sector", "cone")


def _shape(value: Any) -> str:
    keys = value if isinstance(value, dict) else ()
    return next((shape for shape in _SHAPES if shape in keys), "path")


Outline = Annotated[
    Annotated[RectangleOutline, Tag("rectangle")]
    | Annotated[TrapezoidOutline, Tag("trapezoid")]
    | Annotated[RoundedRectangleOutline, Tag("rounded_rectangle")]
    | Annotated[DiscOutline, Tag("disc")]
    | Annotated[SectorOutline, Tag("sector")]
    | Annotated[ConeOutline, Tag("cone")]
    | Annotated[PathOutline, Tag("path")],
    Discriminator(_shape),
]


class EdgeSettings(Part):
    """What is particular to one edge of a piece."""

    allowance: Expression | None = Field(None, description="Its seam or hem allowance.", examples=["40 mm"])
    fate: Literal["hemmed once", "hemmed twice", "bound", "folded", "selvage", "raw"] | None = Field(
        None,
        description="What becomes of an edge that no seam joins and no covering catches.",
        examples=["hemmed twice"],
    )
    finish: Literal["bound", "overcast", "turned in", "raw"] | None = Field(
        None, description="A further finish of a joined or caught edge; raw: none is needed.", examples=["bound"]
    )


class NamedUse(Part):
    """One use of a piece, mirrored or not."""

    name: Name = Field(description="The use's name.", examples=["left_strap"])
    mirrored: bool = Field(False, description="Whether it is cut mirrored.", examples=[True])


class Notch(Part):
    """A mark on an edge."""

    edge: Name = Field(description="The edge it is on.", examples=["top"])
    at: Expression = Field(
        description='Distance along the edge from its start, or "middle".', examples=["width/2", "middle"]
    )
    when: When


class Line(Part):
    """A straight line inside a piece."""

    from_: Place = Field(alias="from", description="Where it starts.", examples=[[0, "-height/2"]])
    to: Place = Field(description="Where it ends.", examples=[["width", "-height/2"]])
    kind: Literal["placement", "topstitching", "quilting", "fold", "pleat"] = Field(
        "placement", description="What it is for.", examples=["fold"]
    )
    when: When


class Layer(Part):
    """One material that a piece is cut from."""

    material: Name = Field(description="The role of the material.", examples=["main"])
    name: Name | None = Field(None, description="The layer's name; the material's if left out.", examples=["foam"])
    count: int = Field(1, ge=1, le=20, description="How many are cut for each use.", examples=[1])
    face: Literal["up", "down"] = Field("up", description="Which way its right side lies.", examples=["down"])
    oversize: Expression | None = Field(
        None, description="How much larger all round it is cut, to be quilted and trimmed.", examples=["25 mm"]
    )
    inset: Expression | None = Field(
        None, description="How far inside the stitching line it ends, as foam does.", examples=["3 mm"]
    )
    shrinks: Shrinks | None = Field(
        None,
        description="What quilting or fusing takes it in; as the material says if left out.",
        examples=[{"across": "2 %", "along": "3 %"}],
    )
    says: Text = Field("", description="Anything more to say.", examples=["glue side towards the lining"])
    when: When

    @property
    def title(self) -> str:
        """The layer's name, which is the material's where it has none of its own."""
        return self.name or self.material

    @model_validator(mode="after")
    def _either_larger_or_smaller(self) -> Self:
        if self.oversize is not None and self.inset is not None:
            raise fault("a layer is both cut larger and set inside the stitching line", "keep one of the two")
        return self


class Motif(Part):
    """A point of a piece's drawing that lies on a point of the print."""

    point: Place = Field(description="The point of the drawing.", examples=[["width/2", "-height/2"]])
    on: tuple[Length, Length] = Field(
        (0, 0),
        description="The point of the print's repeat, across and along from the corner that is nearest to the left "
        "selvage and the cut end, as bought.",
        examples=[["80 mm", "80 mm"]],
    )
    layers: tuple[Name, ...] | None = Field(
        None,
        min_length=1,
        max_length=12,
        description="The layers that lie so; all whose material has a repeat, if left out.",
        examples=[["main"]],
    )


class Piece(Part):
    """A piece of the bag: its outline on the stitching line and the layers it is cut from."""

    says: Text = Field("", description="What it is, in words.", examples=["front and back"])
    uses: tuple[Name | NamedUse, ...] = Field(
        (),
        max_length=40,
        description="Its uses in the bag; one named as the piece if left out.",
        examples=[["front", "back"]],
    )
    outline: Outline = Field(
        description="Its stitching line, seen from the right side of the cloth.",
        examples=[{"rectangle": ["width", "height"]}],
    )
    edges: dict[Name, EdgeSettings] = Field(
        {},
        description="What is particular to each edge.",
        examples=[{"top": {"allowance": "40 mm", "fate": "hemmed twice"}}],
    )
    grain: Literal["along", "across", "bias"] = Field(
        "along", description="Whether the grain runs along y, across (along x), or at 45 degrees.", examples=["along"]
    )
    up: Name | None = Field(None, description="The edge that is up as worn.", examples=["top"])
    on_fold: bool = Field(False, description="Whether it is cut on a fold along the grain.", examples=[True])
    strip: bool = Field(False, description="Whether it may be joined from several widths of cloth.", examples=[True])
    notches: dict[Name, Notch] = Field(
        {}, description="Marks on its edges.", examples=[{"middle": {"edge": "top", "at": "middle"}}]
    )
    lines: dict[Name, Line] = Field(
        {},
        description="Lines inside it.",
        examples=[{"fold": {"from": [0, -20], "to": ["width", -20], "kind": "fold"}}],
    )
    motif: Motif | None = Field(
        None, description="Where it lies on the print.", examples=[{"point": ["width/2", "-height/2"]}]
    )
    on_border: Name | None = Field(
        None, description="The straight edge whose cut line lies on the border of a border print.", examples=["bottom"]
    )
    layers: tuple[Layer, ...] = Field(
        min_length=1, max_length=12, description="What it is cut from.", examples=[[{"material": "main"}]]
    )
    when: When

    def named_uses(self, name: str) -> tuple[NamedUse, ...]:
        """Its uses, the default one named as the piece."""
        if not self.uses:
            return (NamedUse(name=name),)
        return tuple(use if isinstance(use, NamedUse) else NamedUse(name=use) for use in self.uses)


class WrittenEdge(Part):
    """A part of an edge, or the whole, as one entry of a seam's side."""

    edge: Reference = Field(description="The use and its edge.", examples=["front.right"])
    from_: Expression | None = Field(
        None, alias="from", description="Where the part begins, from the edge's start.", examples=["width/2"]
    )
    to: Expression | None = Field(None, description="Where the part ends, from the edge's start.", examples=["width"])
    direction: Literal["forward", "backward"] | None = Field(
        None, description="Whether it is followed as the outline runs.", examples=["backward"]
    )


class WrittenLine(Part):
    """A line inside a piece, as one entry of a seam's side."""

    line: Reference = Field(description="The use and its line.", examples=["front.placement"])
    direction: Literal["forward", "backward"] | None = Field(
        None, description="Whether it is followed from its start.", examples=["forward"]
    )


def _kind_of_entry(value: Any) -> str:
    if isinstance(value, str):
        return "text"
    if isinstance(value, WrittenLine) or (isinstance(value, dict) and "line" in value):
        return "line"
    return "edge"


SideEntry = Annotated[
    Annotated[Reference, Tag("text")] | Annotated[WrittenEdge, Tag("edge")] | Annotated[WrittenLine, Tag("line")],
    Discriminator(_kind_of_entry),
]
"""One entry of a seam's side: "front.right", "front.right backward", or an object."""
