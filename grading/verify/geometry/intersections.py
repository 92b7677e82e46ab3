"""Where lines and quarter arcs meet: exact answers in whole numbers.

A quarter arc lies inside the box of its ends, so it is the circle within that box. Whether a line meets it is
whether a quadratic has a root in an interval, which the signs at the ends and at the vertex decide.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from grading.verify.exact.fraction import Fraction

Dot = tuple[int, int]
Span = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Arc:
    """The circle of a quarter arc."""

    centre: Dot
    radius: int


@dataclass(frozen=True)
class Stroke:
    """A line from start to end, or the quarter of a circle that lies in the box of both."""

    start: Dot
    end: Dot
    arc: Arc | None

    @cached_property
    def box(self) -> tuple[int, int, int, int]:
        """Least and greatest x, least and greatest y."""
        (ax, ay), (bx, by) = self.start, self.end
        return min(ax, bx), max(ax, bx), min(ay, by), max(ay, by)


def meet(first: Stroke, second: Stroke, shared: list[Dot]) -> bool:
    """Whether two strokes touch anywhere but in the given points, which are ends of both."""
    if first.start == first.end or second.start == second.end:
        return True
    if first.arc is None and second.arc is None:
        return _lines_meet(first, second, shared)
    if first.arc is None:
        return _line_meets_arc(first, second, shared)
    if second.arc is None:
        return _line_meets_arc(second, first, shared)
    return _arcs_meet(first, second, shared)


def _lines_meet(first: Stroke, second: Stroke, shared: list[Dot]) -> bool:
    (ax, ay), (bx, by) = first.start, first.end
    (cx, cy), (dx, dy) = second.start, second.end
    ux, uy, vx, vy = bx - ax, by - ay, dx - cx, dy - cy
    across = ux * vy - uy * vx
    if across == 0:
        if ux * (cy - ay) != uy * (cx - ax):
            return False
        return _overlap(first, second, shared)
    # a + t u = c + s v, with t and s as whole numbers over `across`.
    t = (cx - ax) * vy - (cy - ay) * vx
    s = (cx - ax) * uy - (cy - ay) * ux
    if across < 0:
        across, t, s = -across, -t, -s
    if not (0 <= t <= across and 0 <= s <= across):
        return False
    # The point times `across`, so that whole numbers are compared.
    x, y = ax * across + t * ux, ay * across + t * uy
    return all((x, y) != (across * dot[0], across * dot[1]) for dot in shared)


def _overlap(first: Stroke, second: Stroke, shared: list[Dot]) -> bool:
    """Whether two strokes of one straight line have more in common than the shared ends."""
    low = max(min(first.start, first.end), min(second.start, second.end))
    high = min(max(first.start, first.end), max(second.start, second.end))
    return low < high or (low == high and low not in shared)


def _line_meets_arc(line: Stroke, curve: Stroke, shared: list[Dot]) -> bool:
    if curve.arc is None:
        return False
    (ax, ay), (bx, by) = line.start, line.end
    return _meets_circle((ax, ay), (bx - ax, by - ay), curve.arc, [line.box, curve.box], shared)


def _arcs_meet(first: Stroke, second: Stroke, shared: list[Dot]) -> bool:
    if first.arc is None or second.arc is None:
        return False
    (px, py), (qx, qy) = first.arc.centre, second.arc.centre
    dx, dy = qx - px, qy - py
    apart = dx * dx + dy * dy
    if apart == 0:
        return first.arc.radius == second.arc.radius and _same_circle(first, second, shared)
    # Both circles meet on their radical line, at p + d (apart + r1² - r2²) / (2 apart), square to d.
    toward = apart + first.arc.radius**2 - second.arc.radius**2
    scale = 2 * apart
    origin = (px * scale + dx * toward, py * scale + dy * toward)
    arc = Arc((px * scale, py * scale), first.arc.radius * scale)
    boxes = [tuple(value * scale for value in stroke.box) for stroke in (first, second)]
    dots = [(x * scale, y * scale) for x, y in shared]
    return _meets_circle(origin, (-dy, dx), arc, boxes, dots)


def _same_circle(first: Stroke, second: Stroke, shared: list[Dot]) -> bool:
    """Whether two quarters of one circle are the same quarter, or touch where they should not."""
    if first.box == second.box:
        return True
    ends = {first.start, first.end} & {second.start, second.end}
    return any(end not in shared for end in ends)


def _meets_circle(origin: Dot, way: Dot, arc: Arc, boxes: list[tuple[int, ...]], shared: list[Dot]) -> bool:
    """Whether origin + t × way lies on the circle and in all boxes for some t, apart from the shared points."""
    span = _span(origin, way, boxes)
    if span is None:
        return False
    (ox, oy), (wx, wy), (cx, cy) = origin, way, arc.centre
    a = wx * wx + wy * wy
    half_b = wx * (ox - cx) + wy * (oy - cy)
    c = (ox - cx) ** 2 + (oy - cy) ** 2 - arc.radius**2
    known = [_parameter(origin, way, dot) for dot in shared]
    roots = [t for t in known if t is not None and a * t * t + 2 * half_b * t + c == 0]
    if roots:
        # The other root follows from the sum of both, -b/a; a tangent point counts once.
        other = Fraction(-2 * half_b, a) - roots[0]
        return other not in known and span[0] <= other <= span[1]
    return _has_root(a, half_b, c, span)


def _parameter(origin: Dot, way: Dot, dot: Dot) -> Fraction | None:
    axis = 0 if way[0] else 1
    t = Fraction(dot[axis] - origin[axis], way[axis])
    return t if origin[1 - axis] + t * way[1 - axis] == dot[1 - axis] else None


def _span(origin: Dot, way: Dot, boxes: list[tuple[int, ...]]) -> Span | None:
    """Return the parameters for which the line is in all boxes, or None."""
    low: Fraction | None = None
    high: Fraction | None = None
    for box in boxes:
        for axis in (0, 1):
            least, most = box[2 * axis], box[2 * axis + 1]
            if way[axis] == 0:
                if not least <= origin[axis] <= most:
                    return None
                continue
            ends = sorted(Fraction(value - origin[axis], way[axis]) for value in (least, most))
            low = ends[0] if low is None else max(low, ends[0])
            high = ends[1] if high is None else min(high, ends[1])
    if low is None or high is None or low > high:
        return None
    return low, high


def _has_root(a: int, half_b: int, c: int, span: Span) -> bool:
    """Whether a t² + 2 half_b t + c, with a above 0, is 0 somewhere in the span."""
    low, high = (a * t * t + 2 * half_b * t + c for t in span)
    if low == 0 or high == 0 or (low < 0) != (high < 0):
        return True
    vertex = Fraction(-half_b, a)
    return low > 0 and span[0] <= vertex <= span[1] and half_b * half_b >= a * c
