"""Claims about prints: that each piece lies where its motif, or the piece that the print runs on from, wants it.

A point of the drawing, as it is seen on the bag, lies on a point of the washed print, in mm. The print runs on from one
piece to another that is turned alike: the same point of the bag is a point of the other drawing too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from grading.verify.cloth.cloths import Cloth
from grading.verify.cloth.laid import Lain
from grading.verify.cloth.prints import Link, Node, Prints
from grading.verify.cloth.turning import Turn, seen_turn, turn_of
from grading.verify.cutting.cut_box import measured_sides
from grading.verify.cutting.cut_lines import cut_line, true_sides
from grading.verify.cutting.cut_list import CLOSE
from grading.verify.document.pattern import Pattern
from grading.verify.document.pieces import Layer, Piece
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import Ruler
from grading.verify.exact.points import Point
from grading.verify.geometry.shapes import Shape, Spot
from grading.verify.verdict import Claim

ORIGIN: Spot = (Fraction(0), Fraction(0))
# A point as seen on the bag, and where on the washed print it lies.
Hold = tuple[Spot, Spot]


@dataclass(frozen=True)
class PrintClaims:
    """Judges the places of the pieces that a print holds; `shapes` are the outlines at this size."""

    pattern: Pattern
    point: Point
    cloth: Cloth
    prints: Prints
    shapes: Mapping[str, Shape]

    def all(self, held: Sequence[Lain], ruler: Ruler) -> Iterator[Claim]:
        """Yield a claim for each letter that the print holds."""
        places, faults = self._places(held)
        letters: dict[str, list[Lain]] = {}
        for item in held:
            letters.setdefault(item.wanted.row.letter, []).append(item)
        for letter, items in letters.items():
            yield self._claim(letter, items, places, faults, ruler)

    def _claim(
        self, letter: str, items: Sequence[Lain], places: Mapping[Node, Hold], faults: Mapping[Node, str], ruler: Ruler
    ) -> Claim:
        about = f"motif:{self.cloth.role}:{letter}"
        half = self.cloth.grid / 2
        for item in items:
            fault = faults.get(_node(item))
            if fault is not None:
                return Claim("motif", about, "as laid", "one place on the print", False, f"{self.cloth.role}: {fault}")
            for axis, way, off in self._off(item, places):
                if not -half + CLOSE < off <= half + CLOSE:
                    says = f"{self.cloth.role}: {item.title} lies {ruler.printed(off)} {way} of its place on the print"
                    return Claim("motif", about, ruler.printed((item.x, item.y)[axis]), "on the print", False, says)
        says = f"{self.cloth.role}: {letter} lies on its place of the print"
        return Claim("motif", about, f"{len(items)} laid", "on the print", True, says)

    def _off(self, item: Lain, places: Mapping[Node, Hold]) -> Iterator[tuple[int, str, Fraction]]:
        """Yield how far the corner is off its place, less whole repeats, in each way that the print repeats."""
        corner = self._corner(item, places)
        for axis, way in ((0, "across"), (1, "along")):
            repeat = self.cloth.repeat[axis]
            if repeat is not None:
                off = ((item.x, item.y)[axis] - corner[axis]) % repeat
                yield axis, way, off if off <= repeat / 2 else off - repeat

    def _corner(self, item: Lain, places: Mapping[Node, Hold]) -> Spot:
        """Return where the corner nearest to (0, 0) would lie exactly."""
        row = item.wanted.row
        piece = self.pattern.pieces[row.piece]
        layer = next(layer for layer in piece.layers if layer.name == row.layer)
        node = _node(item)
        own = self._own(node) if self.prints.has_motif(row) else None
        seen, on = own or places[node]
        middle = self._middle(piece, layer)
        across, along = _turn(self.pattern, item).of(_minus(_mirrored(seen, node), middle))
        across, along = across / (1 - layer.shrinks[0]), along / (1 - layer.shrinks[1])
        return on[0] - across - item.across / 2, on[1] - along - item.along / 2

    def _own(self, node: Node) -> Hold | None:
        """Return what a piece's own motif holds, if it has one on this cloth."""
        anchor = self.prints.anchor(node[0])
        return None if anchor is None else (_mirrored(anchor[0], node), self._washed(anchor[1]))

    def _washed(self, on: Spot) -> Spot:
        across, along = self.cloth.material.shrinkage
        return on[0] * (1 - across), on[1] * (1 - along)

    def _middle(self, piece: Piece, layer: Layer) -> Spot:
        """Return the middle of the box that is cut, as drawn."""
        is_drawn = piece.outline.flat is None
        if layer.inset is not None and is_drawn:
            box = piece.outline.box
            sides = [self.point.near(side) for side in (box.left, box.right, box.bottom, box.top)]
        elif piece.is_template:
            allowances = {edge: self.point.near(item.allowance) for edge, item in piece.treatments.items()}
            if layer.inset is not None:
                allowances = dict.fromkeys(allowances, Fraction(0))
            sides = list(true_sides(*cut_line(self.shapes[piece.name], allowances)))
        else:
            sides = [self.point.near(side) for side in measured_sides(piece)]
        return (sides[0] + sides[1]) / 2, (sides[2] + sides[3]) / 2

    def _places(self, held: Sequence[Lain]) -> tuple[dict[Node, Hold], dict[Node, str]]:
        """Return the place of each piece that the print runs across, and what is wrong with those that have none."""
        turns: dict[Node, set[Turn]] = {}
        for item in held:
            piece = self.pattern.pieces[item.wanted.row.piece]
            turn = seen_turn(piece.turned, item.wanted.mirrored, item.turned)
            turns.setdefault(_node(item), set()).add(turn)
        places: dict[Node, Hold] = {}
        faults: dict[Node, str] = {}
        for nodes, links in self.prints.groups():
            ways = set().union(*(turns.get(node, set()) for node in nodes))
            if len(ways) != 1:
                fault = "pieces that the print runs across lie different ways up"
            else:
                found = self._spread(nodes, links, ways.pop())
                fault = "pieces that the print runs across have two places on it" if found is None else ""
                places |= found or {}
            if fault:
                faults |= dict.fromkeys(nodes, fault)
        return places, faults

    def _spread(self, nodes: Sequence[Node], links: Sequence[Link], turn: Turn) -> dict[Node, Hold] | None:
        """Return what holds pieces that hang together; None where one would have two places."""
        own = {node: self._own(node) for node in nodes}
        holds = {node: hold for node, hold in own.items() if hold is not None} or {nodes[0]: (ORIGIN, ORIGIN)}
        grown = True
        while grown:
            grown = False
            for link in links:
                back = -link.shift[0], -link.shift[1]
                for here, there, way in ((link.first, link.second, link.shift), (link.second, link.first, back)):
                    if here in holds and there not in holds:
                        holds[there] = _minus(holds[here][0], way), holds[here][1]
                        grown = True
        places = {node: _minus(on, turn.of(seen)) for node, (seen, on) in holds.items()}
        agree = (_minus(_minus(places[link.second], places[link.first]), turn.of(link.shift)) for link in links)
        return holds if all(self._is_whole(difference) for difference in agree) else None

    def _is_whole(self, way: Spot) -> bool:
        pairs = zip(way, self.cloth.repeat, strict=True)
        return all(repeat is None or (part / repeat).denominator == 1 for part, repeat in pairs)


def _turn(pattern: Pattern, item: Lain) -> Turn:
    return turn_of(pattern.pieces[item.wanted.row.piece].turned, item.wanted.mirrored, item.turned)


def _mirrored(spot: Spot, node: Node) -> Spot:
    """Return where a point of a drawing is seen, or a seen point is drawn."""
    return (-spot[0], spot[1]) if node[1] else spot


def _node(item: Lain) -> Node:
    return item.wanted.row.piece, item.wanted.mirrored


def _minus(first: Spot, second: Spot) -> Spot:
    return first[0] - second[0], first[1] - second[1]
