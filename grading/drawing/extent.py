"""How far marks reach."""

from __future__ import annotations

from math import cos, radians, sin

from grading.drawing.box import Box, around
from grading.drawing.cut_path import Place
from grading.drawing.flatten import arc_points, path_points
from grading.drawing.fonts import breadth
from grading.drawing.scene import Arc, Line, Mark, Path, Polyline, Scene, Words

ASCENT, DESCENT = 0.76, 0.24
"""How far capitals rise above the base line and tails hang below it, of the font's size (DejaVu Sans 2.37)."""
STARTS = {"start": 0.0, "middle": 0.5, "end": 1.0}


def scene_box(scene: Scene) -> Box:
    """The least box around all marks. Raises ValueError where there are none."""
    return around(corner for mark in scene.marks for corner in mark_box(mark).corners)


def mark_box(mark: Mark) -> Box:
    """The least box around a mark, the breadth of its line apart."""
    match mark:
        case Line():
            return around((mark.start, mark.end))
        case Polyline():
            return around(mark.points)
        case Arc():
            return around(arc_points(mark))
        case Path():
            return around(path_points(mark))
        case Words():
            return around(_frame(mark))


def _frame(words: Words) -> tuple[Place, ...]:
    wide = breadth(words.text, words.size, words.bold)
    left = -wide * STARTS[words.anchor]
    low, top = -DESCENT * words.size, ASCENT * words.size
    turn = radians(words.turned)
    x, y = words.place
    return tuple(
        (x + a * cos(turn) - b * sin(turn), y + a * sin(turn) + b * cos(turn))
        for a, b in ((left, low), (left + wide, low), (left + wide, top), (left, top))
    )
