"""Where the cut line of a laid piece runs on its cloth; floats, for pictures only."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from grading.drawing.cut_path import Place, cut_points, millimetres

QUARTER = 90


def laid_outline(laid: Mapping[str, Any], grade: Mapping[str, Any] | None) -> tuple[Place, ...] | None:
    """The cut line of a laid piece in the coordinates of the cloth (x across, y along), in mm.

    None where only its rectangle is known: for strips, bias blocks and pieces that are cut rough or inset, and without
    the document of its grade.
    """
    if grade is None or laid["kind"] != "piece" or laid.get("on_fold") or laid["piece"] not in grade["pieces"]:
        return None
    row = next(
        (row for row in grade["cut_list"] if (row["letter"], row["layer"]) == (laid["letter"], laid["layer"])), None
    )
    if row is None or row["trim"] is not None or row["allowance"] != "included" or row["grain"] == "bias":
        return None
    points = _turned(cut_points(grade["pieces"][laid["piece"]]), 1 if row["grain"] == "across" else 0)
    if laid["mirrored"]:
        points = [(-x, y) for x, y in points]
    return _in_the_middle(_turned(points, laid["turned"] // QUARTER), laid)


def _turned(points: Sequence[Place], quarters: int) -> Sequence[Place]:
    """Points turned clockwise about (0, 0)."""
    for _ in range(quarters):
        points = [(y, -x) for x, y in points]
    return points


def _in_the_middle(points: Sequence[Place], laid: Mapping[str, Any]) -> tuple[Place, ...]:
    """Points moved so that the middle of their box is that of the laid box, which may be raised."""
    moves = [
        millimetres(laid[corner]) + millimetres(laid[side]) / 2 - (min(axis) + max(axis)) / 2
        for corner, side, axis in zip(("x", "y"), ("across", "along"), zip(*points, strict=True), strict=True)
    ]
    return tuple((x + moves[0], y + moves[1]) for x, y in points)
