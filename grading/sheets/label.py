"""The words on a piece as a block of lines, as large as there is room for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from grading.drawing.box import Box
from grading.drawing.cut_path import Place
from grading.drawing.fonts import breadth
from grading.drawing.moving import moved
from grading.drawing.room import Room
from grading.drawing.scene import Line, Mark, Scene, Words

SIZES = (3.6, 3.0, 2.6, 2.2, 1.9)
"""Sizes of text in mm that are tried, the largest first; 1.9 mm are 5.4 points."""
TITLE = 1.7
"""How much larger a title is."""
LEADING = 1.35
"""From one base line to the next, of the text's size."""
SAMPLE = 14.0
"""How long a sample of a line is, and the room beside it."""
SAMPLE_GAP = 2.0
LEAST_LETTERS = 8
WIDTHS = (46, 36, 28, 22)
"""How many letters a line may have, the most first, before it is broken."""


@dataclass(frozen=True)
class Row:
    """A line of a label; `sample` is a style that is shown before it."""

    text: str
    title: bool = False
    sample: str | None = None


@dataclass(frozen=True)
class Label:
    """A label as a scene with its lower left corner at (0, 0)."""

    scene: Scene
    width: float
    height: float


def fitted(rows: Sequence[Row], room: Room, wish: Place, upright: bool = False) -> tuple[Scene, Box] | None:
    """The label in the largest size for which a piece has room, level or turned by a quarter; None where it has none.

    The place is taken.
    """
    for size in SIZES:
        for most in WIDTHS:
            label = set_label(rows, size, most)
            for quarters in (1, 0) if upright else (0, 1):
                wide, high = (label.width, label.height) if quarters == 0 else (label.height, label.width)
                corner = room.find(wide + 2, high + 2, wish)
                if corner is None:
                    continue
                box = Box(corner[0] + 1, corner[1] + 1, corner[0] + 1 + wide, corner[1] + 1 + high)
                room.take(box)
                at = (box.left, box.low) if quarters == 0 else (box.right, box.low)
                return moved(label.scene, at, quarters), box
    return None


def set_label(rows: Sequence[Row], size: float, most: int) -> Label:
    """A label in a size of text, its lines broken so that none has more than `most` letters, words apart."""
    lines = [line for row in rows for line in _broken(row, most)]
    heights = [size * (TITLE if row.title else 1) * LEADING for row in lines]
    total = sum(heights)
    marks: list[Mark] = []
    top = total
    for row, height in zip(lines, heights, strict=True):
        base = top - height * 0.78
        left = 0.0
        if row.sample:
            marks.append(Line((0, base + size * 0.3), (SAMPLE, base + size * 0.3), row.sample, "note"))
            left = SAMPLE + SAMPLE_GAP
        marks.append(Words(row.text, (left, base), size * (TITLE if row.title else 1), bold=row.title))
        top -= height
    wide = max(_width(row, size) for row in lines)
    return Label(Scene(tuple(marks)), wide, total)


def _width(row: Row, size: float) -> float:
    left = SAMPLE + SAMPLE_GAP if row.sample else 0.0
    return left + breadth(row.text, size * (TITLE if row.title else 1), row.title)


def _short_words(text: str, most: int) -> Iterator[str]:
    """The words of a text, those that are longer than a line in parts."""
    for word in text.split():
        yield from (word[start : start + most] for start in range(0, len(word), most))


def _broken(row: Row, most: int) -> Iterator[Row]:
    room = most - 10 if row.sample else int(most / TITLE) if row.title else most
    line = ""
    sample = row.sample
    for word in _short_words(row.text, max(room, LEAST_LETTERS)):
        if line and len(line) + 1 + len(word) > max(room, LEAST_LETTERS):
            yield Row(line, row.title, sample)
            line, sample = word, None
        else:
            line = f"{line} {word}".strip()
    yield Row(line, row.title, sample)
