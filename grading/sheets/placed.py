"""Where the cut line of a laid piece runs on its cloth; floats, for pictures only."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from grading.sheets.cut_path import Place, cut_points, millimetres

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
    points = cut_points(grade["pieces"][laid["piece"]])
    turns = laid["turned"] // QUARTER + (1 if row["grain"] == "across" else 0)
    return _placed(points, turns, laid["mirrored"], (millimetres(laid["x"]), millimetres(laid["y"])))


def _placed(points: Sequence[Place], turns: int, mirrored: bool, corner: Place) -> tuple[Place, ...]:
    """Points mirrored, turned clockwise by quarters, and moved so that their box's least corner lies at `corner`."""
    shown = [(-x, y) if mirrored else (x, y) for x, y in points]
    for _ in range(turns % 4):
        shown = [(y, -x) for x, y in shown]
    left, low = min(x for x, _ in shown), min(y for _, y in shown)
    return tuple((x - left + corner[0], y - low + corner[1]) for x, y in shown)
