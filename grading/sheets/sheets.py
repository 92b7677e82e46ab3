"""Sheets of one size or of several nested ones: templates as PDF, SVG or DXF."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, Literal

from grading.drawing.cut_path import Place
from grading.drawing.styles import size_style
from grading.exact import read_ruler
from grading.sheets.choosing import Chosen, SheetSettings, choose, sheet_settings
from grading.sheets.cover import Heading
from grading.sheets.dxf_drawing import dxf_drawing
from grading.sheets.piece_scene import Drawn, Nest, draw_piece
from grading.sheets.sheet_list import measures_list
from grading.sheets.sheets_pdf import sheets_pdf
from grading.sheets.svg_drawing import svg_drawing
from grading.sheets.templates import size_name, templates
from grading.sheets.tiles import tiled

Json = Mapping[str, Any]
Form = Literal["pdf", "svg", "dxf"]


def sheets(
    grades: Sequence[Json],
    pattern: Json | None = None,
    settings: Json | None = None,
    form: Form = "pdf",
    remarks: Sequence[str] = (),
) -> bytes:
    """Templates from the documents of one grade, or of several sizes of one pattern, which are nested then.

    `settings`: `paper`, `pieces`, `measures`, `corners`, see `grading.sheets.choosing`; SVG and DXF save no paper, and
    have all pieces whole on one plane. `remarks` stand on the first page. Everything is at true scale, in mm. The same
    input gives the same bytes. Raises RequestFaults.
    """
    known = list(dict.fromkeys(piece for grade in grades for piece in grade["pieces"]))
    chosen_settings = sheet_settings(settings or {}, known)
    sizes = [templates(grade, pattern) for grade in grades]
    if form != "pdf":
        chosen_settings = replace(chosen_settings, measures="none", corners="none")
    chosen = choose(sizes, chosen_settings)
    order = tuple(size_name(grade) for grade in grades)
    nests = [Nest(grades[0]["pattern"], each, order, grades[0]["state"]) for each in chosen.printed]
    if form == "dxf":
        return dxf_drawing(nests)
    if form == "svg":
        return svg_drawing(nests, title_of(grades))
    return _pdf(grades, chosen, nests, chosen_settings, tuple(remarks))


def title_of(grades: Sequence[Json]) -> str:
    """The title of the sheets: pattern and sizes."""
    return f"{grades[0]['pattern']}, {', '.join(size_name(grade) for grade in grades)}"


def _pdf(
    grades: Sequence[Json],
    chosen: Chosen,
    nests: Sequence[Nest],
    settings: SheetSettings,
    remarks: tuple[str, ...],
) -> bytes:
    first = grades[0]
    ruler = read_ruler(first["ruler"])
    order = tuple(size_name(grade) for grade in grades)
    heading = Heading(
        pattern=first["pattern"],
        sizes=order,
        styles=tuple((size_style(number), name) for number, name in enumerate(order)),
        ruler=first["ruler"],
        system="imperial" if ruler.in_inches else "metric",
        state=first["state"],
        remarks=remarks,
    )
    grid = tiled([partial(_drawn, nest) for nest in nests], settings.paper)
    measures = list(measures_list(grades, chosen, settings.pieces))
    return sheets_pdf(heading, grid, [nest.sizes[0] for nest in nests], measures)


def _drawn(nest: Nest, quarters: int, avoid: Sequence[Sequence[Place]]) -> Drawn:
    return draw_piece(nest, quarters, avoid)
