"""The tables of one piece: its outline, edges, layers, notches and lines."""

from __future__ import annotations

from typing import Any

from api.pages.desk.notation import ALIKE, EXPRESSION, LONG, TEXT, WORDS
from api.pages.desk.sections import FATES, FINISHES
from api.pages.desk.table import Field, Path, Table, part

SQUARE = ("top", "right", "bottom", "left")
ROUNDED = ("top", "top_right", "right", "bottom_right", "bottom", "bottom_left", "left", "top_left")
CORNERS = ("top_left", "top_right", "bottom_right", "bottom_left")
WAYS = ("quarter", "half", "ellipse", "arc")
NEW_OUTLINES: dict[str, Any] = {
    "rectangle": {"rectangle": ["width", "height"]},
    "trapezoid": {"trapezoid": {"top": "width", "bottom": "width", "height": "height"}},
    "rounded_rectangle": {"rounded_rectangle": {"width": "width", "height": "height", "corners": "40 mm"}},
    "disc": {"disc": {"radius": "width/2"}},
    "sector": {"sector": {"outer": "width", "inner": "width/2", "turn": "1/4"}},
    "cone": {"cone": {"bottom": "width/2", "top": "width/4", "height": "height"}},
    "path": {
        "start": ["0", "0"],
        "edges": [
            {"name": "top", "to": ["width", "0"]},
            {"name": "right", "to": ["width", "-height"]},
            {"name": "bottom", "to": ["0", "-height"]},
            {"name": "left", "to": ["0", "0"]},
        ],
    },
}
"""What a piece has when its kind of outline has just been chosen."""
_WIDE = 22
OUTLINE_FIELDS: dict[str, tuple[Field, ...]] = {
    "rectangle": (
        Field(("rectangle", 0), "Width", size=_WIDE),
        Field(("rectangle", 1), "Height", size=_WIDE),
    ),
    "trapezoid": tuple(
        Field(("trapezoid", key), key.capitalize(), size=_WIDE) for key in ("top", "bottom", "height", "lean")
    ),
    "rounded_rectangle": (
        Field(("rounded_rectangle", "width"), "Width", size=_WIDE),
        Field(("rounded_rectangle", "height"), "Height", size=_WIDE),
    ),
    "disc": (Field(("disc", "radius"), "Radius", size=_WIDE),),
    "sector": (
        Field(("sector", "outer"), "Outer radius", size=_WIDE),
        Field(("sector", "inner"), "Inner radius", size=_WIDE),
        Field(("sector", "turn"), "Part of the full circle"),
    ),
    "cone": (
        Field(("cone", "bottom"), "Radius at the bottom", size=_WIDE),
        Field(("cone", "top"), "Radius at the top", size=_WIDE),
        Field(("cone", "height"), "Height", size=_WIDE),
        Field(("cone", "share"), "Part of the way round"),
    ),
    "path": (Field(("start", 0), "Starts at x", size=_WIDE), Field(("start", 1), "and y", size=_WIDE)),
}
PATH_EDGES = (
    Field(("name",), "Name", TEXT),
    Field(("to", 0), "To x", size=26),
    Field(("to", 1), "To y", size=26),
)
BENDS = (
    *(Field((way,), f"{way.capitalize()} turning", TEXT, ("right", "left")) for way in WAYS),
    Field(("rise",), "Rise of an arc"),
)
CURVE = tuple(
    Field(("cubic", point, way), f"Curve by {('first', 'second')[point]} point {'xy'[way]}")
    for point in (0, 1)
    for way in (0, 1)
)
"""The two inner points of a free curve."""


def outline_kind(piece: Any) -> str:
    """Which kind of outline a piece has; a rectangle where it has none."""
    outline = piece.get("outline") if isinstance(piece, dict) else None
    for kind in NEW_OUTLINES:
        if isinstance(outline, dict) and kind in outline:
            return kind
    return "path" if isinstance(outline, dict) and ("start" in outline or "edges" in outline) else "rectangle"


def edge_names(piece: Any) -> tuple[str, ...]:
    """The names of the edges that the outline of a piece has, and of those that the piece speaks of besides."""
    kind = outline_kind(piece)
    given = {"rectangle": SQUARE, "trapezoid": SQUARE, "disc": ("rim",)}
    if kind in given:
        names = given[kind]
    elif kind in ("sector", "cone"):
        names = ("outer", "right", "inner", "left")
    elif kind == "rounded_rectangle":
        corners = part(piece, ("outline", kind, "corners"))
        rounded = corners if isinstance(corners, dict) else CORNERS
        names = tuple(name for name in ROUNDED if name not in CORNERS or name in rounded)
    else:
        edges = part(piece, ("outline", "edges"))
        found = [edge.get("name") for edge in edges if isinstance(edge, dict)] if isinstance(edges, list) else []
        names = tuple(str(name) for name in found if name)
    spoken = part(piece, ("edges",))
    return tuple(dict.fromkeys([*names, *(spoken if isinstance(spoken, dict) else ())]))


