"""Pictures of layouts: to scale, complete, and with nothing from a document that is not escaped."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

import pytest

from grading.pictures import layout_picture

Json = dict[str, Any]
SVG = "{http://www.w3.org/2000/svg}"


def laid(letter: str, x: int, y: int, across: int, along: int, **further: Any) -> Json:
    return {
        "letter": letter,
        "piece": f"piece_{letter.lower()}",
        "layer": "main",
        "copy": 1,
        "mirrored": False,
        "x": f"{x} mm",
        "y": f"{y} mm",
        "across": f"{across} mm",
        "along": f"{along} mm",
        "turned": 0,
        "kind": "piece",
        **further,
    }


def layouts(*pieces: Json, says: str = "canvas", **cloth: Any) -> Json:
    main = {
        "says": says,
        "style": "scissors",
        "usable_width": "1000 mm",
        "width": "1000 mm",
        "direction": "two-way",
        "pieces": list(pieces),
        "length": "800 mm",
        "above": "as short as can be",
        "offcuts": [],
        "buy": {"length": "900 mm"},
        **cloth,
    }
    return {"pattern": "A bag", "size": {"name": "base"}, "cloths": {"main": main}}


def drawn(document: Json, grade: Json | None = None) -> ElementTree.Element:
    return ElementTree.fromstring(layout_picture(document, grade))


def words(picture: ElementTree.Element) -> list[str]:
    return [text.text or "" for text in picture.iter(f"{SVG}text")]


def boxes(picture: ElementTree.Element) -> list[tuple[float, ...]]:
    """The rectangles of pieces: those with a wide line."""
    return [
        tuple(float(box.attrib[key]) for key in ("x", "y", "width", "height"))
        for box in picture.iter(f"{SVG}rect")
        if box.attrib.get("stroke-width") == "1.6"
    ]


def test_pieces_are_drawn_to_one_scale_along_and_across() -> None:
    one, other = boxes(drawn(layouts(laid("A", 0, 0, 400, 800), laid("B", 400, 100, 200, 300))))
    scale = one[2] / 800
    assert one[3] == pytest.approx(400 * scale)
    assert other[2:] == pytest.approx((300 * scale, 200 * scale))
    assert other[0] - one[0] == pytest.approx(100 * scale)  # the cloth runs from left to right
    assert other[1] - one[1] == pytest.approx(400 * scale)  # the left selvage is at the top


def test_each_piece_has_its_letter_and_the_cloth_its_facts() -> None:
    found = words(drawn(layouts(laid("A", 0, 0, 400, 800), laid("B", 400, 0, 300, 300))))
    assert {"A", "B", "left selvage", "right selvage", "main: canvas"} <= set(found)
    assert any("usable width 1000 mm" in text and "buy 900 mm" in text for text in found)
    assert any("Measure your cloth before cutting" in text for text in found)


def test_folded_cloth_shows_its_fold() -> None:
    found = words(drawn(layouts(laid("A", 0, 0, 400, 800), style="folded")))
    assert "fold" in found
    assert any("right sides together" in text for text in found)


def test_what_a_document_says_is_no_part_of_the_drawing() -> None:
    says = 'a <b> & "c"</text><script>alert(1)</script>'
    picture = drawn(layouts(laid("A", 0, 0, 400, 800), says=says))
    assert list(picture.iter(f"{SVG}script")) == []
    assert f"main: {says}" in words(picture)


def test_each_sheet_is_drawn_with_its_own_pieces() -> None:
    pieces = (laid("A", 0, 0, 400, 400, sheet=0), laid("B", 0, 0, 400, 400, sheet=1))
    picture = drawn(layouts(*pieces, length="400 mm", sheets=2, buy={"sheets": 2}))
    first, second = boxes(picture)
    assert first[0] == second[0]
    assert second[1] > first[1] + first[3]
    assert {"sheet 1", "sheet 2"} <= set(words(picture))


def test_a_piece_with_a_grade_is_drawn_by_its_cut_line() -> None:
    grade = {
        "pieces": {
            "piece_a": {
                "cut": [
                    {
                        "edge": "rim",
                        "start": ["-200 mm", "0 mm"],
                        "end": ["200 mm", "0 mm"],
                        "centre": ["0 mm", "0 mm"],
                        "turns": "right",
                    },
                    {"edge": "flat", "start": ["200 mm", "0 mm"], "end": ["-200 mm", "0 mm"]},
                ]
            }
        },
        "cut_list": [{"letter": "A", "layer": "main", "trim": None, "allowance": "included", "grain": "along"}],
    }
    document = layouts(laid("A", 100, 50, 400, 200))
    (outline,) = _outlines(drawn(document, grade))
    along, across = [x for x, _ in outline], [y for _, y in outline]
    frame = boxes(drawn(document))[0]
    assert (min(along), max(along)) == pytest.approx((frame[0], frame[0] + frame[2]), abs=0.01)
    assert (min(across), max(across)) == pytest.approx((frame[1], frame[1] + frame[3]), abs=0.01)


def _outlines(picture: ElementTree.Element) -> list[list[tuple[float, float]]]:
    """The outlines of pieces: polygons with a wide line."""
    return [
        [tuple(map(float, point.split(","))) for point in shape.attrib["points"].split()]  # type: ignore[misc]
        for shape in picture.iter(f"{SVG}polygon")
        if shape.attrib.get("stroke-width") == "1.6"
    ]


def test_a_cloth_that_is_not_there_is_no_picture() -> None:
    with pytest.raises(KeyError):
        layout_picture(layouts(laid("A", 0, 0, 400, 800)), material="lining")
