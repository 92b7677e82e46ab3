"""Cutting layouts on paper: a page for every cloth, or for every sheet of it, to scale; the cloth runs to the right."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from math import ceil
from typing import Any

from grading.drawing.box import Box
from grading.drawing.cut_path import millimetres
from grading.drawing.measure import points
from grading.drawing.papers import FOOT, MARGIN, SHEETS
from grading.drawing.pdf import draw_scene, new_canvas
from grading.drawing.scene import Mark, Scene, Words
from grading.errors import Fault, RequestFaults
from grading.sheets.check_lines import check_lines
from grading.sheets.flow import Paragraph, column
from grading.sheets.laid_scene import Cloth, cloth_scene
from grading.sheets.templates import OWN_SIZE
from grading.sheets.tile_scene import foot_words

Json = Mapping[str, Any]
SCALES = (1.0, 2.0, 2.5, 4.0, 5.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0)
"""By how much a cloth is drawn smaller, the nearest of these that fits (after ISO 5455, with steps between)."""
BELOW = 14.0
"""Room in mm below a cloth for the places where pieces begin, and as much at its sides for words."""
MEASURE_FIRST = "Measure your cloth before cutting. Usable width tested: ____________"
DIRECTIONS = {
    "any": "pieces may lie in any direction",
    "two-way": "two-way: pieces may be turned end for end",
    "one-way": "one-way: all tops lie one way",
}


def layout_sheets(layouts: Json, grade: Json | None = None, paper: str = "A4") -> bytes:
    """The document of layouts as PDF on A4, A3 or letter, turned sideways; the same bytes for the same input.

    With the document of its grade pieces are drawn by their cut lines. Raises RequestFaults for another paper.
    """
    if paper not in SHEETS:
        fault = Fault("paper", f"layouts are not printed on {paper[:40]!r}", f"write {', '.join(SHEETS)}")
        raise RequestFaults([fault])
    height, width = SHEETS[paper]
    size = str(layouts["size"]["name"] or OWN_SIZE)
    title = f"{layouts['pattern']}, {size}: cutting layouts"
    canvas, content = new_canvas(title, (width, height))
    scenes = [
        scene for role, cloth in layouts["cloths"].items() for scene in _pages(role, cloth, grade, (width, height))
    ]
    for number, scene in enumerate(scenes, 1):
        right = width - MARGIN
        foot = foot_words(title, f"page {number} of {len(scenes)}", right)
        canvas.setPageSize((points(width), points(height)))
        draw_scene(canvas, Scene((*scene.marks, *check_lines((MARGIN, 5.0)), *foot)))
        canvas.showPage()
    canvas.save()
    return content.getvalue()


def _pages(role: str, cloth: Json, grade: Json | None, size: tuple[float, float]) -> Iterator[Scene]:
    sheets = int(cloth.get("sheets", 0))
    width = millimetres(cloth["width"])
    length = max(millimetres(cloth["length"]), 1.0) / max(sheets, 1)
    counts = Counter((piece["letter"], piece["layer"]) for piece in cloth["pieces"])
    for sheet in range(max(sheets, 1)):
        frame = Box(MARGIN, FOOT, size[0] - MARGIN, size[1] - MARGIN)
        text = list(_introduction(role, cloth, sheet if sheets else None))
        words, low, _ = column(text, frame)
        room = (frame.width - 2 * BELOW, low - frame.low - 2 * BELOW)
        smaller = max(length / room[0], width / room[1])
        by = next((each for each in SCALES if each >= smaller), float(ceil(smaller)))
        drawn = Cloth(cloth, grade, counts, (frame.left + BELOW, low - BELOW), 1 / by, (width, length), sheet)
        scale = Words(f"drawn 1 : {by:g}", (frame.right, frame.top - 5), 3.0, "end")
        marks: tuple[Mark, ...] = (*words.marks, scale, *cloth_scene(drawn).marks)
        yield Scene(marks)


def _introduction(role: str, cloth: Json, sheet: int | None) -> Iterator[Paragraph]:
    says = f": {cloth['says']}" if cloth.get("says") else ""
    yield Paragraph(f"{role.replace('_', ' ')}{says}", 5.0, bold=True)
    facts = [f"usable width {cloth['usable_width']}"]
    if cloth["washed_width"] != cloth["usable_width"]:
        facts.append(f"washed {cloth['washed_width']}")
    facts.append(
        "folded along its length, right sides together, the fold above"
        if cloth["style"] == "folded"
        else "single, right side up"
    )
    facts.append(DIRECTIONS[cloth["direction"]])
    repeat = cloth.get("repeat") or {}
    if repeat:
        facts.append("repeat " + ", ".join(f"{repeat[way]} {way}" for way in ("across", "along") if way in repeat))
    if sheet is not None:
        facts.append(f"sheet {sheet + 1} of {cloth['sheets']}")
    yield Paragraph("; ".join(facts), above=1)
    buy = cloth.get("buy", {})
    bought = f"; buy {buy['length']}" if buy.get("length") else ""
    yield Paragraph(f"Laid on {cloth['length']}{bought}; {cloth['above']}. {MEASURE_FIRST}", above=1)
    if cloth.get("cuts"):
        yield Paragraph(f"Cuts in their order: {'; '.join(cloth['cuts'])}.", 2.6, above=1)
