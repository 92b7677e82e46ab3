"""Boxes: rectangles along the axes, in mm."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from grading.drawing.cut_path import Place


@dataclass(frozen=True)
class Box:
    """From the lower left to the upper right corner."""

    left: float
    low: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From low to top."""
        return self.top - self.low

    @property
    def middle(self) -> Place:
        """The point in the middle."""
        return (self.left + self.right) / 2, (self.low + self.top) / 2

    @property
    def corners(self) -> tuple[Place, Place, Place, Place]:
        """The four corners, anticlockwise from the lower left."""
        return (self.left, self.low), (self.right, self.low), (self.right, self.top), (self.left, self.top)

    def meets(self, other: Box) -> bool:
        """Whether the two have more than an edge in common."""
        return self.left < other.right and other.left < self.right and self.low < other.top and other.low < self.top

    def grown(self, by: float) -> Box:
        """The box with so much more on every side."""
        return Box(self.left - by, self.low - by, self.right + by, self.top + by)

    def moved(self, by: Place) -> Box:
        """The same box elsewhere."""
        return Box(self.left + by[0], self.low + by[1], self.right + by[0], self.top + by[1])


def around(places: Iterable[Place]) -> Box:
    """The least box around some places. Raises ValueError where there are none."""
    every = list(places)
    xs, ys = [x for x, _ in every], [y for _, y in every]
    return Box(min(xs), min(ys), max(xs), max(ys))
