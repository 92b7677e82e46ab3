"""Nested pairs: two slanted pieces alike, the second turned by 180, that lie head to tail as one item."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from grading.cloth.hull import hull, slid_together
from grading.cloth.items import Item, Part
from grading.cloth.layout import Laid
from grading.cloth.stuff import Stuff
from grading.cloth.turning import HALF_TURN, Lie, seen
from grading.cut import Row
from grading.cut.cut_line import CutSegment
from grading.cut.geometry import Place
from grading.exact import read_length
from grading.grade import Grade
from grading.grade.writing import near_place

ZERO, ONE = Fraction(0), Fraction(1)
WAYS: tuple[Place, ...] = ((ONE, ZERO), (-ONE, ZERO), (ZERO, ONE), (ZERO, -ONE))
"""Where the second of a pair may lie from the first: beside it across the cloth, or after it along."""


def nestings(grade: Grade, stuff: Stuff, items: Sequence[Item]) -> tuple[tuple[Item, ...], ...]:
    """The items with those as pairs that take less cloth so, as many of a row as there are.

    First with pairs that fit as they are, as where nothing may be turned by 90; where others save more when they may
    be turned, then with these. None where no pair saves any.
    """
    if stuff.style != "scissors" or stuff.direction == "one-way":
        return ()
    found = (_nested(grade, stuff, items, turning=turning) for turning in (False, True))
    return tuple(nested for nested in dict.fromkeys(found) if len(nested) < len(items))


def _nested(grade: Grade, stuff: Stuff, items: Sequence[Item], *, turning: bool) -> tuple[Item, ...]:
    rows = {(row.letter, row.layer): row for row in grade.cut_list if row.material == stuff.role}
    nested: list[Item] = []
    place = 0
    while place < len(items):
        couple = items[place : place + 2]
        row = rows[couple[0].letter, couple[0].layer]
        pair = _pair(grade, stuff, couple, row, turning=turning) if _are_alike(couple) else None
        nested.append(couple[0] if pair is None else pair)
        place += 1 if pair is None else 2
    return tuple(nested)


def _are_alike(couple: Sequence[Item]) -> bool:
    """Whether these are two free pieces of one row and one sort."""
    if len(couple) < 2 or replace(couple[1], copy=couple[0].copy) != couple[0]:
        return False
    item = couple[0]
    is_held = item.on_fold or item.pair or item.on_border or item.corner is not None
    return item.kind == "piece" and not is_held


def _pair(grade: Grade, stuff: Stuff, couple: Sequence[Item], row: Row, *, turning: bool) -> Item | None:
    """Two pieces as the item that saves most cloth; None where they may not nest, or save none."""
    if not row.uses or row.grain == "bias" or row.trim is not None or not row.has_allowance:
        return None
    corners = _cut_points(grade, grade.pieces[row.piece].cut_line)
    if corners is None:
        return None
    shape = _as_it_lies(corners, Lie(row.grain, couple[0].mirrored, 0))
    gap = stuff.gap
    fit = [
        pair
        for pair in _ways(stuff, couple, shape)
        if _fits(stuff, pair.across, pair.along)
        or (turning and pair.turnable and _fits(stuff, pair.along, pair.across))
    ]
    return min(fit, key=lambda pair: (pair.across + gap) * (pair.along + gap), default=None)


def _cut_points(grade: Grade, line: Sequence[CutSegment]) -> list[Place] | None:
    """The corners of a cut line as the grade's document has them, in mm.

    None where an edge is not straight, and where all run along the axes.
    """
    if any(segment.centre is not None or segment.through is not None for segment in line):
        return None
    ruler = grade.model.ruler
    points = []
    for segment in line:
        x, y = (read_length(text) for text in near_place(ruler, segment.start))
        points.append((x, y))
    ends = zip(points, points[1:] + points[:1], strict=True)
    is_slanted = any(start[0] != end[0] and start[1] != end[1] for start, end in ends)
    return points if is_slanted else None


def _as_it_lies(points: Sequence[Place], lie: Lie) -> tuple[Place, ...]:
    """The hull of a drawing as it lies on the cloth, the middle of its box at (0, 0)."""
    shape = hull(lie.way(*seen(point, mirrored=lie.mirrored)) for point in points)
    middle = [(min(axis) + max(axis)) / 2 for axis in zip(*shape, strict=True)]
    return tuple((x - middle[0], y - middle[1]) for x, y in shape)


def _ways(stuff: Stuff, couple: Sequence[Item], shape: Sequence[Place]) -> Iterator[Item]:
    """The pair each way that it takes less cloth than two boxes do."""
    first, second = couple
    for way in WAYS:
        by = slid_together(shape, way, stuff.gap, stuff.grid)
        side = first.across if way[0] else first.along
        if by >= side + stuff.gap:
            continue
        x, y = by * way[0], by * way[1]
        yield replace(
            first,
            across=first.across + abs(x),
            along=first.along + abs(y),
            parts=(
                Part(first, max(-x, ZERO), max(-y, ZERO)),
                Part(replace(second, turned=HALF_TURN), max(x, ZERO), max(y, ZERO)),
            ),
        )


def _fits(stuff: Stuff, across: Fraction, along: Fraction) -> bool:
    return across <= stuff.width and (stuff.sheet is None or along <= stuff.sheet)


def apart(pieces: Sequence[Laid]) -> tuple[Laid, ...]:
    """Laid items with each nested pair as its two pieces, which have a number from 1 in common."""
    number = 0
    found: list[Laid] = []
    for laid in pieces:
        number += bool(laid.item.parts)
        found += [_part(laid, part, number) for part in laid.item.parts] or [laid]
    return tuple(found)


def _part(pair: Laid, part: Part, number: int) -> Laid:
    """One of a pair in its place; turned clockwise by 90, what was at the right of the pair comes to lie at y = 0."""
    x, y = part.x, part.y
    if pair.by_quarter:
        x, y = part.y, pair.item.across - part.x - part.item.across
    return replace(pair, item=part.item, x=pair.x + x, y=pair.y + y, nested=number)
