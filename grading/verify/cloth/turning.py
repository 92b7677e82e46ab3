"""Turning: from the directions of a drawing to those of the cloth."""

from __future__ import annotations

from dataclasses import dataclass

from grading.verify.document.pieces import Piece
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.points import Point
from grading.verify.geometry.shapes import Spot


@dataclass(frozen=True)
class Turn:
    """A turn by quarters, or one with left and right changed over: where x and y of the one go in the other."""

    x: tuple[int, int]
    y: tuple[int, int]

    def of(self, way: Spot) -> Spot:
        """Return a direction as turned."""
        return self.x[0] * way[0] + self.y[0] * way[1], self.x[1] * way[0] + self.y[1] * way[1]

    def after(self, first: Turn) -> Turn:
        """Return this turn after another one."""
        return Turn(self._whole(first.x), self._whole(first.y))

    def _whole(self, way: tuple[int, int]) -> tuple[int, int]:
        return self.x[0] * way[0] + self.y[0] * way[1], self.x[1] * way[0] + self.y[1] * way[1]


STRAIGHT = Turn((1, 0), (0, 1))
CLOCKWISE = Turn((0, -1), (1, 0))
CHANGED_OVER = Turn((-1, 0), (0, 1))


def clockwise(degrees: int) -> Turn:
    """Return the turn clockwise by 0, 90, 180 or 270 degrees."""
    turn = STRAIGHT
    for _ in range(degrees // 90):
        turn = CLOCKWISE.after(turn)
    return turn


def turn_of(is_across: bool, mirrored: bool, degrees: int) -> Turn:
    """Return how a drawing lies on the cloth.

    At 0 its grain runs along y, with the top (of grain across: the left) of the drawing towards greater y; mirrored
    pieces have left and right of the cloth changed over.
    """
    turn = CLOCKWISE if is_across else STRAIGHT
    if mirrored:
        turn = CHANGED_OVER.after(turn)
    return clockwise(degrees).after(turn)


def seen_turn(is_across: bool, mirrored: bool, degrees: int) -> Turn:
    """Return how what is seen on the bag, a mirrored use mirrored, lies on the cloth."""
    turn = turn_of(is_across, mirrored, degrees)
    return turn.after(CHANGED_OVER) if mirrored else turn


def faces(piece: Piece, edge: str, point: Point, turn: Turn) -> int:
    """Return -1 where an edge faces the left of the cloth and is its furthest part there, 1 at the right, else 0."""
    segments = piece.outline.edges[edge].segments
    if len(segments) != 1 or not (segments[0].is_level or segments[0].is_upright):
        return 0
    across, along = segments[0].signs
    # Outward is on the left of the way of a clockwise outline.
    outward = turn.of((Fraction(-along), Fraction(across)))
    if outward[0] == 0:
        return 0
    axis = 1 if along == 0 else 0
    box = piece.outline.box
    is_greater = (across if axis else -along) > 0
    side = (box.right, box.top) if is_greater else (box.left, box.bottom)
    if point.rational(segments[0].start[axis]) != point.rational(side[axis]):
        return 0
    return -1 if outward[0] < 0 else 1
