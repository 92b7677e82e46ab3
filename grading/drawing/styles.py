"""Named line styles, after ISO 128-2: wide and narrow lines, dashed, long dashed dotted and dotted; all black or grey.

Breadths in the ratio 2:1; dashes in mm. Colour says nothing: a sheet printed in grey reads the same.
"""

from __future__ import annotations

from dataclasses import dataclass

WIDE, NARROW, THIN = 0.5, 0.25, 0.13


@dataclass(frozen=True)
class Style:
    """How a line looks: breadth and dashes (ink, gap, ink, gap, ...) in mm, and how dark it is, 0 black to 1 white."""

    name: str
    breadth: float
    dashes: tuple[float, ...] = ()
    grey: float = 0.0


_DASHES: tuple[tuple[float, ...], ...] = (
    (),
    (7.0, 2.0),
    (2.5, 1.5),
    (12.0, 1.8, 0.6, 1.8),
    (0.6, 1.4),
    (7.0, 1.5, 0.6, 1.5, 0.6, 1.5),
    (12.0, 1.5, 3.0, 1.5),
    (2.5, 1.2, 0.6, 1.2),
)
"""The lines of nested sizes, none like another: ISO 128-2, types 01, 02, 04, 07, 05 and their kin."""
_NAMED = (
    Style("cut", WIDE),
    Style("stitch", NARROW, (4.0, 1.5)),
    Style("fold", WIDE, (12.0, 2.0, 0.5, 2.0)),
    Style("wide", WIDE),
    Style("narrow", NARROW),
    Style("thin", THIN),
    Style("dashed", NARROW, (3.0, 1.5)),
    Style("chain", NARROW, (9.0, 1.5, 0.5, 1.5)),
    Style("dots", NARROW, (0.5, 1.5)),
    Style("grey", NARROW, (), 0.55),
    Style("lattice", THIN, (0.5, 1.5), 0.45),
    *(Style(f"size {number}", WIDE, dashes) for number, dashes in enumerate(_DASHES, 1)),
    *(Style(f"inner {number}", NARROW, dashes) for number, dashes in enumerate(_DASHES, 1)),
)
STYLES: dict[str, Style] = {style.name: style for style in _NAMED}
"""Every style by its name."""
SIZES = len(_DASHES)
"""How many sizes have a line of their own on one sheet."""


def size_style(number: int) -> str:
    """The style of a nested size, from 0; beyond SIZES they begin again, and the words on the lines tell them apart."""
    return f"size {number % SIZES + 1}"


def inner_style(number: int) -> str:
    """The narrow line of a size, for what lies within its cut line."""
    return f"inner {number % SIZES + 1}"
