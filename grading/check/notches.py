"""Notches that a seam should have: quarters of loops, centres of long seams, ends of curves."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grading.check.bag import Bag
from grading.check.customs import Customs
from grading.check.meetings import meetings, side_length
from grading.check.notes import Note, listed, remark
from grading.cut.geometry import dot, turning
from grading.cut.pieces import curve_of
from grading.model.pieces import Piece
from grading.model.seams import Seam, Side
from grading.model.segment import Segment

NEAR = Fraction(3)
"""Two corners this near to each other, in mm, come together and are a mark."""


def notch_notes(bag: Bag, customs: Customs) -> Iterator[Note]:
    """Seams and curves with fewer marks than is usual; seams to lines, and to zips, are placed otherwise."""
    curves: dict[str, set[str]] = {}
    for seam in bag.model.seams.values():
        entries = (*seam.join, *seam.to)
        if seam.written.kind == "topstitched" or any(e.is_line or bag.is_zip(e.use) for e in entries):
            continue
        yield from _few_marks(bag, seam, customs)
        for meeting in meetings(bag, seam):
            if meeting.length >= customs.shortest_meeting and meeting.join.is_curved != meeting.to.is_curved:
                entry = (meeting.join if meeting.join.is_curved else meeting.to).entry
                curves.setdefault(bag.uses[entry.use].name, set()).add(entry.edge.name)
    for name, edges in curves.items():
        yield from _unmarked_curves(bag, bag.model.pieces[name], edges)


def _corners(bag: Bag, side: Side) -> list[Fraction]:
    """Where the entries of a side meet."""
    places, at = [], Fraction(0)
    for entry in side[:-1]:
        at += bag.at(entry.length).low
        places.append(at)
    return places


def _marks(bag: Bag, seam: Seam) -> int:
    """How many places of both sides are known to meet, its ends apart: notches, and corners that come together."""
    join, to = side_length(bag, seam.join), side_length(bag, seam.to)
    ratio = join / to if to else Fraction(1)
    others = [place * ratio for place in _corners(bag, seam.to)]
    together = [place for place in _corners(bag, seam.join) if any(abs(place - other) <= NEAR for other in others)]
    return len(seam.written.notches) + len(together)


def _few_marks(bag: Bag, seam: Seam, customs: Customs) -> Iterator[Note]:
    length, marks = side_length(bag, seam.join), _marks(bag, seam)
    text, path = bag.text(seam.join_length), f"seams.{seam.name}.notches"
    remedy = "add notches to both sides and name them in pairs under `notches`"
    if seam.written.closed:
        is_small = length <= 2 * customs.longest_without_notch
        wanted = customs.marks_on_small_loop if is_small else customs.marks_on_loop
        if marks + 1 < wanted:
            yield remark(
                "few_marks_on_loop",
                path,
                f"{seam.name} runs round for {text} with {marks + 1} {'mark' if not marks else 'marks'}, its start "
                f"counted; such a loop needs {wanted}",
                f"{remedy}: {'the centre' if is_small else 'the quarters'}",
            )
    elif length > customs.longest_without_notch and not marks:
        yield remark(
            "no_centre_notch",
            path,
            f"{seam.name} is {text} long, and nothing marks its centre; a seam longer than "
            f"{bag.model.ruler.text(customs.longest_without_notch)} creeps without",
            f'{remedy}, as in {{"edge": "right", "at": "middle"}}',
        )


def _unmarked_curves(bag: Bag, piece: Piece, edges: set[str]) -> Iterator[Note]:
    unmarked = [
        edge.name
        for number, edge in enumerate(piece.outline.edges)
        if edge.name in edges and not (_is_marked(bag, piece, number - 1) and _is_marked(bag, piece, number))
    ]
    if unmarked:
        yield remark(
            "curve_without_marks",
            f"pieces.{piece.name}.notches",
            f"{listed(unmarked)} of {piece.name} is curved and sewn to a straight edge, and no notch marks where "
            "the curve begins and ends",
            'add notches at its ends, as in {"edge": "top_right", "at": 0} for its start and, on the edge after it, '
            '{"edge": "right", "at": 0}',
        )


def _is_marked(bag: Bag, piece: Piece, number: int) -> bool:
    """Whether the corner after an edge shows: by a notch, or since the outline has an angle there."""
    edges = piece.outline.edges
    before, after = edges[number % len(edges)], edges[(number + 1) % len(edges)]
    if before is after or not _is_smooth(bag, before.segments[-1], after.first):
        return True
    for notch in piece.notches.values():
        place = bag.at(notch.distance)
        if notch.edge.name == after.name and place.low == place.high == 0:
            return True
        if notch.edge.name == before.name and place == bag.at(before.length):
            return True
    return False


def _is_smooth(bag: Bag, before: Segment, after: Segment) -> bool:
    base = bag.model.draft.base
    one, two = curve_of(before, base).way_in, curve_of(after, base).way_out
    return turning(one, two) == 0 and dot(one, two) > 0
