"""Running text: paragraphs broken to a width, set from the top of a page downwards, on as many pages as they need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from grading.drawing.box import Box
from grading.drawing.fonts import breadth
from grading.drawing.scene import Line, Mark, Scene, Words

LEADING = 1.4


@dataclass(frozen=True)
class Paragraph:
    """Text of one size in mm; `indent` and the room `above` in mm; `ruled` ones have a thin line above them.

    `keep`: not the last thing on a page. `hanging` text stands left of the indent, on the first line.
    """

    text: str
    size: float = 3.0
    bold: bool = False
    indent: float = 0.0
    above: float = 0.0
    ruled: bool = False
    keep: bool = False
    hanging: str = ""
    sample: str | None = None


def broken(text: str, size: float, width: float, bold: bool = False) -> list[str]:
    """The lines of a text that are not wider than a width, broken between words, and within one only if it must be."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if not line or breadth(longer, size, bold) <= width:
            line = longer
        else:
            lines.append(line)
            line = word
        while breadth(line, size, bold) > width and len(line) > 1:
            fits = max(1, next(n for n in range(len(line), 0, -1) if n == 1 or breadth(line[:n], size, bold) <= width))
            lines.append(line[:fits])
            line = line[fits:]
    return [*lines, line] if line else lines


def shortened(text: str, size: float, width: float) -> str:
    """A text that is not wider than a width, with dots for what is left out at its end."""
    if breadth(text, size) <= width:
        return text
    kept = next((n for n in range(len(text), 0, -1) if breadth(f"{text[:n].rstrip()}…", size) <= width), 0)
    return f"{text[:kept].rstrip()}…"


def height_of(paragraph: Paragraph, width: float) -> float:
    """How high a paragraph is in mm, the room above it included."""
    lines = broken(paragraph.text, paragraph.size, width - paragraph.indent, paragraph.bold)
    return paragraph.above + len(lines) * paragraph.size * LEADING


def set_paragraph(paragraph: Paragraph, left: float, top: float, width: float) -> Iterator[Mark]:
    """The marks of a paragraph below `top`."""
    if paragraph.ruled:
        yield Line((left, top - paragraph.above / 2), (left + width, top - paragraph.above / 2), "thin", "note")
    y = top - paragraph.above
    if paragraph.hanging:
        yield Words(paragraph.hanging, (left, y - paragraph.size), paragraph.size, bold=True)
    if paragraph.sample:
        middle = y - paragraph.size * 0.7
        yield Line((left, middle), (left + paragraph.indent - 4, middle), paragraph.sample, "note")
    for line in broken(paragraph.text, paragraph.size, width - paragraph.indent, paragraph.bold):
        yield Words(line, (left + paragraph.indent, y - paragraph.size), paragraph.size, bold=paragraph.bold)
        y -= paragraph.size * LEADING


def column(paragraphs: Sequence[Paragraph], box: Box) -> tuple[Scene, float, tuple[Paragraph, ...]]:
    """What fits into a box from its top: the marks, how low they reach, and the paragraphs that are left."""
    marks: list[Mark] = []
    top = box.top
    for number, paragraph in enumerate(paragraphs):
        needed = height_of(paragraph, box.width)
        after = paragraphs[number + 1] if paragraph.keep and number + 1 < len(paragraphs) else None
        together = needed + (height_of(after, box.width) if after else 0.0)
        if top - together < box.low and marks:
            return Scene(tuple(marks)), top, tuple(paragraphs[number:])
        marks += set_paragraph(paragraph, box.left, top, box.width)
        top -= needed
    return Scene(tuple(marks)), top, ()
