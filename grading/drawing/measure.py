"""Millimetres and points. Exact scale hangs on this one number: 72 points are an inch of 25.4 mm exactly."""

from __future__ import annotations

POINTS = 72 / 25.4
"""Points in a millimetre (ISO 32000-1, section 8.3.2.3: the default unit is 1/72 inch)."""
INCH = 25.4


def points(length: float) -> float:
    """A length in mm as points."""
    return length * POINTS
