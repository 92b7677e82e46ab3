"""The cut list: a row for each layer of each piece, and for each binding cut from cloth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from grading.verify.cutting.cut_box import measured_cut_box
from grading.verify.document.findings import Finding
from grading.verify.document.pattern import Pattern
from grading.verify.document.pieces import Layer, Piece
from grading.verify.document.seams import Seam
from grading.verify.document.steps import Step
from grading.verify.exact.enclosures import Enclosure
from grading.verify.exact.forms import ZERO, Form
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import put_on_nearest, raise_to
from grading.verify.exact.points import Point
from grading.verify.geometry.shapes import Spot
from grading.verify.unreadable import refuse

# A box that is off a mark of the ruler by less than the 10**-25 mm of the calculation lies on it.
CLOSE = Fraction(1, 10**20)
Size = tuple[Enclosure, Enclosure]


@dataclass(frozen=True)
class Strips:
    """From how many widths of cloth a strip is joined."""

    count: int
    total: Enclosure
    joins: int


@dataclass(frozen=True)
class Row:
    """What to cut; sizes are across and along the grain, as enclosures."""

    letter: str
    piece: str
    layer: str
    material: str
    uses: tuple[str, ...]
    count: int
    mirrored: int
    kind: str
    grain: str
    size: Size
    allowance: str
    trim: Size | None
    finished: Size
    on_fold: Size | None
    strips: Strips | None
    step: int | None


def letter_of(index: int) -> str:
    """Return A for 0, Z for 25, AA for 26."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def cut_list(pattern: Pattern, point: Point, boxes: Mapping[str, Spot]) -> list[Row]:
    """Return the rows in document order; `boxes` are the true cut boxes of template pieces."""
    rows = []
    steps = _first_steps(pattern)
    for index, piece in enumerate(pattern.pieces.values()):
        step = min((steps[use] for use in piece.uses if use in steps), default=None)
        rows += [
            _row(pattern, point, piece, layer, letter_of(index), step, boxes.get(piece.name)) for layer in piece.layers
        ]
    bindings = [finding for finding in pattern.findings.values() if finding.is_cut_from_cloth]
    for index, finding in enumerate(bindings, len(pattern.pieces)):
        rows.append(_binding_row(pattern, point, finding, letter_of(index)))
    return rows


def _row(
    pattern: Pattern, point: Point, piece: Piece, layer: Layer, letter: str, step: int | None, box: Spot | None
) -> Row:
    finished = _turned(piece, *stitched_box(piece, point, pattern.ruler.step))
    cut = _cut_size(pattern, point, piece, box)
    trimmed = cut if layer.inset is None else _enlarged(finished, point, layer.inset, -2)
    parts = (2, 1) if piece.on_fold else (1, 1)
    before = [
        _before_shrinking(side, share, count, pattern.ruler.step)
        for side, share, count in zip(trimmed, layer.shrinks, parts, strict=True)
    ]
    size = _enlarged((before[0], before[1]), point, layer.oversize, 2)
    trim = trimmed if layer.is_trimmed else None
    usable = pattern.head.materials[layer.material].washed_width
    mirrored = sum(piece.uses.values())
    return Row(
        letter,
        piece.name,
        layer.name,
        layer.material,
        tuple(piece.uses),
        layer.count * (len(piece.uses) - mirrored),
        layer.count * mirrored,
        "template" if piece.is_template else "measures",
        piece.grain,
        size,
        "none" if layer.inset is not None else "included",
        trim,
        finished,
        ((size[0][0] / 2, size[0][1] / 2), size[1]) if piece.on_fold else None,
        _strips(pattern, point, size[0], usable, piece.name) if piece.strip else None,
        step,
    )


def stitched_box(piece: Piece, point: Point, step: Fraction) -> Size:
    """Return the width and height of the stitched box; those of a flat are raised to the ruler."""
    flat = piece.outline.flat
    if flat is None:
        return point.enclosure(piece.outline.box.width), point.enclosure(piece.outline.box.height)
    width, height = (_raised(value, step) for value in flat.at(point).box)
    return (width, width), (height, height)


