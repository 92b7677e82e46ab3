"""How sheets are wanted, and which pieces are printed, which given as measures, and of which only the corners."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from grading.drawing.box import around
from grading.drawing.flatten import path_points
from grading.drawing.papers import Paper, paper
from grading.errors import Fault, RequestFaults
from grading.sheets.corners import is_rectangle, is_rounded, shared_corners
from grading.sheets.template import Template

MEASURES = ("none", "rectangles")
CORNERS = ("none", "large")
SHOWN = 40


@dataclass(frozen=True)
class SheetSettings:
    """How sheets are wanted: on which paper, of which pieces (all if empty).

    With `rectangles` those with square corners are given as measures; with `large` corners, rectangles that are larger
    than a page are given as measures too, with a template for what is round.
    """

    paper: Paper
    pieces: tuple[str, ...] = ()
    measures: str = "none"
    corners: str = "none"


@dataclass(frozen=True)
class Chosen:
    """What is printed, each piece at all its sizes, and the names of pieces that are given as measures; `rounded` are
    those of them whose corners are printed.
    """

    printed: tuple[tuple[Template, ...], ...]
    measured: tuple[str, ...]
    rounded: tuple[str, ...]


def sheet_settings(given: Mapping[str, Any], known: Sequence[str]) -> SheetSettings:
    """Settings from `paper`, `pieces` (names), `measures` and `corners`; `known` are the pieces that there are.

    Raises RequestFaults with every fault.
    """
    faults: list[Fault] = []
    chosen = paper("A4")
    try:
        chosen = paper(str(given.get("paper") or "A4"))
    except RequestFaults as refused:
        faults += refused.faults
    pieces = tuple(given.get("pieces") or ())
    for piece in pieces:
        if piece not in known:
            faults.append(
                Fault("pieces", f"{str(piece)[:SHOWN]!r} is no piece of this size", f"choose from {', '.join(known)}")
            )
    for name, values in (("measures", MEASURES), ("corners", CORNERS)):
        if given.get(name) not in (None, *values):
            faults.append(
                Fault(name, f"{str(given[name])[:SHOWN]!r} cannot be chosen here", f"write {' or '.join(values)}")
            )
    if faults:
        raise RequestFaults(faults)
    return SheetSettings(chosen, pieces, given.get("measures") or "none", given.get("corners") or "none")


def choose(sizes: Sequence[Sequence[Template]], settings: SheetSettings) -> Chosen:
    """Templates of one or more sizes, piece by piece, as the settings want them."""
    by_piece: dict[str, list[Template]] = {}
    for templates in sizes:
        for each in templates:
            if not settings.pieces or each.piece in settings.pieces:
                by_piece.setdefault(each.piece, []).append(each)
    printed: list[tuple[Template, ...]] = []
    measured: list[str] = []
    rounded: list[str] = []
    for piece, each_size in by_piece.items():
        large = settings.corners == "large" and any(_is_large(each, settings.paper) for each in each_size)
        if all(is_rectangle(each) for each in each_size) and (large or settings.measures == "rectangles"):
            measured.append(piece)
        elif large and all(is_rounded(each) for each in each_size):
            measured.append(piece)
            rounded.append(piece)
        else:
            printed.append(tuple(each_size))
    corners = shared_corners([by_piece[piece] for piece in rounded])
    return Chosen((*printed, *corners), tuple(measured), tuple(rounded))


def _is_large(template: Template, on: Paper) -> bool:
    box = around(path_points(template.cut))
    short, long = sorted((box.width, box.height))
    narrow, wide = sorted(on.frame)
    return short > narrow or long > wide
