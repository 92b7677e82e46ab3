"""A finished bag to scale, from its front and its side, beside a thing that everybody knows.

Drawn from the documents of a pattern and a grade, without the bulk of the cloth: what lies on the front and shows, the
zips between, and the measures, in lines as ISO 128 has them (wide for what bounds a view, narrow for the rest, dashed
for stitching). Where the document does not tell which piece is the front, the box of its `outside` or `inside` stands.
Straps and handles are left out. Floats, to look at; the measures are exact, or told as about.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Literal

import svg

from grading.drawing.strokes import PAPER, line, safe
from grading.pictures.bag_document import Json, SizedBag, shown_length
from grading.pictures.bag_drawing import LOOK, SMALLER, Drawn, front_view, known_thing, side_view
from grading.pictures.bag_measures import GLYPH
from grading.pictures.bag_views import Views, bag_views

Beside = Literal["a4", "card"]
OBJECTS: dict[str, tuple[str, Fraction, Fraction, float]] = {
    "a4": ("sheet of A4", Fraction(210), Fraction(297), 0.0),
    "card": ("bank card", Fraction("85.6"), Fraction("53.98"), 3.18),
}
"""What a bag is drawn beside, across, upwards and the radius of its corners, in mm.

A4: ISO 216. The card: ID-1 of ISO/IEC 7810, 85.60 × 53.98 mm; its corners' radius from memory of that standard.
"""
BREADTH, HIGHEST = 720.0, 560.0
LEFT, HEAD, FOOT, BETWEEN, EDGE = 56.0, 34.0, 66.0, 40.0, 14.0


def bag_picture(
    pattern: Json,
    grade: Json,
    beside: Beside = "a4",
    unit: str | None = None,
    colours: Mapping[str, str] | None = None,
) -> str:
    """An SVG picture of the bag of a grade: its front, its side where the document tells of one, and a known thing.

    `unit` (mm, cm, in) is that of the measures, by default the ruler's; `colours` has for each cloth a colour as in
    `#2a5b8c`, drawn pale. Raises NoBox.
    """
    bag = SizedBag(pattern, grade)
    views = bag_views(bag, unit)
    name, across, upwards, corner = OBJECTS[beside]
    size = _known_size(across, upwards, unit, grade["ruler"])
    columns = [(views.width[0], _breadth(views.width[1]))]
    columns += [(views.side.depth, _breadth(views.depth))] if views.side else []
    columns += [(float(across), max(_breadth(name), _breadth(size) * SMALLER))]
    room = BREADTH - LEFT - EDGE - BETWEEN * (len(columns) - 1)
    scale = min(_scale(columns, room), HIGHEST / max(views.height[0], float(upwards)))
    ground = HEAD + scale * max(views.height[0], float(upwards))
    paper = Drawn(scale, ground, dict(colours or {}))
    breadths = [max(measure * scale, words) for measure, words in columns]
    elements: list[svg.Element] = []
    x = LEFT + (room - sum(breadths)) / 2
    lefts = []
    for (measure, _), breadth in zip(columns, breadths, strict=True):
        lefts.append(x + (breadth - measure * scale) / 2)
        x += breadth + BETWEEN
    elements += front_view(views, paper, lefts[0])
    if views.side is not None:
        elements += side_view(views, views.side, paper, lefts[1])
    elements += known_thing((name, size), (float(across), float(upwards), corner), paper, lefts[-1])
    elements.append(line((LEFT / 2, ground), (BREADTH - EDGE / 2, ground), LOOK.narrow, None))
    return _sheet(elements, ground + FOOT, grade, _told(views, f"{name}, {size}"))


def _breadth(words: str) -> float:
    return len(words) * GLYPH * LOOK.size


def _scale(columns: Sequence[tuple[float, float]], room: float) -> float:
    """The greatest scale at which all columns, each as wide as its measure or its words, have room."""
    low, high = 0.0, room / max(measure for measure, _ in columns)
    for _ in range(40):
        middle = (low + high) / 2
        if sum(max(measure * middle, words) for measure, words in columns) <= room:
            low = middle
        else:
            high = middle
    return low


def _known_size(across: Fraction, upwards: Fraction, unit: str | None, ruler: str) -> str:
    """Both measures of a known thing, with their unit once."""
    wide, high = shown_length(across, unit, ruler), shown_length(upwards, unit, ruler)
    return f"{wide.rpartition(' ')[0]} × {high.removeprefix('about ')}"


def _sheet(elements: Sequence[svg.Element], height: float, grade: Json, told: str) -> str:
    size = grade["size"]["name"] or "a size of its own"
    title = svg.Title(text=safe(f"{grade['pattern']}, {size}: the finished bag"))
    paper = svg.Rect(x=0, y=0, width=BREADTH, height=round(height, 2), fill=PAPER)
    view = svg.ViewBoxSpec(0, 0, BREADTH, round(height, 2))
    return str(svg.SVG(viewBox=view, elements=[title, svg.Desc(text=safe(told)), paper, *elements])) + "\n"


def _told(views: Views, known: str) -> str:
    deep = f"; from the side {views.depth} deep" if views.side else ""
    return f"From the front {views.width[1]} wide and {views.height[1]} high{deep}. To scale, beside a {known}."
