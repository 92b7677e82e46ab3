"""Words beside lines of a piece: what inner lines are for, where the fold is, which size a cut line is of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees, hypot

from grading.drawing.cut_path import Place
from grading.drawing.extent import ASCENT, mark_box
from grading.drawing.fonts import breadth
from grading.drawing.room import Room
from grading.drawing.scene import Words

SIZE = 2.2
"""The size of the words in mm."""
OFF = 0.8
"""How far words stand off their line."""
SHARES = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)
"""At which parts of a line its words are tried, the middle first."""
NEAR = 1.5
"""A line nearer to another than this in mm is not told apart from it."""


@dataclass(frozen=True)
class Lettered:
    """A line with its words. `inwards`: on its right only, where the inside of an outline is; else on either side."""

    line: tuple[Place, Place]
    says: str
    inwards: bool = False


def beside(lines: Sequence[Lettered], room: Room) -> Iterator[Words]:
    """Words for every line that is long enough for them, where they meet nothing if there is such a place.

    The places are taken.
    """
    for line in lines:
        if breadth(line.says, SIZE) > hypot(*_way(*line.line)) - 2:
            continue
        tried = [_words(line, share, side) for share in SHARES for side in ((True,) if line.inwards else (False, True))]
        chosen = next((each for each in tried if room.is_free(mark_box(each))), tried[0])
        room.take(mark_box(chosen))
        yield chosen


def plainest(points: Sequence[Place], others: Sequence[Sequence[Place]]) -> tuple[Place, Place]:
    """The ends of the longest straight line of an outline that does not run along another outline; else the longest."""
    ring = sorted(pairwise([*points, points[0]]), key=lambda pair: -round(hypot(*_way(*pair)), 2))
    for start, end in ring:
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        if all(_distance(middle, pair) > NEAR for other in others for pair in pairwise([*other, other[0]])):
            return start, end
    return ring[0]


def _words(line: Lettered, share: float, right: bool) -> Words:
    """Words read from left to right or from below, on one side of the line's way from start to end."""
    across, along = _way(*line.line)
    length = hypot(across, along)
    way = (across / length, along / length)
    at = (line.line[0][0] + across * share, line.line[0][1] + along * share)
    angle = degrees(atan2(along, across))
    back = angle > 91 or angle <= -89
    # Turned about, what was on the right of the way is above the words' base line.
    above = right if back else not right
    off = OFF if above else -OFF - ASCENT * SIZE
    up = (way[1], -way[0]) if back else (-way[1], way[0])
    place = (at[0] + up[0] * off, at[1] + up[1] * off)
    return Words(line.says, place, SIZE, "middle", False, angle + 180 if back else angle)


def _way(start: Place, end: Place) -> Place:
    return end[0] - start[0], end[1] - start[1]


def _distance(place: Place, line: tuple[Place, Place]) -> float:
    """From a place to a straight line between two points."""
    (x, y), (across, along) = line[0], _way(*line)
    squared = across * across + along * along
    share = ((place[0] - x) * across + (place[1] - y) * along) / squared if squared else 0.0
    share = min(max(share, 0.0), 1.0)
    return hypot(place[0] - x - share * across, place[1] - y - share * along)
