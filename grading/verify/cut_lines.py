"""Cut lines: stitching lines moved outward by the allowances, corner by corner.

Points are exact where every line is parallel to an axis, else within 10**-25 mm, far below the 0.01 mm in which
printed points are judged.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.verify.enclosures import near_root
from grading.verify.shapes import Part, Shape, Spot

# A convex corner may run out to four times the greater allowance; part of the format.
LONGEST_CORNER = 4


@dataclass(frozen=True)
class Moved:
    """A part moved outward by its allowance, from `start` to `end` if no neighbour cut it short."""

    part: Part
    allowance: Fraction
    start: Spot
    end: Spot
    leaves: Spot
    arrives: Spot

    @property
    def reach_of_circle(self) -> Fraction:
        """The radius of the moved circle."""
        radius = self.part.radius
        return abs(radius + self.allowance if self.part.turns == "right" else radius - self.allowance)


@dataclass(frozen=True)
class Cut:
    """One stretch of the cut line; `edges` are the edges it may be named after."""

    edges: tuple[str, ...]
    start: Spot
    end: Spot
    centre: Spot | None
    turns: str | None


def cut_line(shape: Shape, allowances: Mapping[str, Fraction]) -> tuple[list[Cut], list[Moved]]:
    """Return the stretches of the cut line in order, and the moved parts they stem from."""
    moved = [_moved(part, allowances[part.edge]) for part in shape.parts]
    corners = [_corner(moved[index - 1], moved[index]) for index in range(len(moved))]
    cuts = []
    for index, item in enumerate(moved):
        after = corners[(index + 1) % len(moved)]
        cuts.append(Cut((item.part.edge,), corners[index][1], after[0], item.part.centre, item.part.turns))
        if after[0] != after[1]:
            next_edge = moved[(index + 1) % len(moved)].part.edge
            cuts.append(Cut((item.part.edge, next_edge), after[0], after[1], None, None))
    return cuts, moved


def true_box(cuts: list[Cut], moved: list[Moved]) -> Spot:
    """Return the width and height of the cut line, arcs included."""
    spots = [spot for cut in cuts for spot in (cut.start, cut.end)]
    by_part = {id(item.part): item for item in moved}
    arcs = [item for item in by_part.values() if item.part.turns == "right"]
    stretches = [cut for cut in cuts if cut.turns == "right"]
    for item, cut in zip(arcs, stretches, strict=True):
        # Each end of a quarter points along an axis: the circle's furthest point there counts if the cut passes it.
        if _dot(_minus(cut.start, item.start), item.leaves) <= 0:
            spots.append(item.start)
        if _dot(_minus(cut.end, item.end), item.arrives) >= 0:
            spots.append(item.end)
    across, along = [spot[0] for spot in spots], [spot[1] for spot in spots]
    return max(across) - min(across), max(along) - min(along)


def _minus(first: Spot, second: Spot) -> Spot:
    return first[0] - second[0], first[1] - second[1]


def _dot(first: Spot, second: Spot) -> Fraction:
    return first[0] * second[0] + first[1] * second[1]


def _cross(first: Spot, second: Spot) -> Fraction:
    return first[0] * second[1] - first[1] * second[0]


def _along(origin: Spot, way: Spot, times: Fraction) -> Spot:
    return origin[0] + way[0] * times, origin[1] + way[1] * times


def _heading(part: Part, spot: Spot) -> Spot:
    """Return the direction in which the part passes one of its ends."""
    if part.centre is None:
        return part.reach
    x, y = _minus(spot, part.centre)
    return (y, -x) if part.turns == "right" else (-y, x)


def _outward(heading: Spot) -> Spot:
    """Return the unit vector to the left of a heading, which is outside of a clockwise outline."""
    x, y = heading
    length = abs(x + y) if 0 in heading else near_root(x * x + y * y)
    return -y / length, x / length


def _moved(part: Part, allowance: Fraction) -> Moved:
    leaves, arrives = _heading(part, part.start), _heading(part, part.end)
    first = _outward(leaves)
    last = first if part.centre is None else _outward(arrives)
    start, end = _along(part.start, first, allowance), _along(part.end, last, allowance)
    return Moved(part, allowance, start, end, leaves, arrives)


def _corner(before: Moved, after: Moved) -> tuple[Spot, Spot]:
    """Return where the cut line leaves the one part and where it takes up the next; the same point if they meet."""
    corner = after.part.start
    turn = _cross(before.arrives, after.leaves)
    if turn == 0 and _dot(before.arrives, after.leaves) > 0:
        return (before.end, before.end) if before.allowance == after.allowance else (before.end, after.start)
    point = _meeting(before, after, corner) if turn else None
    if point is None:
        return before.end, after.start
    out = _minus(point, corner)
    furthest = LONGEST_CORNER * max(before.allowance, after.allowance)
    if turn < 0 and _dot(out, out) > furthest * furthest:
        return before.end, after.start
    return point, point


def _meeting(before: Moved, after: Moved, corner: Spot) -> Spot | None:
    first, second = before.part, after.part
    if first.centre is None and second.centre is None:
        return _lines(before, after)
    if first.centre is None and second.centre is not None:
        return _line_and_circle(before, second.centre, after.reach_of_circle, corner)
    if first.centre is not None and second.centre is None:
        return _line_and_circle(after, first.centre, before.reach_of_circle, corner)
    return _circles(before, after, corner)


def _lines(before: Moved, after: Moved) -> Spot:
    if 0 in before.leaves or 0 not in after.leaves:
        origin, way, other, direction = before.start, before.leaves, after.start, after.leaves
    else:
        # From the line parallel to an axis, so that the coordinate that is exact stays exact.
        origin, way, other, direction = after.start, after.leaves, before.start, before.leaves
    return _along(origin, way, _cross(_minus(other, origin), direction) / _cross(way, direction))


def _nearer(corner: Spot, half: Fraction, spot_at: Callable[[Fraction], Spot], middle: Fraction) -> Spot:
    spots = [spot_at(middle - half), spot_at(middle + half)]

    def apart(spot: Spot) -> Fraction:
        reach = _minus(spot, corner)
        return _dot(reach, reach)

    return min(spots, key=apart)


def _line_and_circle(line: Moved, centre: Spot, radius: Fraction, corner: Spot) -> Spot | None:
    way = line.leaves
    from_centre = _minus(line.start, centre)
    square, half_b = _dot(way, way), _dot(way, from_centre)
    under = half_b * half_b - square * (_dot(from_centre, from_centre) - radius * radius)
    if under < 0:
        return None
    return _nearer(corner, near_root(under) / square, lambda t: _along(line.start, way, t), -half_b / square)


def _circles(before: Moved, after: Moved, corner: Spot) -> Spot | None:
    centre, other = before.part.centre, after.part.centre
    if centre is None or other is None:
        return None
    way = _minus(other, centre)
    apart = _dot(way, way)
    if apart == 0:
        return None
    radius, second = before.reach_of_circle, after.reach_of_circle
    toward = (radius * radius - second * second + apart) / (2 * apart)
    under = radius * radius / apart - toward * toward
    if under < 0:
        return None
    foot, square = _along(centre, way, toward), (-way[1], way[0])
    return _nearer(corner, near_root(under), lambda t: _along(foot, square, t), Fraction(0))
