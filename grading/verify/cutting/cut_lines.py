"""Cut lines: stitching lines moved outward by the allowances, corner by corner.

Points are exact where every line is parallel to an axis, else within 10**-25 mm, far below the 0.01 mm in which
printed points are judged.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from grading.verify.cutting.cut_chains import furthest_of_arc, outward, passed_by
from grading.verify.exact.enclosures import near_root
from grading.verify.exact.fraction import Fraction
from grading.verify.geometry.shapes import Part, Shape, Spot

# A convex corner may run out to four times the greater allowance; part of the format.
LONGEST_CORNER = 4
# The square of the sine of an angle that is none, and how far (mm) a line may pass a circle that it touches; part of
# the format, since roots and flats are nearly exact only.
TANGENT = Fraction(1, 10**18)
TOUCHING = Fraction(1, 10**20)


@dataclass(frozen=True)
class Moved:
    """A part moved outward by its allowance, from `start` to `end` if no neighbour cut it short.

    `through` are the points in between of a moved ellipse or cubic, which is a chain of lines.
    """

    part: Part
    allowance: Fraction
    start: Spot
    end: Spot
    leaves: Spot
    arrives: Spot
    through: tuple[Spot, ...] = ()

    @property
    def first_ray(self) -> tuple[Spot, Spot]:
        """A point of the line in which it sets out, and the direction."""
        return self.start, self.leaves

    @property
    def last_ray(self) -> tuple[Spot, Spot]:
        """A point of the line in which it comes in, and the direction."""
        return (self.end, self.arrives) if self.part.is_chain else (self.start, self.leaves)

    @property
    def reach_of_circle(self) -> Fraction:
        """The radius of the moved circle."""
        radius = self.part.radius
        return abs(radius + self.allowance if self.part.turns == "right" else radius - self.allowance)


@dataclass(frozen=True)
class Cut:
    """One stretch of the cut line; `edges` are the edges it may be named after, `through` the points of a chain."""

    edges: tuple[str, ...]
    start: Spot
    end: Spot
    centre: Spot | None
    turns: str | None
    through: tuple[Spot, ...] | None = None


@dataclass(frozen=True)
class Corner:
    """Where the cut line leaves one part and takes up the next; `inward` where both meet at a turn to the left."""

    leaves: Spot
    takes_up: Spot
    inward: bool = False


def cut_line(shape: Shape, allowances: Mapping[str, Fraction]) -> tuple[list[Cut], list[Moved]]:
    """Return the stretches of the cut line in order, and the moved parts they stem from."""
    moved = [_moved(part, allowances[part.edge]) for part in shape.parts]
    corners = [_corner(moved[index - 1], moved[index]) for index in range(len(moved))]
    cuts = []
    for index, item in enumerate(moved):
        before, after = corners[index], corners[(index + 1) % len(moved)]
        part, through = item.part, None
        if part.is_chain:
            through = _kept(item, before, after)
        turns = None if part.circle is None else part.turns
        cuts.append(Cut((part.edge,), before.takes_up, after.leaves, part.circle, turns, through))
        if after.leaves != after.takes_up:
            next_edge = moved[(index + 1) % len(moved)].part.edge
            cuts.append(Cut((part.edge, next_edge), after.leaves, after.takes_up, None, None))
    return cuts, moved


def _kept(chain: Moved, before: Corner, after: Corner) -> tuple[Spot, ...]:
    """Return the points of a chain without those that lie beyond where it meets its neighbours at inward corners."""
    points = chain.through
    if before.inward:
        while points and _dot(_minus(points[0], before.takes_up), chain.leaves) <= 0:
            points = points[1:]
    if after.inward:
        while points and _dot(_minus(points[-1], after.leaves), chain.arrives) >= 0:
            points = points[:-1]
    return points


def true_box(cuts: list[Cut], moved: list[Moved]) -> Spot:
    """Return the width and height of the cut line, arcs included."""
    left, right, bottom, top = true_sides(cuts, moved)
    return right - left, top - bottom


def true_sides(cuts: list[Cut], moved: list[Moved]) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    """Return the least and greatest x, and the least and greatest y, of the cut line, arcs included."""
    spots = [spot for cut in cuts for spot in (cut.start, cut.end, *(cut.through or ()))]
    by_part = {id(item.part): item for item in moved}
    arcs = [item for item in by_part.values() if item.part.circle is not None and item.part.turns == "right"]
    stretches = [cut for cut in cuts if cut.turns == "right"]
    for item, cut in zip(arcs, stretches, strict=True):
        if item.part.bend is not None:
            # An arc that its neighbours have eaten up has nothing left to reach out with.
            if cut.centre is not None and _is_left_over(item, cut):
                spots += furthest_of_arc(cut.centre, item.reach_of_circle, cut.start, cut.end)
            continue
        # Each end of a quarter points along an axis: the circle's furthest point there counts if the cut passes it.
        if _dot(_minus(cut.start, item.start), item.leaves) <= 0:
            spots.append(item.start)
        if _dot(_minus(cut.end, item.end), item.arrives) >= 0:
            spots.append(item.end)
    across, along = [spot[0] for spot in spots], [spot[1] for spot in spots]
    return min(across), max(across), min(along), max(along)


def _is_left_over(arc: Moved, cut: Cut) -> bool:
    return arc.part.rise is None or _dot(_minus(cut.end, cut.start), arc.part.reach) > 0


def _minus(first: Spot, second: Spot) -> Spot:
    return first[0] - second[0], first[1] - second[1]


def _dot(first: Spot, second: Spot) -> Fraction:
    return first[0] * second[0] + first[1] * second[1]


def _cross(first: Spot, second: Spot) -> Fraction:
    return first[0] * second[1] - first[1] * second[0]


def _along(origin: Spot, way: Spot, times: Fraction) -> Spot:
    return origin[0] + way[0] * times, origin[1] + way[1] * times


def _heading(part: Part, spot: Spot) -> Spot:
    """Return the direction in which a line or an arc passes one of its ends."""
    if part.centre is None:
        return part.reach
    x, y = _minus(spot, part.centre)
    return (y, -x) if part.turns == "right" else (-y, x)


def _moved(part: Part, allowance: Fraction) -> Moved:
    if part.is_chain:
        passed = passed_by(part)
        spots = tuple(_along(spot, outward(heading), allowance) for spot, heading in passed)
        return Moved(part, allowance, spots[0], spots[-1], passed[0][1], passed[-1][1], spots[1:-1])
    leaves, arrives = _heading(part, part.start), _heading(part, part.end)
    first = outward(leaves)
    last = first if part.centre is None else outward(arrives)
    start, end = _along(part.start, first, allowance), _along(part.end, last, allowance)
    return Moved(part, allowance, start, end, leaves, arrives)


def _turn(before: Moved, after: Moved) -> Fraction:
    """Return a number above 0 for a turn to the left, below for one to the right, 0 where they are tangent."""
    turn = _cross(before.arrives, after.leaves)
    if turn == 0 or (0 in before.arrives and 0 in after.leaves):
        return turn
    lengths = _dot(before.arrives, before.arrives) * _dot(after.leaves, after.leaves)
    return Fraction(0) if turn * turn < lengths * TANGENT else turn


def _corner(before: Moved, after: Moved) -> Corner:
    """Return where the cut line leaves the one part and where it takes up the next; the same point if they meet."""
    corner = after.part.start
    turn = _turn(before, after)
    if turn == 0 and _dot(before.arrives, after.leaves) > 0:
        return Corner(before.end, before.end if before.allowance == after.allowance else after.start)
    point = _meeting(before, after, corner) if turn else None
    if point is None:
        return Corner(before.end, after.start)
    out = _minus(point, corner)
    furthest = LONGEST_CORNER * max(before.allowance, after.allowance)
    if turn < 0 and _dot(out, out) > furthest * furthest:
        return Corner(before.end, after.start)
    return Corner(point, point, turn > 0)


def _meeting(before: Moved, after: Moved, corner: Spot) -> Spot | None:
    first, second = before.part.circle, after.part.circle
    if first is None and second is None:
        return _lines(before, after)
    if first is None and second is not None:
        return _line_and_circle(before.last_ray, second, after.reach_of_circle, corner)
    if first is not None and second is None:
        return _line_and_circle(after.first_ray, first, before.reach_of_circle, corner)
    return _circles(before, after, corner)


def _lines(before: Moved, after: Moved) -> Spot:
    (origin, way), (other, direction) = before.last_ray, after.first_ray
    if 0 not in way and 0 in direction:
        # From the line parallel to an axis, so that the coordinate that is exact stays exact.
        origin, way, other, direction = other, direction, origin, way
    return _along(origin, way, _cross(_minus(other, origin), direction) / _cross(way, direction))


def _nearer(corner: Spot, half: Fraction, spot_at: Callable[[Fraction], Spot], middle: Fraction) -> Spot:
    spots = [spot_at(middle - half), spot_at(middle + half)]

    def apart(spot: Spot) -> Fraction:
        reach = _minus(spot, corner)
        return _dot(reach, reach)

    return min(spots, key=apart)


def _line_and_circle(ray: tuple[Spot, Spot], centre: Spot, radius: Fraction, corner: Spot) -> Spot | None:
    start, way = ray
    from_centre = _minus(start, centre)
    square, half_b = _dot(way, way), _dot(way, from_centre)
    under = half_b * half_b - square * (_dot(from_centre, from_centre) - radius * radius)
    if under < -2 * radius * TOUCHING * square:
        return None
    return _nearer(
        corner, near_root(max(under, Fraction(0))) / square, lambda t: _along(start, way, t), -half_b / square
    )


def _circles(before: Moved, after: Moved, corner: Spot) -> Spot | None:
    centre, other = before.part.circle, after.part.circle
    if centre is None or other is None:
        return None
    way = _minus(other, centre)
    apart = _dot(way, way)
    if apart <= TOUCHING * TOUCHING:
        return None
    radius, second = before.reach_of_circle, after.reach_of_circle
    toward = (radius * radius - second * second + apart) / (2 * apart)
    under = radius * radius / apart - toward * toward
    if under * apart < -2 * max(radius, second) * TOUCHING:
        return None
    foot, square = _along(centre, way, toward), (-way[1], way[0])
    return _nearer(corner, near_root(max(under, Fraction(0))), lambda t: _along(foot, square, t), Fraction(0))
