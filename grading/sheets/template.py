"""What is drawn of one piece at one size, in mm and at true scale; coordinates are those of the pattern's drawing."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from grading.drawing.cut_path import Place
from grading.drawing.scene import Path

Grain = Literal["along", "across", "bias"]
DIRECTIONS: dict[Grain, Place] = {"along": (0.0, 1.0), "across": (1.0, 0.0), "bias": (0.5**0.5, 0.5**0.5)}
"""Which way the grain runs in the drawing."""


@dataclass(frozen=True)
class Notch:
    """A mark from the cut line inwards."""

    name: str
    outer: Place
    inner: Place


@dataclass(frozen=True)
class Inner:
    """A line within a piece: placement, topstitching, quilting, fold or pleat."""

    name: str
    kind: str
    start: Place
    end: Place


@dataclass(frozen=True)
class Template:
    """One piece at one size.

    `stitching` has only the parts that do not lie on the cut line. `fold` is where the cloth is folded; then all else
    is the half of the piece that is cut. `up`: the way of the grain that leads to what is up as worn, if one does.
    `shared` are the facts that all sizes have in common.
    """

    letter: str
    piece: str
    size: str
    cut: Path
    stitching: tuple[Path, ...]
    notches: tuple[Notch, ...]
    inner: tuple[Inner, ...]
    grain: Grain | None
    up: Place | None
    fold: tuple[Place, Place] | None
    facts: tuple[str, ...]
    shared: tuple[str, ...] = field(default=())

    @property
    def name(self) -> str:
        """The piece's name as people read it."""
        return self.piece.replace("_", " ")

    @property
    def shape(self) -> tuple[object, ...]:
        """All that is drawn but words: sizes with the same shape need one line only."""
        return self.cut, self.stitching, self.notches, self.inner, self.fold
