"""Plies: how many layers of what lie on each other at one place of the bag."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from grading.document.expressions import THICKNESS
from grading.model import Model

TAPE = "zip tape"
"""Stands among the roles of materials for the tape of a zip; no role has a space in its name."""
Plies = Mapping[str, int]
"""Layers by role of material."""


def together(*parts: Plies) -> Plies:
    """All of these on each other."""
    total: dict[str, int] = {}
    for part in parts:
        for role, count in part.items():
            total[role] = total.get(role, 0) + count
    return total


def folded(plies: Plies, times: int) -> Plies:
    """These, so many times."""
    return {role: count * times for role, count in plies.items()}


def thickness_of(model: Model, role: str, tape: Fraction) -> Fraction | None:
    """The thickness of one layer as stitched, in mm; None where the document does not say it."""
    return tape if role == TAPE else model.draft.thicknesses.get(THICKNESS + role)


def thickness(model: Model, plies: Plies, tape: Fraction) -> Fraction:
    """The thickness of all of these, in mm; a material without a thickness counts as nothing."""
    return sum(
        (count * (thickness_of(model, role, tape) or Fraction(0)) for role, count in plies.items()),
        Fraction(0),
    )
