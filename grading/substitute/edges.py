"""An edge of a piece in two, one behind the other, so that each can be caught in an edge of its own."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from grading.document.pattern import Pattern
from grading.form import Form
from grading.model.outline import Edge, Point
from grading.substitute.apart import Drawing, refuse
from grading.substitute.layers import Json
from grading.substitute.measures import Measures
from grading.substitute.placing import Placing, placing_of
from grading.substitute.references import NewEdge, References, Renaming
from grading.substitute.steps import uses_of
from grading.substitute.texts import Writer
from grading.substitute.words import words

ENDINGS = {"upright": ("upper", "lower"), "level": ("left", "right")}
"""What the parts of an edge are named by: the one at the top or on the left first."""


@dataclass(frozen=True)
class EdgeDivision:
    """A straight edge of a piece that is divided at a point of the drawing."""

    piece: str
    edge: Edge
    point: Point

    @property
    def names(self) -> tuple[str, str]:
        """The new edges in the order in which the outline runs."""
        first = self.edge.first
        near, far = self.by_place
        runs_on = first.signs[1] < 0 if first.is_upright else first.signs[0] > 0
        return (near, far) if runs_on else (far, near)

    @property
    def by_place(self) -> tuple[str, str]:
        """The new edges, the upper or left one first; of what was divided once before, one is the middle."""
        near, far = ENDINGS["upright" if self.edge.first.is_upright else "level"]
        stem, _, ending = self.edge.name.rpartition("_")
        if stem and ending == far:
            return f"{stem}_middle", self.edge.name
        if stem and ending == near:
            return self.edge.name, f"{stem}_middle"
        return f"{self.edge.name}_{near}", f"{self.edge.name}_{far}"

    @property
    def length(self) -> Form:
        """How long the first of them is."""
        first = self.edge.first
        if first.is_upright:
            return (self.point.y - self.edge.start.y).times(first.signs[1])
        return (self.point.x - self.edge.start.x).times(first.signs[0])


def divide_edge(document: Json, pattern: Pattern, division: EdgeDivision, drawing: Drawing, writer: Writer) -> None:
    """Divide an edge, in place, and rewrite everything that names it. Raises Refused, ExpressionFault."""
    piece, uses, names = document["pieces"][division.piece], uses_of(document, division.piece), division.names
    if {*names} & {*drawing.pieces[division.piece].outline.by_name} - {division.edge.name}:
        raise refuse("hide", f"{division.piece} has edges named {names[0]} or {names[1]}", "name them otherwise first")
    new = {
        (use, division.edge.name): NewEdge((f"{use}.{names[0]}", f"{use}.{names[1]}"), division.length) for use in uses
    }
    renaming = Renaming({}, new)
    _notches(piece, division, drawing, writer, renaming)
    piece["outline"] = _path(piece["outline"], division, drawing, writer)
    settings = piece.get("edges", {}).pop(division.edge.name, None)
    if settings is not None:
        piece["edges"] |= {name: deepcopy(settings) for name in names}
    for key in ("up", "on_border"):
        if piece.get(key) == division.edge.name:
            piece[key] = names[0]
    _caught(document, pattern, division, {*uses})
    References(renaming, drawing, writer).rewrite(document)
    measured = {(division.piece, division.edge.name): NewEdge(tuple(f"{division.piece}.{name}" for name in names))}
    measures = Measures(edges={**new, **measured})
    for step in document.get("steps", ()):
        step["text"] = measures.rewritten(step["text"])
    for guard in renaming.guards:
        raise refuse("hide", f"it would depend on the size whether {guard.because}", "measure it from the other end")


def _notches(piece: Json, division: EdgeDivision, drawing: Drawing, writer: Writer, renaming: Renaming) -> None:
    """Notches on the edge move to the part that they are on; names of notches stay."""
    for name, notch in piece.get("notches", {}).items():
        if notch["edge"] != division.edge.name:
            continue
        place = drawing.pieces[division.piece].notches[name].distance
        beyond = drawing.at_base(place - division.length) > 0
        notch["edge"] = division.names[int(beyond)]
        notch["at"] = writer.text(place - division.length if beyond else place)
        room = (division.length - place).times(-1 if beyond else 1)
        renaming.guard(
            room, f"the notch {name} of {words(division.piece)} lies on its part of {division.edge.name}", None
        )


def _path(written: Json, division: EdgeDivision, drawing: Drawing, writer: Writer) -> Json:
    """The outline as a path with one vertex more."""
    outline = drawing.pieces[division.piece].outline
    at = [writer.text(division.point.x), writer.text(division.point.y)]
    if "start" in written:
        start, edges = deepcopy(written["start"]), deepcopy(written["edges"])
    elif "rectangle" in written or "rounded_rectangle" in written:
        start = _place(outline.edges[0].start, writer)
        edges = [_drawn(edge, writer) for edge in outline.edges]
    else:
        shape = next(iter(written))
        raise refuse("hide", f"{division.piece} is a {shape}, whose edges cannot be divided", "draw it as a path first")
    number = next(n for n, edge in enumerate(edges) if edge["name"] == division.edge.name)
    first, last = division.names
    halves = [{"name": first, "to": at}, {**edges[number], "name": last}]
    return {"start": start, "edges": [*edges[:number], *halves, *edges[number + 1 :]]}


def _drawn(edge: Edge, writer: Writer) -> Json:
    turn: Any = getattr(edge.first, "turn", None)
    return {"name": edge.name, "to": _place(edge.end, writer), **({"quarter": turn} if turn else {})}


def _place(point: Point, writer: Writer) -> list[str]:
    return [writer.text(point.x), writer.text(point.y)]


def _caught(document: Json, pattern: Pattern, division: EdgeDivision, uses: set[str]) -> None:
    """Where the edge is caught, both parts are; what is caught in it is caught in one of them."""
    name = division.edge.name
    for title, covering in document.get("coverings", {}).items():
        caught = covering.get("caught", {})
        if covering["piece"] in uses and name in caught:
            over = caught.pop(name)
            caught |= dict.fromkeys(division.names, over)
        if covering["over"] in uses and name in caught.values():
            placing = placing_of(document, pattern, title)
            caught |= {own: _part(placing, division, own) for own, over in caught.items() if over == name}


def _part(placing: Placing, division: EdgeDivision, own: str) -> str:
    """The part of the edge that an edge of something laid on the piece is caught in."""
    at_base, box = placing.drawing.at_base, placing.outline("over").box
    near = "top" if division.edge.first.is_upright else "left"
    if near == "top":
        depth = box.top - division.point.y
    else:
        mirrored = placing.is_mirrored("over")
        depth = box.right - division.point.x if mirrored else division.point.x - box.left
    ends = [at_base(each - depth) for each in placing.depths(placing.outline("piece").by_name[own], near)]
    if min(ends) < 0 < max(ends):
        raise refuse(
            "hide",
            f"{placing.covering['piece']} is caught in {placing.covering['over']}.{division.edge.name} on both sides "
            "of where it would have to be divided",
            "hide the part under another covering, or choose another margin",
        )
    is_first = (max(ends) <= 0) != (near == "left" and placing.is_mirrored("over"))
    return division.by_place[0 if is_first else 1]
