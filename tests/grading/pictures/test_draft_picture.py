"""Drafts drawn to design by: what can be drawn, and where. Shapely and the curves' own equations judge it."""

from __future__ import annotations

import xml.etree.ElementTree as Tree
from math import hypot, isclose, pi
from typing import Any

import pytest
from shapely import LineString, Polygon

from grading.pictures.draft_picture import draft_picture, what_is_lit
from grading.pictures.draft_pieces import DrawnPiece, draw_draft

SVG = "{http://www.w3.org/2000/svg}"


def draft(outline: Any, **more: Any) -> dict[str, Any]:
    """A draft of one piece, with a width of 300 mm and a height of 200 mm."""
    dimensions = {"width": {"base": 300}, "height": {"base": "20 cm"}}
    return {"name": "Trial", "dimensions": dimensions, "pieces": {"panel": {"outline": outline, **more}}}


def drawn(outline: Any, **more: Any) -> DrawnPiece:
    (piece,) = draw_draft(draft(outline, **more)).pieces
    return piece


def outline_of(piece: DrawnPiece) -> Polygon:
    return Polygon([point for points in piece.edges.values() for point in points[:-1]])


def test_a_rectangle_has_its_edges_clockwise_from_the_upper_left() -> None:
    piece = drawn({"rectangle": ["width", "height"]})
    assert piece.edges == {
        "top": ((0, 0), (300, 0)),
        "right": ((300, 0), (300, -200)),
        "bottom": ((300, -200), (0, -200)),
        "left": ((0, -200), (0, 0)),
    }


def test_a_disc_is_round() -> None:
    piece = drawn({"disc": {"radius": "width/2"}})
    assert all(isclose(hypot(*point), 150) for point in piece.edges["rim"])
    assert isclose(outline_of(piece).area, pi * 150**2, rel_tol=0.002)


def test_rounded_corners_take_a_quarter_away() -> None:
    piece = drawn({"rounded_rectangle": {"width": "width", "height": "height", "corners": "50 mm"}})
    # Each corner is a square of 50 mm less a quarter of a circle.
    assert isclose(outline_of(piece).area, 300 * 200 - 4 * (50**2 - pi * 50**2 / 4), rel_tol=0.001)


def test_an_arc_rises_as_far_as_it_says() -> None:
    edges = [
        {"name": "top", "to": ["width", "0"], "arc": "right", "rise": "40 mm"},
        {"name": "right", "to": ["width", "-height"]},
        {"name": "bottom", "to": ["0", "-height"]},
        {"name": "left", "to": ["0", "0"]},
    ]
    piece = drawn({"start": ["0", "0"], "edges": edges})
    assert isclose(max(y for _, y in piece.edges["top"]), 40, abs_tol=0.2)
    # Published: the length of an arc of chord c and rise s is 2 r asin(c / 2r), r = (c²/4 + s²) / 2s.
    assert isclose(LineString(piece.edges["top"]).length, 314.0, abs_tol=0.2)


def test_an_ellipse_keeps_to_its_equation() -> None:
    edges = [
        {"name": "curve", "to": ["width", "-height"], "ellipse": "right"},
        {"name": "bottom", "to": ["0", "-height"]},
        {"name": "left", "to": ["0", "0"]},
    ]
    piece = drawn({"start": ["0", "0"], "edges": edges})
    for x, y in piece.edges["curve"]:
        assert isclose((x / 300) ** 2 + ((y + 200) / 200) ** 2, 1, rel_tol=1e-9)


def test_a_sector_is_a_part_of_a_ring() -> None:
    piece = drawn({"sector": {"outer": "width", "inner": "100 mm", "turn": "1/4"}})
    assert isclose(outline_of(piece).area, pi * (300**2 - 100**2) / 4, rel_tol=0.002)


def test_marks_lie_on_their_edges() -> None:
    notches = {"centre": {"edge": "top", "at": "middle"}, "low": {"edge": "right", "at": "height/4"}}
    piece = drawn({"rectangle": ["width", "height"]}, notches=notches)
    assert piece.notches == {"centre": (150, 0), "low": (300, -50)}


def test_a_piece_that_cannot_be_drawn_leaves_the_others_alone() -> None:
    document = draft({"rectangle": ["width", "height"]})
    document["pieces"]["flap"] = {"outline": {"rectangle": ["width", "heigth"]}}
    document["pieces"]["odd"] = 3
    document["dimensions"]["depth"] = {"base": "deep"}
    document["seams"] = "none"
    found = draw_draft(document)
    assert [piece.name for piece in found.pieces] == ["panel"]
    assert found.undrawn == ("flap", "odd")
    assert "not drawn yet: flap, odd" in draft_picture(document)


def test_a_mark_that_cannot_be_placed_leaves_its_outline() -> None:
    piece = drawn({"rectangle": ["width", "height"]}, notches={"centre": {"edge": "topp", "at": "middle"}})
    assert list(piece.edges) == ["top", "right", "bottom", "left"]
    assert not piece.notches


@pytest.mark.parametrize(
    "document",
    [{}, {"pieces": []}, {"pieces": {"a": None}}, {"pieces": {"": {}}, "dimensions": []}, {"unit": 5, "pieces": {}}],
)
def test_no_document_is_too_odd_to_be_drawn(document: dict[str, Any]) -> None:
    Tree.fromstring(draft_picture(document, "seam:side"))


def test_both_sides_of_a_seam_are_lit_and_differ_without_colour(demo_documents: dict[str, dict[str, Any]]) -> None:
    picture = Tree.fromstring(draft_picture(demo_documents["market_tote"], "seam:box"))
    lit = {
        line.get("data-name"): line.get("stroke-dasharray")
        for line in picture.iter(f"{SVG}polyline")
        if line.get("class") == "lit"
    }
    assert {name for name, dashes in lit.items() if dashes is None} == {"panel.right_up", "panel.left_up"}
    assert {name for name, dashes in lit.items() if dashes} == {"panel.right_in", "panel.left_in"}


def test_a_covering_lights_the_edges_that_are_caught(demo_documents: dict[str, dict[str, Any]]) -> None:
    lit = what_is_lit(demo_documents["market_tote"], "covering:pocket_on_front")
    assert (lit.one, lit.other) == ({"pocket.left", "pocket.right"}, {"panel.left", "panel.right"})


def test_every_piece_of_the_demo_is_drawn_to_one_scale(demo_documents: dict[str, dict[str, Any]]) -> None:
    for document in demo_documents.values():
        found = draw_draft(document)
        assert [piece.name for piece in found.pieces] == list(document["pieces"])
        assert not found.undrawn


def test_words_of_a_document_are_never_markup() -> None:
    document = draft({"rectangle": ["width", "height"]})
    document["name"] = "<script>alert(1)</script>"
    document["pieces"]["</svg><script>"] = {"outline": {}}
    picture = draft_picture(document, "edge:<b>")
    assert "<script" not in picture
    Tree.fromstring(picture)
