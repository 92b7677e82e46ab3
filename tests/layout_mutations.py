"""Wrong layouts, made on purpose: each place of a piece moved by one step of the grid, and each number to buy.

What a moved piece breaks is found by an evaluation of its own: overlaps and edges by exact boxes (of nested pairs by
their cut lines), places on the print, at the fold and in rotary strips by what the document says. A piece that is moved
and breaks none of these may be blamed for printed numbers only (a length, an offcut).
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from grading import verify
from grading.exact import Ruler, read_length, read_ruler
from grading.pipeline import grade_document, grade_size, read_document
from grading.verify.cloth.layout_settings import read_layout_settings
from grading.verify.cloth.layouts import LayoutClaims
from grading.verify.printing.graded import Graded, read_graded
from grading.workroom import layouts_document, layouts_of
from tests.laid_lines import are_a_gap_apart, laid_line
from tests.mutations import SEED, changed_number

Json = dict[str, Any]
PLACED = frozenset({"inside", "apart", "motif", "fold", "border", "strips"})
# Lengths of which one may well be another: how an offcut is told, and what is for people.
LOOSE = frozenset({"offcuts", "widths", "fat_quarters", "least", "says", "pieces", "strips", "cuts"})


@dataclass(frozen=True)
class LaidOut:
    """One size of a pattern, and how it is laid."""

    document: Json
    grade: Json
    layouts: Json

    @property
    def ruler(self) -> Ruler:
        """How lengths are printed."""
        return read_ruler(self.grade["ruler"])

    @cached_property
    def graded(self) -> Graded:
        """The pattern at the size of the grade, as the verifier reads it: once for all mutants."""
        return read_graded(self.document, self.grade)


@dataclass(frozen=True)
class LayoutMutant:
    """Layouts that were made wrong: in what, and which kinds of claims about places that breaks."""

    about: str
    layouts: Json
    breaks: frozenset[str]


def laid_out(document: Json, size: str, **settings: Any) -> LaidOut:
    """Grade a named size of a pattern and lay it out quickly."""
    grade = grade_size(read_document(document), size=size)
    layouts = layouts_of(grade, {"effort": "quick", "widths": [], **settings})
    return LaidOut(document, grade_document(grade), layouts_document(layouts))


def moved_pieces(made: LaidOut, sample: int | None = None, seed: int = SEED) -> Iterator[LayoutMutant]:
    """Each x and y of each piece moved by a step of the grid, either way; or a sample of them."""
    moves = [
        (role, index, key, by)
        for role, layout in made.layouts["cloths"].items()
        for index in range(len(layout["pieces"]))
        for key in ("x", "y")
        for by in (-1, 1)
    ]
    if sample is not None:
        moves = random.Random(seed).sample(moves, min(sample, len(moves)))
    for role, index, key, by in moves:
        layout = made.layouts["cloths"][role]
        step = by * read_length(layout["grid"])
        piece = layout["pieces"][index]
        moved = {**piece, key: made.ruler.text(read_length(piece[key]) + step)}
        pieces = [*layout["pieces"][:index], moved, *layout["pieces"][index + 1 :]]
        cloths = {**made.layouts["cloths"], role: {**layout, "pieces": pieces}}
        layouts = {**made.layouts, "cloths": cloths}
        breaks = broken_places(made, role, {**layout, "pieces": pieces}, index, key)
        yield LayoutMutant(f"{role} {piece['letter']} {piece['copy']} {key} by {step}", layouts, breaks)


def broken_places(made: LaidOut, role: str, layout: Json, index: int, key: str) -> frozenset[str]:
    """Which kinds of claims about places one moved piece breaks, in a layout that was sound before."""
    settings, piece = made.layouts["settings"], layout["pieces"][index]
    gap, width = read_length(settings["gap"]), read_length(layout["width"])
    left = Fraction(0) if layout["style"] == "folded" else read_length(settings["edge"])
    end = _sheet_along(made.document, role, layout)
    here = _box(piece)
    found = set()
    if here[0] < left or here[1] > left + width or here[2] < 0 or (end is not None and here[3] > end):
        found.add("inside")
    others = [item for place, item in enumerate(layout["pieces"]) if place != index]
    pairs = [item for item in others if "nested" in item and item["nested"] == piece.get("nested")]
    beside = [item for item in others if item.get("sheet") == piece.get("sheet") and item not in pairs]
    lines = [laid_line(made.document, made.grade, item) for item in (piece, *pairs) if pairs]
    if any(_near(here, _box(item), gap) for item in beside) or not all(
        are_a_gap_apart(lines[0], line, gap) for line in lines[1:]
    ):
        found.add("apart")
    if key in held_ways(made.document, role, layout, piece):
        found.add("motif")
    if piece.get("on_fold") and key == "x":
        found.add("fold")
    if layout["style"] == "rotary" and not _is_in_its_column(layout, index, gap):
        found.add("strips")
    return frozenset(found)


def _box(piece: Mapping[str, str]) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    """Left, right, start and end of a piece as laid."""
    x, y, across, along = (read_length(piece[key]) for key in ("x", "y", "across", "along"))
    return x, x + across, y, y + along


def _near(first: Sequence[Fraction], second: Sequence[Fraction], gap: Fraction) -> bool:
    """Whether two boxes are apart by less than the gap both across and along."""
    return all(first[start] - second[start + 1] < gap and second[start] - first[start + 1] < gap for start in (0, 2))


def _sheet_along(document: Json, role: str, layout: Json) -> Fraction | None:
    """How long a sheet is, put down to the grid; the demo patterns do not wash theirs."""
    sheet = document["materials"][role].get("sheet")
    if sheet is None:
        return None
    grid = read_length(layout["grid"])
    return read_length(sheet[1]) // grid * grid


def held_ways(document: Json, role: str, layout: Json, piece: Json) -> set[str]:
    """In which ways (x, y) the print holds a piece: with a motif, or matched to another."""
    repeat = layout.get("repeat", {})
    parts = document["pieces"].get(piece["piece"])
    if parts is None or not any(layer["material"] == role for layer in parts["layers"]):
        return set()
    uses = {use if isinstance(use, str) else use["name"] for use in parts.get("uses", [piece["piece"]])}
    matched = {
        use
        for covering in document.get("coverings", {}).values()
        if covering.get("match")
        for use in (covering["piece"], covering["over"])
    }
    if "motif" not in parts and not uses & matched:
        return set()
    return {way for way, key in (("x", "across"), ("y", "along")) if key in repeat}


def _is_in_its_column(layout: Json, index: int, gap: Fraction) -> bool:
    """Whether a piece lies in its strip and column, with the gap to the others of the column."""
    piece = layout["pieces"][index]
    x, y, across, along = (read_length(piece[key]) for key in ("x", "y", "across", "along"))
    for strip in layout["strips"]:
        for column in strip["columns"]:
            if index not in column["pieces"]:
                continue
            start, deep = read_length(strip["y"]), read_length(strip["along"])
            edge, wide = read_length(column["x"]), read_length(column["across"])
            beside = [layout["pieces"][place] for place in column["pieces"] if place != index]
            return (
                start <= y
                and y + along <= start + deep
                and edge <= x
                and x + across <= edge + wide
                and all(
                    read_length(other["y"]) >= y + along + gap
                    or y >= read_length(other["y"]) + read_length(other["along"]) + gap
                    for other in beside
                )
            )
    return False


def changed_numbers(made: LaidOut) -> Iterator[LayoutMutant]:
    """Each length and count of a layout besides places, up and down by a step of the ruler."""
    for role, layout in made.layouts["cloths"].items():
        for path in _numbers({key: value for key, value in layout.items() if key not in LOOSE}, ("cloths", role)):
            for by in (made.ruler.step, -made.ruler.step):
                about = f"{'.'.join(map(str, path))} by {by}"
                yield LayoutMutant(about, changed_number(made.layouts, (path, 0), by), frozenset({"printed"}))


def _numbers(value: Any, path: tuple[str | int, ...]) -> Iterator[tuple[str | int, ...]]:
    if isinstance(value, Mapping):
        for key, item in value.items():
            yield from _numbers(item, (*path, key))
    elif isinstance(value, bool):
        return
    elif isinstance(value, int) or (isinstance(value, str) and value.endswith((" mm", " in"))):
        yield path


def is_missed(made: LaidOut, mutant: LayoutMutant) -> bool:
    """Whether the verifier takes what is broken, or blames a place that is not."""
    head = made.graded.pattern.head
    try:
        settings = read_layout_settings(mutant.layouts["settings"], head.unit, head.materials)
        claims = [claim for claim in LayoutClaims(made.graded, settings).all(mutant.layouts) if not claim.holds]
    except verify.UnreadableInput:
        return False
    if "printed" in mutant.breaks:
        return not claims
    return mutant.breaks != {claim.kind for claim in claims if claim.kind != "printed"} & PLACED


def count(document: Json, size: str, sample: int | None = None, seed: int = SEED, **settings: Any) -> dict[str, int]:
    """Count the mutants of the layouts of one size and those that the verifier missed; a sample of places, or all."""
    made = laid_out(document, size, **settings)
    totals = {"laid": 0, "laid_missed": 0}
    for mutants in (moved_pieces(made, sample, seed), changed_numbers(made)):
        for mutant in mutants:
            totals["laid"] += 1
            totals["laid_missed"] += is_missed(made, mutant)
    return totals
