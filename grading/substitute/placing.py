"""Where a covering lies, as it is written: how far from each side of what it lies on, as seen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from grading.document.pattern import Pattern
from grading.form import Form
from grading.model.outline import Edge, Outline, Point
from grading.substitute.apart import Drawing, draw
from grading.substitute.layers import Json

SIDES = ("left", "right", "top", "bottom")
TURNED = {"left": "right", "right": "left"}


@dataclass(frozen=True)
class Distance:
    """How far a covering lies from a side, as written: exactly, or at least."""

    form: Form
    is_least: bool


@dataclass(frozen=True)
class Placing:
    """A covering of a document's plain data, and its drawing."""

    name: str
    covering: Json
    drawing: Drawing

    @property
    def distances(self) -> Mapping[str, Form]:
        """How far it is from each side."""
        return self.drawing.coverings[self.name].clearances

    @property
    def caught(self) -> Mapping[str, str]:
        """Its edges that are caught in edges of what it lies on."""
        caught: Mapping[str, str] = self.covering.get("caught", {})
        return caught

    def is_mirrored(self, key: Literal["piece", "over"]) -> bool:
        """Whether a use is seen mirrored."""
        mirrored = self.drawing.draft.index.uses[self.covering[key]].mirrored
        return mirrored != (key == "piece" and self.covering.get("face") == "down")

    def outline(self, key: Literal["piece", "over"]) -> Outline:
        """The outline of a use."""
        return self.drawing.pieces[self.drawing.draft.index.uses[self.covering[key]].piece].outline

    def said(self, side: str) -> Distance | None:
        """The distance that is written for a side."""
        written: Any = self.covering.get("clear", {}).get(side)
        if isinstance(written, dict):
            return Distance(self.drawing.form(written["at_least"]), True)
        return None if written is None else Distance(self.drawing.form(written), False)

    def stated(self, side: str) -> Distance | None:
        """The distance that is written for a side, or that of the edge which its own edge there is caught in."""
        said = self.said(side)
        own = TURNED.get(side, side) if self.is_mirrored("piece") else side
        if (said is not None and not said.is_least) or own not in self.caught:
            return said
        return Distance(self._caught_at(self.caught[own], side), False)

    def decides(self, side: str) -> bool:
        """Whether what is stated of a side is enough to place it."""
        distance = self.stated(side)
        return distance is not None and not distance.is_least

    def _caught_at(self, edge: str, side: str) -> Form:
        """How far an edge of what lies below is from this side of its box."""
        drawn = self.outline("over")
        start = drawn.by_name[edge].start
        if side in {"top", "bottom"}:
            return drawn.box.top - start.y if side == "top" else start.y - drawn.box.bottom
        if self.is_mirrored("over") == (side == "left"):
            return drawn.box.right - start.x
        return start.x - drawn.box.left

    def depths(self, edge: Edge, near: str) -> tuple[Form, Form]:
        """How far the ends of an own edge are from the top (or left) side of what lies below."""
        return self._depth(edge.start, near), self._depth(edge.end, near)

    def _depth(self, point: Point, near: str) -> Form:
        box, distance = self.outline("piece").box, self.distances[near]
        if near == "top":
            return distance + box.top - point.y
        return distance + (box.right - point.x if self.is_mirrored("piece") else point.x - box.left)

    def at_depth(self, edge: Edge, near: str, depth: Form) -> Point:
        """The point of an own edge, upright (or level), that lies this far from the top (or left) side."""
        box, within = self.outline("piece").box, depth - self.distances[near]
        if near == "top":
            return Point(edge.start.x, box.top - within)
        return Point(box.right - within if self.is_mirrored("piece") else box.left + within, edge.start.y)


def placing_of(document: Json, pattern: Pattern, name: str) -> Placing:
    """A covering of a document, drawn with the two pieces that it is of; `pattern` is the document as read."""
    covering = document["coverings"][name]
    uses = {covering["piece"], covering["over"]}
    pieces = [each for each, piece in pattern.pieces.items() if uses & {use.name for use in piece.named_uses(each)}]
    return Placing(name, covering, draw(pattern, pieces, [name]))
