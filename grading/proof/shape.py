"""Claims of shape: each outline closes, runs clockwise, never crosses itself, and is symmetric where it is folded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations

from grading.cut import DrawnPiece
from grading.cut.geometry import Curve, Place, cross, minus
from grading.grade import Grade
from grading.proof.claims import Claim

_ARC_POINTS = tuple(Fraction(k, 8) for k in range(1, 8))


def shape_claims(grade: Grade) -> Iterator[Claim]:
    """The claims of every piece's outline."""
    for name, drawn in grade.pieces.items():
        polygon = _polygon(drawn)
        area = _area(polygon)
        crossed = _crossing(polygon)
        yield Claim(
            "closed",
            name,
            f"the outline of {name} runs clockwise and never crosses itself",
            "crosses itself" if crossed else f"{round(float(area))} mm²",
            "above 0, without a crossing",
            area > 0 and not crossed,
            f"pieces.{name}.outline",
            "list the edges clockwise, as seen from the right side, and move the ones that cross",
        )
        if drawn.piece.written.on_fold:
            yield _symmetric(name, drawn)


def _polygon(drawn: DrawnPiece) -> list[Place]:
    points: list[Place] = []
    for _, curve in drawn.curves:
        points.append(curve.start)
        if curve.centre is not None:
            points += _on_arc(curve, curve.centre)
    return points


def _on_arc(curve: Curve, centre: Place) -> Iterator[Place]:
    """Rational points on a quarter arc, by (1 - t²)/(1 + t²) and 2t/(1 + t²)."""
    start, end = minus(curve.start, centre), minus(curve.end, centre)
    for t in _ARC_POINTS:
        along, over = (1 - t * t) / (1 + t * t), 2 * t / (1 + t * t)
        yield centre[0] + along * start[0] + over * end[0], centre[1] + along * start[1] + over * end[1]


def _area(polygon: Sequence[Place]) -> Fraction:
    """The area of a polygon, above 0 if it runs clockwise."""
    return -sum((cross(polygon[place - 1], polygon[place]) for place in range(len(polygon))), Fraction(0)) / 2


def _crossing(polygon: Sequence[Place]) -> bool:
    count = len(polygon)
    sides = [(polygon[place], polygon[(place + 1) % count]) for place in range(count)]
    boxes = [(min(a[0], b[0]), max(a[0], b[0]), min(a[1], b[1]), max(a[1], b[1])) for a, b in sides]
    for first, second in combinations(range(count), 2):
        if second - first in {1, count - 1}:
            continue
        one, two = boxes[first], boxes[second]
        apart = one[1] < two[0] or two[1] < one[0] or one[3] < two[2] or two[3] < one[2]
        if not apart and _meet(sides[first], sides[second]):
            return True
    return False


def _meet(first: tuple[Place, Place], second: tuple[Place, Place]) -> bool:
    def side(line: tuple[Place, Place], point: Place) -> int:
        turn = cross(minus(line[1], line[0]), minus(point, line[0]))
        return (turn > 0) - (turn < 0)

    apart = side(first, second[0]) * side(first, second[1]) > 0 or side(second, first[0]) * side(second, first[1]) > 0
    return not apart


def _symmetric(name: str, drawn: DrawnPiece) -> Claim:
    points = {(curve.start, curve.centre) for _, curve in drawn.curves}
    upright = drawn.piece.written.grain != "across"
    coordinates = [point[0 if upright else 1] for point, _ in points]
    twice = min(coordinates) + max(coordinates)

    def mirrored(point: Place) -> Place:
        return (twice - point[0], point[1]) if upright else (point[0], twice - point[1])

    same = {mirrored(curve.end) for _, curve in drawn.curves} == {curve.start for _, curve in drawn.curves}
    return Claim(
        "closed",
        f"{name}: folded",
        f"{name} is the same on both sides of its fold",
        "the same" if same else "not the same",
        "the same",
        same,
        f"pieces.{name}.on_fold",
        "draw it symmetric, or do not cut it on the fold",
    )