def piece_tables(name: str, piece: Any) -> tuple[Table, ...]:
    """The tables of a piece of this name."""
    kind, edges, here = outline_kind(piece), edge_names(piece), ("pieces", name)
    return (
        *_outline(kind, (*here, "outline")),
        _edges(edges, here),
        _layers(here),
        _notches(edges, here),
        _lines(here),
        _print(edges, here),
    )


def _edges(edges: tuple[str, ...], here: Path) -> Table:
    fields = (
        Field(("allowance",), "Allowance"),
        Field(("fate",), "Fate", TEXT, FATES),
        Field(("finish",), "Further finish", TEXT, FINISHES),
    )
    says = "What becomes of an edge that no seam joins, and how a joined one is finished."
    return Table("edges", (*here, "edges"), "Edges", "edge", fields, "fixed", says=says, lights="edge", rows=edges)


def _layers(here: Path) -> Table:
    fields = (
        Field(("material",), "Material", TEXT, of="materials"),
        Field(("name",), "Name", TEXT),
        Field(("count",), "Count", size=4),
        Field(("face",), "Face", TEXT, ("up", "down")),
        Field(("oversize",), "Rough cut larger by"),
        Field(("inset",), "Inset"),
    )
    more = (
        Field(("shrinks", "across"), "Quilting takes across"),
        Field(("shrinks", "along"), "Quilting takes along"),
        Field(("says",), "Remark", LONG, size=26),
    )
    blank = {"material": "main"}
    where = (*here, "layers")
    return Table("layers", where, "Layers", "layer", fields, "list", blank, more=more, renames="layer", called="name")


def _notches(edges: tuple[str, ...], here: Path) -> Table:
    fields = (Field(("edge",), "Edge", TEXT, edges), Field(("at",), "From its start", size=26, hint="middle"))
    blank = {"edge": edges[0] if edges else "top", "at": "middle"}
    return Table("notches", (*here, "notches"), "Marks", "mark", fields, blank=blank, renames="notch")


def _lines(here: Path) -> Table:
    kinds = ("placement", "topstitching", "quilting", "fold", "pleat")
    fields = (
        *(
            Field((end, number), f"{label} {'xy'[number]}", EXPRESSION, size=14)
            for end, label in (("from", "From"), ("to", "To"))
            for number in (0, 1)
        ),
    )
    more = (Field(("kind",), "Kind", TEXT, kinds),)
    blank = {"from": ["0", "0"], "to": ["0", "0"]}
    return Table(
        "lines", (*here, "lines"), "Lines within the piece", "line", fields, blank=blank, more=more, renames="line"
    )


def _print(edges: tuple[str, ...], here: Path) -> Table:
    fields = (
        Field(("on_border",), "Edge on the border print", TEXT, edges),
        Field(("motif", "point", 0), "Motif: this point x", size=_WIDE),
        Field(("motif", "point", 1), "Motif: this point y", size=_WIDE),
        Field(("motif", "on", 0), "lies across the repeat at"),
        Field(("motif", "on", 1), "and along it at"),
        Field(("motif", "layers"), "In the layers", WORDS, size=_WIDE, hint="all with a repeat"),
    )
    return Table("print", here, "Placed on the print", "print", fields, "one")


def _outline(kind: str, where: Path) -> tuple[Table, ...]:
    fields = OUTLINE_FIELDS[kind]
    if kind == "rounded_rectangle":
        own = tuple(Field((kind, "corners", corner), corner.replace("_", " ").capitalize()) for corner in CORNERS)
        fields = (*fields, Field((kind, "corners"), "All corners alike", ALIKE), *own)
    tables: tuple[Table, ...] = (
        Table("outline", where, "Outline: the stitching line", "outline", fields, "one", keeps=1),
    )
    if kind == "path":
        says = "Clockwise, x to the right and y upwards; the last edge ends where the first one starts."
        blank = {"name": "edge", "to": ["0", "0"]}
        more = (*BENDS, *CURVE)
        tables += (
            Table(
                "path",
                (*where, "edges"),
                "Way round",
                "edge",
                PATH_EDGES,
                "list",
                blank,
                says=says,
                more=more,
                renames="edge",
                called="name",
            ),
        )
    return tables
