"""Templates as DXF, release 2000 in mm: a block for each piece at each size, its marks on numbered layers.

Layer numbers are those of ASTM D6673, from memory and from secondary summaries; the standard itself was not read:
1 boundary (the cut line), 2 turn points, 3 curve points, 4 notches, 6 mirror line (the fold), 7 grain line, 8 internal
lines, 14 sew line, 15 annotation. Curves are polylines whose points lie on them. ezdxf does the writing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from io import StringIO
from math import atan2, degrees

from ezdxf import (  # type: ignore[attr-defined]  # known by its documentation, not by its types
    options,
    units,
)
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from ezdxf.layouts.blocklayout import BlockLayout

from grading.drawing.box import Box, around
from grading.drawing.cut_path import Place
from grading.drawing.flatten import path_points
from grading.drawing.fonts import writable
from grading.drawing.scene import Path
from grading.sheets.piece_scene import Nest
from grading.sheets.template import DIRECTIONS, Template

RELEASE = "R2000"
LAYERS = {
    "1": "boundary",
    "2": "turn points",
    "3": "curve points",
    "4": "notches",
    "6": "mirror line",
    "7": "grain line",
    "8": "internal lines",
    "14": "sew lines",
    "15": "annotation",
}
BOUNDARY, TURN, CURVE, NOTCH, MIRROR, GRAIN, INTERNAL, SEW, TEXT = LAYERS
TURNING = 15.0
"""From how many degrees on a corner of a boundary is a turn point."""
ACROSS = 1500.0
"""How far blocks are laid to the right."""
GAP = 20.0
GRAIN_SHARE = 0.6
HEIGHT = 4.0
"""The height of text in mm."""


def dxf_drawing(nests: Sequence[Nest]) -> bytes:
    """The drawing: blocks named `LETTER_piece_size`, all sizes of a piece at one point, so that they are nested."""
    with _same_bytes():
        drawing = new(RELEASE, units=units.MM)
        for name, says in LAYERS.items():
            drawing.layers.add(name).description = says
        for nest, place in zip(nests, _places(nests), strict=True):
            for template in nest.sizes:
                block = drawing.blocks.new(_block_name(template))
                _piece(block, template, nest.pattern)
                drawing.modelspace().add_blockref(block.name, place)
        return _written(drawing)


@contextmanager
def _same_bytes() -> Iterator[None]:
    """Leaves times and random numbers out of what is written."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _written(drawing: Drawing) -> bytes:
    text = StringIO()
    drawing.write(text)
    return bytes(drawing.encode(text.getvalue()))


def _block_name(template: Template) -> str:
    size = "".join(each if each.isalnum() and each.isascii() else "_" for each in template.size)
    return f"{template.letter}_{template.piece}_{size}"


def _places(nests: Sequence[Nest]) -> Iterator[Place]:
    """Where the blocks of each piece go: in rows, one below the other."""
    left, top, deepest = 0.0, 0.0, 0.0
    for nest in nests:
        box = _box(nest)
        if left and left + box.width > ACROSS:
            left, top, deepest = 0.0, top - deepest - GAP, 0.0
        yield left - box.left, top - box.top
        left += box.width + GAP
        deepest = max(deepest, box.height)


def _box(nest: Nest) -> Box:
    return around(point for template in nest.sizes for point in path_points(template.cut))


def _piece(block: BlockLayout, template: Template, pattern: str) -> None:
    outline = path_points(template.cut)
    block.add_polyline2d(outline, close=True, dxfattribs={"layer": BOUNDARY})
    for number, point in enumerate(outline):
        turns = _turn(outline[number - 1], point, outline[(number + 1) % len(outline)])
        block.add_point(point, dxfattribs={"layer": TURN if turns >= TURNING else CURVE})
    for path in template.stitching:
        _line(block, path)
    for notch in template.notches:
        block.add_point(notch.outer, dxfattribs={"layer": NOTCH})
        block.add_line(notch.outer, notch.inner, dxfattribs={"layer": NOTCH})
    for inner in template.inner:
        block.add_line(inner.start, inner.end, dxfattribs={"layer": INTERNAL})
    if template.fold is not None:
        block.add_line(*template.fold, dxfattribs={"layer": MIRROR})
    box = around(outline)
    if template.grain is not None:
        block.add_line(*_grain(template, box), dxfattribs={"layer": GRAIN})
    _notes(block, template, pattern, box)


def _line(block: BlockLayout, path: Path) -> None:
    block.add_polyline2d(path_points(path), close=path.closed, dxfattribs={"layer": SEW})


def _grain(template: Template, box: Box) -> tuple[Place, Place]:
    """From tail to head through the middle of the box."""
    way = template.up or DIRECTIONS[template.grain or "along"]
    reach = min(box.width / abs(way[0]) if way[0] else box.height, box.height / abs(way[1]) if way[1] else box.width)
    half = reach * GRAIN_SHARE / 2
    x, y = box.middle
    return (x - way[0] * half, y - way[1] * half), (x + way[0] * half, y + way[1] * half)


def _notes(block: BlockLayout, template: Template, pattern: str, box: Box) -> None:
    lines = (f"{template.letter} {template.name}", f"{pattern}, {template.size}", *template.facts)
    x, y = box.left + HEIGHT * 4, box.top - HEIGHT * 5
    for number, line in enumerate(lines):
        note = block.add_text(writable(line), height=HEIGHT, dxfattribs={"layer": TEXT})
        note.set_placement((x, y - number * HEIGHT * 1.6))


def _turn(before: Place, at: Place, after: Place) -> float:
    """By how many degrees a line turns at a point, 0 to 180."""
    first = degrees(atan2(at[1] - before[1], at[0] - before[0]))
    second = degrees(atan2(after[1] - at[1], after[0] - at[0]))
    return abs((second - first + 180) % 360 - 180)
