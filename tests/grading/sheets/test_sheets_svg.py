"""Templates as SVG, read by an XML parser: true scale, groups, layers, and nothing of a user that is not escaped."""

from __future__ import annotations

import io
import re
from itertools import pairwise
from math import acos, hypot
from xml.etree import ElementTree

import ezdxf
import pytest

from grading.sheets.sheets import sheets
from tests.grading.sheets.sheet_reading import cut_length, demo, graded

SVG = "{http://www.w3.org/2000/svg}"
KNOWN = {"svg", "title", "g", "path", "text"}
LAYERS = {"cut", "stitch", "notch", "grain", "fold", "inner", "text"}


def _drawing(name: str) -> ElementTree.Element:
    return ElementTree.fromstring(sheets([graded(name)], demo(name), form="svg"))


def _length(data: str) -> float:
    """The length of a path of M, L, A, C and Z."""
    total = 0.0
    start = at = (0.0, 0.0)
    for letter, numbers in re.findall(r"([MLACZ])([^MLACZ]*)", data):
        values = [float(each) for each in numbers.split()]
        end = (values[-2], values[-1]) if values else start
        if letter == "M":
            start = end
        elif letter == "A":
            chord, radius = hypot(end[0] - at[0], end[1] - at[1]), values[0]
            turn = acos(max(-1.0, 1 - chord**2 / (2 * radius**2)))
            total += radius * (turn if not values[3] else 2 * 3.141592653589793 - turn)
        elif letter == "C":
            total += _cubic(at, values)
        else:
            total += hypot(end[0] - at[0], end[1] - at[1])
        at = end
    return total


def _cubic(at: tuple[float, float], values: list[float]) -> float:
    knots = [at, *zip(values[::2], values[1::2], strict=True)]
    points = []
    for step in range(201):
        t = step / 200
        weights = ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t * t, t**3)
        points.append([sum(w * knot[axis] for w, knot in zip(weights, knots, strict=True)) for axis in (0, 1)])
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))


@pytest.mark.parametrize("name", ["ferry_day_pack", "market_tote", "allotment_tool_roll", "curved"])
def test_a_unit_of_the_drawing_is_a_millimetre(name: str) -> None:
    root = _drawing(name)
    _, _, wide, high = root.attrib["viewBox"].split()
    assert (root.attrib["width"], root.attrib["height"]) == (f"{wide}mm", f"{high}mm")
    assert root.attrib["lang"] == "en"


@pytest.mark.parametrize("name", ["ferry_day_pack", "market_tote", "allotment_tool_roll", "curved"])
def test_only_known_elements_and_layers_are_used(name: str) -> None:
    root = _drawing(name)
    assert {each.tag.removeprefix(SVG) for each in root.iter()} == KNOWN
    assert {each.attrib["class"] for each in root.iter() if each.tag in (f"{SVG}path", f"{SVG}text")} <= LAYERS


@pytest.mark.parametrize("name", ["ferry_day_pack", "market_tote", "allotment_tool_roll"])
def test_every_cut_line_is_as_long_as_the_grade_says(name: str) -> None:
    grade = graded(name)
    groups = {group.findtext(f"{SVG}title"): group for group in _drawing(name).findall(f"{SVG}g")}
    assert len(groups) == len(grade["pieces"])
    for piece, printed in grade["pieces"].items():
        group = groups[f"{printed['letter']} {piece.replace('_', ' ')}"]
        cut = [path.attrib["d"] for path in group.iter(f"{SVG}path") if path.attrib["class"] == "cut"]
        assert [_length(data) for data in cut] == [pytest.approx(cut_length(printed), abs=0.1)]


def test_names_of_users_are_words_and_never_markup() -> None:
    hostile = '</text><script>alert("x")</script>&\x00'
    content = sheets([{**graded("market_tote"), "pattern": hostile}], demo("market_tote"), form="svg")
    root = ElementTree.fromstring(content)
    assert b"<script" not in content
    assert any("<script>" in (each.text or "") for each in root.iter(f"{SVG}text"))


def test_a_hostile_name_is_only_words_in_pdf_and_dxf_too() -> None:
    hostile = {**graded("market_tote"), "pattern": "a\ud800 (b) \\ %c\n0\nLINE\u202e界"}
    assert sheets([hostile], demo("market_tote"), {"pieces": ["tab"]}).startswith(b"%PDF")
    content = sheets([hostile], demo("market_tote"), {"pieces": ["tab"]}, "dxf")
    drawing = ezdxf.read(io.StringIO(content.decode("cp1252")))  # type: ignore[attr-defined]
    block = drawing.blocks.get("H_tab_base")
    assert {each.dxftype() for each in block} == {"POLYLINE", "POINT", "LINE", "TEXT"}
    assert len(block.query("LINE")) == 1
    # ezdxf writes what its code page has not as \\U+, as DXF before release 2007 has it.
    assert "a  (b) \\ %c 0 LINE \\U+25a1, base" in [each.dxf.text for each in block.query("TEXT")]
