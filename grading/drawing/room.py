"""Where words have room in a piece: rectangles that meet none of its lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from grading.drawing.box import Box, around
from grading.drawing.cut_path import Place

TRIES = 24
"""How many places are tried each way."""
TOGETHER = 48
"""How many places are judged in one go."""
Numbers = NDArray[np.float64]
Truths = NDArray[np.bool_]


class Room:
    """The room within an outline, beside some lines and boxes that are taken; boxes may be taken one after another."""

    def __init__(self, outline: Sequence[Place], lines: Iterable[Sequence[Place]]) -> None:
        ring = [*outline, outline[0]]
        self.box = around(outline)
        self._ring: Numbers = np.array(list(pairwise(ring)), dtype=np.float64)
        self._segments = self._ring
        self.take_lines(lines)

    def take(self, box: Box) -> None:
        """Keeps a box free from now on."""
        self.take_lines([(*box.corners, box.corners[0], box.corners[2])])

    def take_lines(self, lines: Iterable[Sequence[Place]]) -> None:
        """Keeps lines free from now on."""
        more = [each for line in lines for each in pairwise(line)]
        if more:
            self._segments = np.concatenate([self._segments, np.array(more, dtype=np.float64)])

    def find(self, width: float, height: float, wish: Place) -> Place | None:
        """The lower left corner of a free rectangle of this size whose middle is near to the wished place, or None."""
        if self.box.width < width or self.box.height < height:
            return None
        columns = np.linspace(self.box.left + width / 2, self.box.right - width / 2, TRIES)
        rows = np.linspace(self.box.low + height / 2, self.box.top - height / 2, TRIES)
        grid = np.meshgrid(np.append(columns, wish[0]), np.append(rows, wish[1]))
        middles = np.stack([axis.ravel() for axis in grid], axis=1)
        middles = middles[np.argsort(((middles - wish) ** 2).sum(axis=1), kind="stable")]
        for start in range(0, len(middles), TOGETHER):
            some = middles[start : start + TOGETHER]
            good = np.flatnonzero(self._within(some) & self._free(some, width / 2, height / 2))
            if good.size:
                x, y = some[good[0]]
                return float(x) - width / 2, float(y) - height / 2
        return None

    def is_free(self, box: Box) -> bool:
        """Whether no line meets a box, wherever it lies."""
        return bool(self._free(np.array([box.middle]), box.width / 2, box.height / 2)[0])

    def touched(self, box: Box) -> bool:
        """Whether any of the outline, or of what lies within it, lies in a box."""
        return bool(self._within(np.array([box.middle]))[0]) or not self.is_free(box)

    def _within(self, places: Numbers) -> Truths:
        """Whether the outline goes round each place, by the number of its lines to the right of it."""
        (x1, y1), (x2, y2) = self._ring[:, 0].T, self._ring[:, 1].T
        x, y = places[:, :1], places[:, 1:]
        spans = (y1 > y) != (y2 > y)
        with np.errstate(divide="ignore", invalid="ignore"):
            crossing = x1 + (y - y1) / (y2 - y1) * (x2 - x1)
        return np.asarray(np.logical_xor.reduce(spans & (crossing > x), axis=1), dtype=np.bool_)

    def _free(self, middles: Numbers, half_width: float, half_height: float) -> Truths:
        """Whether no line meets the rectangle about each middle: the axes or the line's normal keep them apart."""
        start = self._segments[None, :, 0] - middles[:, None]
        end = self._segments[None, :, 1] - middles[:, None]
        low, high = np.minimum(start, end), np.maximum(start, end)
        half = np.array([half_width, half_height])
        apart = ((low >= half) | (high <= -half)).any(axis=2)
        way = self._segments[:, 1] - self._segments[:, 0]
        offset = np.abs(way[:, 0] * start[:, :, 1] - way[:, 1] * start[:, :, 0])
        reach = np.abs(way[:, 0]) * half_height + np.abs(way[:, 1]) * half_width
        return np.asarray(np.all(apart | (offset >= reach), axis=1), dtype=np.bool_)
