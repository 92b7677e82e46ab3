"""How pieces lie on the cloth: which way up, turned by how much, and where points of their drawings come to lie."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from grading.cloth.stuff import Stuff
from grading.cut import DrawnPiece
from grading.cut.geometry import Place
from grading.errors import Fault, LayoutFaults

HALF_TURN = 180


@dataclass(frozen=True)
class Sort:
    """The plain or the mirrored ones of a piece."""

    piece: str
    mirrored: bool


@dataclass(frozen=True)
class Lie:
    """How a sort of a piece lies, before it may be turned by 90 degrees: `turned` is 0 or 180, clockwise."""

    grain: str
    mirrored: bool
    turned: int

    def way(self, x: Fraction, y: Fraction) -> Place:
        """Where a way in the drawing, as the sort is sewn (mirrored ones seen mirrored), leads on the cloth.

        At 0 a plain piece with its grain across lies with its drawing's left towards greater y; a mirrored one is
        mirrored about its grain, so that the same edge lies there.
        """
        if self.grain == "across":
            x, y = (-y, x) if self.mirrored else (y, -x)
        return (-x, -y) if self.turned == HALF_TURN else (x, y)

    @property
    def sense(self) -> tuple[Place, Place]:
        """Where the drawing's two axes lead: alike for pieces that a print can run across."""
        return self.way(Fraction(1), Fraction(0)), self.way(Fraction(0), Fraction(1))


def seen(point: Place, *, mirrored: bool) -> Place:
    """A point of the drawing as the sort is sewn."""
    return (-point[0], point[1]) if mirrored else point


def lie_of(drawn: DrawnPiece, stuff: Stuff, *, mirrored: bool) -> Lie:
    """How a sort of a piece lies on a cloth. Raises LayoutFaults where its border edge cannot lie on the border."""
    written = drawn.piece.written
    upright = Lie(written.grain, mirrored, 0)
    by_up = HALF_TURN if stuff.direction == "one-way" and _is_upside_down(drawn) else 0
    if written.on_border is None or stuff.material.border is None:
        return Lie(written.grain, mirrored, by_up)
    outwards = upright.way(*_facing(drawn, written.on_border, mirrored=mirrored))
    path = f"pieces.{drawn.piece.name}.on_border"
    if not outwards[0]:
        raise LayoutFaults(
            [
                Fault(
                    path,
                    f"{written.on_border} runs across {stuff.role}, and its border along it",
                    "name an edge that runs along the grain, or let the grain run the other way",
                )
            ]
        )
    turned = 0 if (outwards[0] < 0) == (stuff.material.border == "left") else HALF_TURN
    if stuff.direction == "one-way" and turned != by_up:
        raise LayoutFaults(
            [
                Fault(
                    path,
                    f"with {written.on_border} on the {stuff.material.border} border it would lie upside down"
                    f" on {stuff.role}, which is one-way",
                    "name another edge as `up`, or give the cloth the direction two-way",
                )
            ]
        )
    return Lie(written.grain, mirrored, turned)


def _ends(drawn: DrawnPiece, edge: str) -> tuple[Place, Place]:
    curves = [curve for name, curve in drawn.curves if name == edge]
    return curves[0].start, curves[-1].end


def _is_upside_down(drawn: DrawnPiece) -> bool:
    """Whether the edge that is up as worn is at the end of the grain that lies towards the cut end at 0."""
    written = drawn.piece.written
    if written.up is None or written.grain == "bias":
        return False
    start, end = _ends(drawn, written.up)
    x, y = end[0] - start[0], end[1] - start[1]
    if written.grain == "across":
        return abs(y) > abs(x) and y < 0
    return abs(x) > abs(y) and x < 0


def _facing(drawn: DrawnPiece, edge: str, *, mirrored: bool) -> Place:
    """The way out of the piece over a straight edge parallel to an axis: outlines run clockwise."""
    start, end = _ends(drawn, edge)
    x, y = end[0] - start[0], end[1] - start[1]
    is_straight = sum(name == edge for name, _ in drawn.curves) == 1 and all(
        curve.centre is None for name, curve in drawn.curves if name == edge
    )
    if not is_straight or (x and y):
        raise LayoutFaults(
            [
                Fault(
                    f"pieces.{drawn.piece.name}.on_border",
                    f"{edge} is no straight edge that runs level or upright",
                    "name one that is",
                )
            ]
        )
    return seen((-y, x), mirrored=mirrored)
