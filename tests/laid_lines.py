"""Cut lines as laid, by an evaluation of their own: whether two nested pieces are a gap apart by an edge of one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import permutations
from typing import Any

from grading.exact import read_length

Spot = tuple[Fraction, Fraction]


def laid_line(document: Mapping[str, Any], grade: Mapping[str, Any], entry: Mapping[str, Any]) -> list[Spot]:
    """The printed corners of the cut line of an entry, in the middle of its box, turned and mirrored as it is."""
    spots = [
        (read_length(x), read_length(y))
        for stretch in grade["pieces"][entry["piece"]]["cut"]
        for x, y in (stretch["start"], stretch["end"])
    ]
    quarters = entry["turned"] // 90
    if document["pieces"][entry["piece"]].get("grain") == "across":
        # The left of the drawing is its top.
        spots = [(y, -x) for x, y in spots]
    if entry["mirrored"]:
        spots = [(-x, y) for x, y in spots]
    for _ in range(quarters):
        spots = [(y, -x) for x, y in spots]
    x, y, across, along = (read_length(entry[key]) for key in ("x", "y", "across", "along"))
    by = x + across / 2 - _middle([spot[0] for spot in spots]), y + along / 2 - _middle([spot[1] for spot in spots])
    return [(spot[0] + by[0], spot[1] + by[1]) for spot in spots]


def _middle(values: Sequence[Fraction]) -> Fraction:
    return (min(values) + max(values)) / 2


def are_a_gap_apart(first: Sequence[Spot], second: Sequence[Spot], gap: Fraction) -> bool:
    """Whether a line through two corners of one has it on one side, and all of the other at least the gap beyond."""
    for own, other in ((first, second), (second, first)):
        for (ax, ay), (bx, by) in permutations(set(own), 2):
            across, along = bx - ax, by - ay
            inside = [across * (y - ay) - along * (x - ax) for x, y in own]
            beyond = [along * (x - ax) - across * (y - ay) for x, y in other]
            if min(inside) < 0 or min(beyond) < 0:
                continue
            if min(beyond) ** 2 >= gap**2 * (across**2 + along**2):
                return True
    return False
