"""Prints: which pieces a print holds in place, by a motif of their own or because it runs on from one to the other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grading.verify.cutting.cut_list import Row
from grading.verify.document.coverings import Covering
from grading.verify.document.materials import Material
from grading.verify.document.pattern import Pattern
from grading.verify.document.seams import Seam
from grading.verify.document.sides import Entry, Use
from grading.verify.exact.points import Point
from grading.verify.geometry.shapes import Spot
from grading.verify.unreadable import refuse

# A piece, and whether it is mirrored.
Node = tuple[str, bool]


@dataclass(frozen=True)
class Link:
    """The print runs on from one piece to another, which as seen lies moved by `shift` beside it or on it."""

    title: str
    first: Node
    second: Node
    shift: Spot


class Prints:
    """What the print of one material holds in place, at the printed size."""

    def __init__(self, pattern: Pattern, point: Point, role: str, material: Material) -> None:
        self._pattern = pattern
        self._point = point
        self._role = role
        self._material = material
        self._links = () if material.repeat is None else tuple(self._all_links())
        self._linked = {node for link in self._links for node in (link.first, link.second)}

    def holds(self, row: Row, mirrored: bool) -> bool:
        """Whether the print holds the plain or the mirrored pieces of a row of this material."""
        piece = self._pattern.pieces.get(row.piece) if row.uses else None
        if self._material.repeat is None or piece is None or piece.strip or piece.grain == "bias":
            return False
        return self.has_motif(row) or (row.piece, mirrored) in self._linked

    def has_motif(self, row: Row) -> bool:
        """Whether the piece's own motif is about this layer."""
        motif = self._pattern.pieces[row.piece].motif
        return motif is not None and (motif.layers is None or row.layer in motif.layers)

    def anchor(self, name: str) -> tuple[Spot, Spot] | None:
        """Return the point of a piece's motif, and what it lies on as bought; None if none is about this material."""
        piece = self._pattern.pieces[name]
        layers = [layer for layer in piece.layers if layer.material == self._role]
        motif = piece.motif
        if motif is None or not any(motif.layers is None or layer.name in motif.layers for layer in layers):
            return None
        return (self._point.rational(motif.point[0]), self._point.rational(motif.point[1])), motif.on

    def groups(self) -> Iterator[tuple[list[Node], list[Link]]]:
        """Yield the pieces that the print runs across, those that hang together, in the document's order."""
        order = [(name, mirrored) for name in self._pattern.pieces for mirrored in (False, True)]
        left = [node for node in order if node in self._linked]
        while left:
            group, links = {left[0]}, []
            grown = True
            while grown:
                links = [link for link in self._links if link.first in group or link.second in group]
                found = group | {node for link in links for node in (link.first, link.second)}
                grown, group = found != group, found
            yield [node for node in left if node in group], links
            left = [node for node in left if node not in group]

    def _has(self, node: Node) -> bool:
        return any(layer.material == self._role for layer in self._pattern.pieces[node[0]].layers)

    def _all_links(self) -> Iterator[Link]:
        links = [_of_seam(seam, self._point) for seam in self._pattern.seams.values() if seam.match]
        links += [
            _of_covering(covering, self._point) for covering in self._pattern.coverings.values() if covering.match
        ]
        return (link for link in links if self._has(link.first) and self._has(link.second))


def _of_seam(seam: Seam, point: Point) -> Link:
    path = f"seams.{seam.name}.match"
    if len(seam.join) != 1 or len(seam.to) != 1:
        refuse("lets the print run on across a seam of several edges", path)
    join, to = seam.join[0], seam.to[0]
    outward, other = _outward(join, path), _outward(to, path)
    if outward != (-other[0], -other[1]):
        refuse("lets the print run on between pieces that are not drawn on opposite sides of the seam", path)
    near, far = _start(join, point), _start(to, point)
    return Link(seam.name, _node(join.use), _node(to.use), (near[0] - far[0], near[1] - far[1]))


def _of_covering(covering: Covering, point: Point) -> Link:
    shift = point.rational(covering.shift[0]), point.rational(covering.shift[1])
    return Link(covering.name, _node(covering.over), _node(covering.piece), shift)


def _node(use: Use) -> Node:
    return use.name if use.piece is None else use.piece.name, use.mirrored


def _outward(entry: Entry, path: str) -> tuple[int, int]:
    """Return the direction away from the piece across its edge, as seen."""
    segments = entry.use.outline.edges[entry.name].segments if not entry.is_line else ()
    if entry.use.piece is None or entry.start is not None or entry.end is not None or len(segments) != 1:
        refuse(f"lets the print run on across {entry.title}, which is no whole edge of a piece", path)
    if not (segments[0].is_level or segments[0].is_upright):
        refuse(f"lets the print run on across {entry.title}, which is neither upright nor level", path)
    across, along = segments[0].signs
    return (along if entry.use.mirrored else -along), across


def _start(entry: Entry, point: Point) -> Spot:
    """Return where the entry starts, as seen."""
    segment = entry.use.outline.edges[entry.name].segments[0]
    place = segment.start if entry.forward else segment.end
    x, y = point.rational(place[0]), point.rational(place[1])
    return (-x if entry.use.mirrored else x), y
