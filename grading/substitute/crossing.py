"""Where a straight seam may cross a piece: between two edges across from each other on the sides of its box."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from grading.form import Form
from grading.model.outline import Edge, Outline, Point, Segment
from grading.substitute.apart import Drawing, refuse

Way = Literal["along", "across"]
SIDES: Mapping[Way, tuple[str, str]] = {"along": ("left", "right"), "across": ("top", "bottom")}
"""The sides of the box that a seam runs between."""


@dataclass(frozen=True)
class Crossing:
    """A seam across a piece: the part of each edge that it does not divide, and where it divides the other two.

    `passed` gives the parts that a divided edge runs through in turn, and its length in the first of these.
    """

    part_of: Mapping[str, int]
    passed: Mapping[str, tuple[tuple[int, int], Form]]


@dataclass(frozen=True)
class Sheet:
    """The outline of a piece, and how far its points are from the top (or the left)."""

    drawing: Drawing
    outline: Outline
    way: Way

    def depth(self, point: Point) -> Form:
        """How far from the top (or left) side of the box a point is."""
        box = self.outline.box
        return box.top - point.y if self.way == "along" else point.x - box.left

    @property
    def whole(self) -> Form:
        """How far the far side is."""
        return self.outline.box.height if self.way == "along" else self.outline.box.width

    def _lies_on(self, edge: Edge, side: str) -> bool:
        """Whether an edge is one straight line on a side of the box."""
        if len(edge.segments) != 1 or not (edge.first.is_upright if self.way == "along" else edge.first.is_level):
            return False
        place = edge.start.x if self.way == "along" else edge.start.y
        return (place - self.outline.box.side(side)).is_zero

    def ranges(self) -> Iterator[tuple[Edge, Edge, Form, Form]]:
        """Pairs of edges across from each other, and from where to where a seam may run between them."""
        at_base = self.drawing.at_base
        for one in self.outline.edges:
            for two in self.outline.edges:
                if self._lies_on(one, SIDES[self.way][0]) and self._lies_on(two, SIDES[self.way][1]):
                    ends = [sorted((self.depth(each.start), self.depth(each.end)), key=at_base) for each in (one, two)]
                    least = max((pair[0] for pair in ends), key=at_base)
                    most = min((pair[1] for pair in ends), key=at_base)
                    if at_base(least) < at_base(most):
                        yield one, two, least, most


def cross(sheet: Sheet, name: str, first: Form, side: str) -> Crossing:
    """How a seam this far from the top (or left) crosses a piece; places are told from `side`. Raises Refused."""
    at_base, place = sheet.drawing.at_base, sheet.drawing.at_base(first)
    found = [pair for pair in sheet.ranges() if at_base(pair[2]) < place < at_base(pair[3])]
    if not found:
        raise _outside(sheet, name, first, side)
    passed = {}
    for edge in found[0][:2]:
        begins = sheet.depth(edge.start)
        runs_on = at_base(begins) < place
        passed[edge.name] = ((0, 1), first - begins) if runs_on else ((1, 0), begins - first)
    part_of = {}
    for edge in sheet.outline.edges:
        if edge.name in passed:
            continue
        beyond = [at_base(sheet.depth(point)) - place for each in edge.segments for point in _points(each)]
        if min(beyond) < 0 < max(beyond) or 0 in beyond:
            raise refuse(
                "at",
                f"the split would run through {edge.name} of {name} too",
                "split it elsewhere, or draw the parts as pieces of their own",
            )
        part_of[edge.name] = int(min(beyond) > 0)
    return Crossing(part_of, passed)


def _points(segment: Segment) -> Iterator[Point]:
    """Points between which a segment stays: its ends, the middle of an arc, the inner points of a cubic."""
    yield from (segment.start, segment.end)
    if segment.middle is not None:
        yield segment.middle
    yield from segment.inner or ()


def _outside(sheet: Sheet, name: str, first: Form, side: str) -> Exception:
    text, at_base = sheet.drawing.draft.ruler.text, sheet.drawing.at_base
    is_near = side in {"top", "left"}

    def shown(form: Form) -> str:
        return text(at_base(form if is_near else sheet.whole - form))

    ranges = [(shown(pair[2]), shown(pair[3])) for pair in sheet.ranges()]
    places = " or ".join(
        f"from {least} to {most}" for least, most in (each if is_near else each[::-1] for each in ranges)
    )
    if not places:
        raise refuse(
            "split",
            f"no two sides of {name} lie straight across from each other, so that no rule tells what its parts are",
            "split rectangles and the like, or draw the parts as pieces of their own",
        )
    return refuse(
        "at",
        f"{shown(first)} from the {side} does not divide {name}; its sides are straight {places} at the base size",
        f"give a place between, {places}",
    )