def _turned(piece: Piece, width: Enclosure, height: Enclosure) -> Size:
    return (height, width) if piece.turned else (width, height)


def _cut_size(pattern: Pattern, point: Point, piece: Piece, box: Spot | None) -> Size:
    if not piece.is_template or box is None:
        cut = measured_cut_box(piece)
        return _turned(piece, point.enclosure(cut.width), point.enclosure(cut.height))
    width, height = (_raised(value, pattern.ruler.step) for value in box)
    return _turned(piece, (width, width), (height, height))


def _raised(value: Fraction, step: Fraction) -> Fraction:
    return raise_to(value - CLOSE, step)


def _enlarged(size: Size, point: Point, by: Form, times: int) -> Size:
    low, high = point.enclosure(by.times(Fraction(times)))
    across, along = size
    return (across[0] + low, across[1] + high), (along[0] + low, along[1] + high)


def _before_shrinking(side: Enclosure, share: Fraction, parts: int, step: Fraction) -> Enclosure:
    """Return what a side is cut to before it is taken in; each of its equal parts is put on the ruler from above."""
    if not share:
        return side
    low, high = (end / parts / (1 - share) for end in side)
    part = raise_to(low, step) if low == high else _raised(high, step)
    return part * parts, part * parts


def _strips(pattern: Pattern, point: Point, length: Enclosure, usable: Fraction | None, title: str) -> Strips | None:
    if usable is None or length[1] <= usable:
        return None
    join = 2 * point.near(pattern.allowance)
    if usable <= join:
        refuse("needs strips of a cloth that is not wider than two joins", f"pieces.{title}")
    count = -((join - length[1]) // (usable - join))
    return Strips(count, (length[0] + join * (count - 1), length[1] + join * (count - 1)), count - 1)


def raised_length(finding: Finding, point: Point, step: Fraction) -> Enclosure:
    """Return what is cut of a finding, put on the ruler from above where it has to be."""
    low, high = point.enclosure(finding.cut or ZERO)
    if not finding.raised:
        return low, high
    value = raise_to(low, step) if low == high else raise_to(high - CLOSE, step)
    return value, value


def _binding_row(pattern: Pattern, point: Point, finding: Finding, letter: str) -> Row:
    size = raised_length(finding, point, pattern.ruler.step), point.enclosure(finding.width or ZERO)
    material = finding.material or ""
    usable = pattern.head.materials[material].washed_width
    step = next((i for i, item in enumerate(pattern.steps, 1) if finding.name in (*item.uses, *item.binds)), None)
    strips = _strips(pattern, point, size[0], usable, finding.name)
    return Row(
        letter,
        finding.name,
        "strip",
        material,
        (),
        finding.count,
        0,
        "measures",
        finding.cut_on,
        size,
        "none",
        None,
        size,
        None,
        strips,
        step,
    )


def _first_steps(pattern: Pattern) -> dict[str, int]:
    """The number of the first step that is about each use, from 1."""
    first: dict[str, int] = {}
    for number, step in enumerate(pattern.steps, 1):
        for use in _named_by(pattern, step):
            first.setdefault(use, number)
    return first


def _named_by(pattern: Pattern, step: Step) -> set[str]:
    named = {*step.uses, *(use for use, _ in step.finishes)}
    for title in step.makes:
        named |= _uses_of(pattern.seams[title])
    for title in step.lays:
        named |= {pattern.coverings[title].piece.name, pattern.coverings[title].over.name}
    return named


def _uses_of(seam: Seam) -> set[str]:
    return {entry.use.name for entry in (*seam.join, *seam.to)}


def area_of(row: Row) -> Fraction:
    """Return across × along, by which rows are sorted, to a hundredth of a square millimetre."""
    (low, high), (least, most) = row.size
    return Fraction(put_on_nearest((low + high) * (least + most) / 4, 2), 100)
