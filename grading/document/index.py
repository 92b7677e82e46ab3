"""What the names of a document stand for: which use belongs to which piece, which edges it has."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from grading.document.expressions import ExpressionFault, Scope, length_value, names_in
from grading.document.findings import Zip
from grading.document.pattern import Pattern
from grading.document.pieces import (
    ConeOutline,
    Corners,
    DiscOutline,
    Outline,
    PathOutline,
    Piece,
    RoundedRectangleOutline,
    SectorOutline,
    SideEntry,
    WrittenEdge,
    WrittenLine,
)
from grading.document.values import Expression

RECTANGLE_EDGES = ("top", "right", "bottom", "left")
FLAT_EDGES = ("outer", "right", "inner", "left")
POINTED_EDGES = ("outer", "right", "left")
CORNERS = ("top_left", "top_right", "bottom_right", "bottom_left")


@dataclass(frozen=True)
class UseOfPiece:
    """A use: the piece it is of, and whether it is mirrored."""

    name: str
    piece: str
    mirrored: bool


@dataclass(frozen=True)
class Entry:
    """One entry of a seam's side, as written: of an edge (or a part of it), or of a line."""

    use: str
    edge: str
    is_line: bool
    start: Expression | None
    end: Expression | None
    direction: Literal["forward", "backward"] | None

    @property
    def reference(self) -> str:
        """The edge as it is written."""
        return f"{self.use}.{self.edge}"


@dataclass(frozen=True)
class Index:
    """All uses and zips of a pattern by name."""

    pattern: Pattern
    uses: dict[str, UseOfPiece]
    zips: dict[str, Zip]

    def piece_of(self, use: str) -> Piece:
        """The piece that a use is of."""
        return self.pattern.pieces[self.uses[use].piece]

    def edges_of(self, use: str) -> tuple[str, ...] | None:
        """The names of the edges of a use or a zip; None if there is no such use."""
        if use in self.zips:
            return RECTANGLE_EDGES
        if use in self.uses:
            return edge_names(self.piece_of(use).outline)
        return None


def index_of(pattern: Pattern) -> Index:
    """Index a pattern; of names given twice the first counts (the check of names reports them)."""
    uses: dict[str, UseOfPiece] = {}
    for name, piece in pattern.pieces.items():
        for use in piece.named_uses(name):
            uses.setdefault(use.name, UseOfPiece(use.name, name, use.mirrored))
    zips = {name: finding.zip for name, finding in pattern.findings.items() if finding.zip is not None}
    return Index(pattern, uses, zips)


def edge_names(outline: Outline) -> tuple[str, ...]:
    """The names of an outline's edges, in order."""
    match outline:
        case RoundedRectangleOutline(rounded_rectangle=shape):
            rounded = {corner: radius is not None for corner, radius in corner_radii(shape.corners).items()}
            order = ("top", "top_right", "right", "bottom_right", "bottom", "bottom_left", "left", "top_left")
            return tuple(name for name in order if rounded.get(name, True))
        case DiscOutline():
            return ("rim",)
        case PathOutline(edges=edges):
            return tuple(edge.name for edge in edges)
        case SectorOutline() | ConeOutline():
            return POINTED_EDGES if is_nothing(inner_radius(outline)) else FLAT_EDGES
        case _:
            return RECTANGLE_EDGES


def inner_radius(flat: SectorOutline | ConeOutline) -> Expression:
    """The radius of the circle that a flat ends at inside: where it is nothing the sides meet in a point."""
    return flat.sector.inner if isinstance(flat, SectorOutline) else flat.cone.top


def is_nothing(value: Expression) -> bool:
    """Whether a drawn value is 0 whatever the dimensions, counts and thicknesses are."""
    try:
        return length_value(value, Scope("mm", frozenset(names_in(value)))).is_zero
    except ExpressionFault:
        return False


def is_flat(outline: Outline) -> bool:
    """Whether an outline's points are computed at a size, so that it has no box as symbols."""
    return isinstance(outline, SectorOutline | ConeOutline)


def corner_radii(corners: Expression | Corners) -> dict[str, Expression | None]:
    """The radius of each corner by its name, None where it is square."""
    if isinstance(corners, Corners):
        return {name: getattr(corners, name) for name in CORNERS}
    return dict.fromkeys(CORNERS, corners)


def read_entry(entry: SideEntry) -> Entry:
    """An entry of a side as its parts; without a point in the reference, the edge is empty."""
    if isinstance(entry, WrittenLine):
        use, _, line = entry.line.partition(".")
        return Entry(use, line, True, None, None, entry.direction)
    if isinstance(entry, WrittenEdge):
        use, _, edge = entry.edge.partition(".")
        return Entry(use, edge, False, entry.from_, entry.to, entry.direction)
    reference, _, direction = entry.partition(" ")
    use, _, edge = reference.partition(".")
    way: Literal["forward", "backward"] | None = None
    if direction == "forward":
        way = "forward"
    elif direction == "backward":
        way = "backward"
    elif direction:
        edge = f"{edge} {direction}"
    return Entry(use, edge, False, None, None, way)
