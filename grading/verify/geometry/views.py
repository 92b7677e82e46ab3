"""Views: outlines as they are seen when one use lies on another, mirrored and with pleats taken up."""

from __future__ import annotations

from dataclasses import dataclass

from grading.verify.exact.forms import ZERO, Form
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.points import Point
from grading.verify.geometry.outlines import Box, Outline, Place, sign_of

HALF = Fraction(1, 2)
ACROSS, ALONG = 0, 1


@dataclass(frozen=True, eq=False)
class View:
    """An outline as seen; what pleats take up moves the right part left and the lower part up."""

    outline: Outline
    mirrored: bool
    takes_across: Form = ZERO
    takes_along: Form = ZERO

    @property
    def base(self) -> Point:
        """The point that says which vertices make the box."""
        return self.outline.base

    def side(self, side: str) -> Form:
        """Return where the named side of the box lies: x for left and right, y for top and bottom."""
        box = self.outline.box
        if side == "top":
            return box.top
        if side == "bottom":
            return box.bottom + self.takes_along
        if side == "left":
            return -box.right if self.mirrored else box.left
        right = -box.left if self.mirrored else box.right
        return right - self.takes_across

    def seen(self, place: Place) -> Place:
        """Return where a place of the outline is seen."""
        x, y = (-place[0] if self.mirrored else place[0]), place[1]
        left, right, bottom, top = self.outline.box.base
        middle = (left + right) / 2 * (-1 if self.mirrored else 1)
        from_middle = sign_of(self.base.rational(x) - middle)
        below_middle = sign_of((bottom + top) / 2 - self.base.rational(y))
        x = x - self.takes_across.times(HALF * (1 + from_middle))
        y = y + self.takes_along.times(HALF * (1 + below_middle))
        return x, y

    def sides_of(self, place: Place, other: Place) -> set[str]:
        """Return the sides of the box on which both places lie, at the base size."""
        box: Box = self.outline.box
        left, right, bottom, top = box.base
        if self.mirrored:
            left, right = -right, -left
        found = set()
        for side, index, value in (("left", 0, left), ("right", 0, right), ("bottom", 1, bottom), ("top", 1, top)):
            if all(self.base.rational(point[index]) == value for point in (place, other)):
                found.add(side)
        return found
