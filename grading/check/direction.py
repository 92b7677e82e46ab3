"""The direction of cloths: prints that hang upside down or sideways, and prints that meet by chance."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from grading.check.bag import Bag
from grading.check.customs import Customs
from grading.check.meetings import Stretch, Vector, meetings
from grading.check.notes import Note, fault, listed, remark
from grading.model.coverings import Covering
from grading.model.pieces import Piece

_MATCH_SAID = re.compile(r"\bprint|\bmatch", re.IGNORECASE)

FLAT_WAYS: dict[str, Vector] = {
    "outer": (Fraction(0), Fraction(1)),
    "right": (Fraction(1), Fraction(0)),
    "inner": (Fraction(0), Fraction(-1)),
    "left": (Fraction(-1), Fraction(0)),
}
"""The ways out over the edges of a flat, which lies upright."""


def direction_notes(bag: Bag, customs: Customs) -> Iterator[Note]:
    """What is known of each print by the grain, the edge that is up, and how pieces are laid and sewn."""
    for piece in bag.model.pieces.values():
        yield from _print_of(bag, piece)
    for covering in bag.model.coverings.values():
        yield from _laid(bag, covering)
        yield from _print_match(bag, covering)
    yield from _sewn(bag, customs)


def _directed(bag: Bag, piece: Piece, *directions: str) -> list[str]:
    """The materials of a piece that have one of these directions."""
    materials = bag.model.pattern.materials
    return [layer.material for layer in piece.layers if materials[layer.material].direction in directions]


def _up(bag: Bag, piece: Piece) -> Vector | None:
    """The way out over the edge that is up: a clockwise outline has its outside on the left."""
    if piece.written.up is None:
        return None
    if piece.outline.flat is not None:
        return FLAT_WAYS[piece.written.up]
    edge = piece.outline.by_name[piece.written.up]
    across, along = bag.at(edge.end.x - edge.start.x).low, bag.at(edge.end.y - edge.start.y).low
    return -along, across


def _grain(piece: Piece) -> Vector | None:
    axes = {"along": (Fraction(0), Fraction(1)), "across": (Fraction(1), Fraction(0))}
    return axes.get(piece.written.grain)


def _along(one: Vector, other: Vector) -> Fraction:
    return one[0] * other[0] + one[1] * other[1]


def _sense(one: Vector, other: Vector) -> int:
    """1 where two ways run alike (within 45 degrees), -1 where they run against each other, 0 between."""
    along, across = _along(one, other), one[0] * other[1] - one[1] * other[0]
    return 0 if abs(along) < abs(across) else (along > 0) - (along < 0)


def _print_of(bag: Bag, piece: Piece) -> Iterator[Note]:
    path, up, grain = f"pieces.{piece.name}", _up(bag, piece), _grain(piece)
    one_way, either = _directed(bag, piece, "one-way"), _directed(bag, piece, "one-way", "two-way")
    if one_way and up is None:
        yield remark(
            "no_up",
            f"{path}.up",
            f"{piece.name} is cut from {one_way[0]}, whose print has a direction, and no edge of it is said to be up",
            'name the edge that is up as worn, as in "up": "top", or cut it from a cloth without direction',
        )
    if not either:
        return
    if grain is None:
        yield remark(
            "sideways",
            f"{path}.grain",
            f"{piece.name} is cut on the bias from {either[0]}, so that its print runs at a slant",
            "cut it along the grain, or from a cloth without direction",
        )
    elif up is not None and _sense(up, grain) == 0:
        yield remark(
            "sideways",
            f"{path}.up",
            f"the print of {either[0]} runs along the grain, and {piece.written.up}, which is up on {piece.name}, lies "
            "beside it: the print hangs sideways",
            f"turn the grain ({'along' if piece.written.grain == 'across' else 'across'}), or name another edge as up",
        )


def _seen(bag: Bag, use: str, face_down: bool, way: Vector) -> Vector:
    return (-way[0], way[1]) if bag.is_mirrored(use) != face_down else way


def _is_placed(covering: Covering) -> bool:
    """Whether it stays as it is laid; what is caught in one edge only is folded over afterwards."""
    return len(covering.written.caught) != 1


def _laid(bag: Bag, covering: Covering) -> Iterator[Note]:
    written = covering.written
    own, over = bag.uses[written.piece], bag.uses[written.over]
    up, below = _up(bag, own), _up(bag, over)
    materials = _directed(bag, own, "one-way", "two-way")
    if up is None or below is None or not materials or not _is_placed(covering):
        return
    sense = _sense(_seen(bag, written.piece, written.face == "down", up), _seen(bag, written.over, False, below))
    if sense == 0:
        yield remark(
            "sideways",
            f"coverings.{covering.name}",
            f"{written.piece}.{own.written.up} is up, and so is {written.over}.{over.written.up}, but they lie across "
            f"each other: the print of {materials[0]} hangs sideways",
            f"turn {written.piece}, or correct the edge that is up",
        )
    elif sense < 0 and _directed(bag, own, "one-way"):
        yield fault(
            "upside_down",
            f"coverings.{covering.name}",
            f"{written.piece}.{own.written.up} is up, and so is {written.over}.{over.written.up}, but they lie against "
            f"each other: the print of {materials[0]} hangs upside down",
            f"turn {written.piece} round, or correct the edge that is up",
        )


def _print_match(bag: Bag, covering: Covering) -> Iterator[Note]:
    """A piece laid in full view on one of the same print: whether the prints are to meet should be said."""
    written = covering.written
    if written.face == "down" or not _is_placed(covering):
        return
    both = {*_directed(bag, bag.uses[written.piece], "one-way")} & {*_directed(bag, bag.uses[written.over], "one-way")}
    texts = [written.says, bag.uses[written.piece].written.says]
    texts += [step.text for step in bag.steps if covering.name in step.lays]
    if both and not written.match and not any(_MATCH_SAID.search(text) for text in texts):
        yield remark(
            "print_match",
            f"coverings.{covering.name}",
            f"{written.piece} lies on {written.over}, both with the print of {listed(sorted(both))}, and nothing says "
            "whether the prints are to meet",
            'write "match": true, or say in its `says`: "the prints need not match"',
        )


def _sewn(bag: Bag, customs: Customs) -> Iterator[Note]:
    """Edges that run up on one piece and down on the other, where they are sewn to each other."""
    senses: dict[tuple[str, str], list[tuple[str, int, int]]] = {}
    for seam in bag.model.seams.values():
        for meeting in meetings(bag, seam):
            uses = meeting.join.entry.use, meeting.to.entry.use
            if meeting.length < customs.shortest_meeting or not {*uses} <= {*bag.uses}:
                continue
            one, two = (_runs_up(bag, stretch) for stretch in (meeting.join, meeting.to))
            if one and two:
                key, pair = (uses, (one, two)) if uses <= uses[::-1] else (uses[::-1], (two, one))
                senses.setdefault((key[0], key[1]), []).append((seam.name, *pair))
    for uses, found in senses.items():
        yield from _compared(bag, uses, found)


def _runs_up(bag: Bag, stretch: Stretch) -> int:
    """1 where a straight stretch is followed upwards as worn, -1 downwards, 0 where neither or where it is curved."""
    piece = bag.uses[stretch.entry.use]
    up = _up(bag, piece) or (_grain(piece) if _directed(bag, piece, "one-way") else None)
    return 0 if up is None or stretch.is_curved or stretch.entry.is_line else _sense(stretch.way, up)


def _compared(bag: Bag, uses: tuple[str, str], found: list[tuple[str, int, int]]) -> Iterator[Note]:
    pieces = [bag.uses[use] for use in uses]
    against = [seam for seam, one, two in found if one != two]
    if not against or not any(_directed(bag, piece, "one-way") for piece in pieces):
        return
    if len(against) < len(found):
        for place, piece in enumerate(pieces):
            if len({pair[1 + place] for pair in found}) == 1 and _directed(bag, piece, "one-way"):
                yield remark(
                    "band_print",
                    f"pieces.{piece.name}",
                    f"{uses[place]} runs up one side of {uses[1 - place]} and down the other in one piece: its print "
                    "hangs upside down on one of them",
                    "cut it in two and offer a seam at the bottom, or take a cloth without direction",
                )
    elif all(piece.written.up is not None for piece in pieces):
        yield fault(
            "upside_down",
            f"seams.{against[0]}",
            f"{uses[0]} and {uses[1]} are sewn together with {uses[0]}.{pieces[0].written.up} up on one and "
            f"{uses[1]}.{pieces[1].written.up} down on the other: one print hangs upside down",
            "turn one of the two, or correct the edge that is up",
        )
