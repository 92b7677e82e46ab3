"""What is written on a piece and where: within the piece, beside its lines, and never one text on another."""

from __future__ import annotations

from functools import partial
from itertools import combinations

import pytest
from shapely.geometry import LineString, Polygon, box

from grading.drawing.box import Box
from grading.drawing.extent import mark_box
from grading.drawing.flatten import path_points
from grading.drawing.papers import paper
from grading.drawing.room import Room
from grading.drawing.scene import Line, Polyline, Words
from grading.sheets.piece_scene import Drawn, Nest, draw_piece
from grading.sheets.template import Template
from grading.sheets.templates import template, templates
from grading.sheets.tiles import Grid, tiled
from tests.grading.sheets.sheet_reading import demo, graded, number

NAMES = ["ferry_day_pack", "market_tote", "allotment_tool_roll", "curved"]


def _grid(name: str) -> Grid:
    nests = [Nest("x", (each,), ("base",)) for each in templates(graded(name), demo(name))]
    return tiled([partial(draw_piece, nest) for nest in nests], paper("A4"))


def _piece(name: str, piece: str) -> Template:
    return template(piece, graded(name), demo(name))


def _drawn(name: str, piece: str) -> Drawn:
    return draw_piece(Nest("x", (_piece(name, piece),), ("base",)))


def _shape(shown: Box) -> Polygon:
    return box(shown.left, shown.low, shown.right, shown.top)


@pytest.mark.parametrize("name", NAMES)
def test_no_two_texts_lie_on_each_other(name: str) -> None:
    for page in _grid(name).tiles:
        words = {mark for each in page.pieces for mark in each.scene.marks if isinstance(mark, Words)}
        for one, other in combinations(words, 2):
            assert _shape(mark_box(one)).intersection(_shape(mark_box(other))).area < 0.05, (one.text, other.text)


@pytest.mark.parametrize("name", NAMES)
def test_words_lie_within_their_piece_where_they_have_room(name: str) -> None:
    for each in _grid(name).pieces:
        outline = Polygon(each.outlines[0])
        titles = [mark for mark in each.scene.marks if isinstance(mark, Words) and mark.bold]
        assert titles
        if outline.area > 10_000:
            assert all(outline.contains(_shape(mark_box(mark))) for mark in titles), each.drawn.piece


@pytest.mark.parametrize("name", NAMES)
def test_a_piece_is_never_drawn_into_another(name: str) -> None:
    for one, other in combinations(_grid(name).pieces, 2):
        assert _shape(one.box).intersection(_shape(other.box)).area < 1e-6


def test_notches_stand_square_to_their_edge_on_the_cut_line() -> None:
    strap = _piece("market_tote", "panel")
    cut = LineString([*path_points(strap.cut), strap.cut.start])
    for notch in strap.notches:
        assert cut.distance(LineString([notch.outer, notch.inner])) < 0.02
        assert Polygon(cut.coords).buffer(0.02).contains(LineString([notch.outer, notch.inner]))


def test_a_notch_on_a_curve_lies_along_the_curve() -> None:
    printed = graded("allotment_tool_roll")["pieces"]["pot_base"]
    (notch,) = _piece("allotment_tool_roll", "pot_base").notches
    # Half of the rim from its start at the top: the lowest point of the round bottom.
    radius = number(printed["width"]) / 2
    assert notch.outer == pytest.approx((0, -radius - number(printed["edges"]["rim"]["allowance"])), abs=0.02)


def test_an_arrow_has_one_head_where_the_grain_leads_up() -> None:
    heads = {
        piece: sum(isinstance(mark, Polyline) and mark.filled for mark in _drawn("ferry_day_pack", piece).scene.marks)
        for piece in ("front_panel", "handle")
    }
    assert heads["front_panel"] == 1
    assert _piece("ferry_day_pack", "front_panel").up == (0, 1)


def test_layers_are_told_with_rough_cuts_insets_and_mirrored_uses() -> None:
    facts = _piece("ferry_day_pack", "front_panel").facts
    assert "foam: cut 1, 2 mm inside the stitching line" in facts
    assert any(fact.startswith("main: cut 1, rough 370 mm × 470 mm, trim to the cut line") for fact in facts)
    assert any("cut 1 + 1 mirrored" in fact for fact in _piece("ferry_day_pack", "strap").facts)


def test_half_a_piece_on_the_fold_has_half_its_area() -> None:
    half = _piece("curved", "purse_back")
    assert half.fold is not None
    whole = [
        (float(number(x)), float(number(y)))
        for x, y in (entry["start"] for entry in graded("curved")["pieces"]["purse_back"]["cut"])
    ]
    middle = (max(x for x, _ in whole) + min(x for x, _ in whole)) / 2
    outline = Polygon(path_points(half.cut))
    mirrored = Polygon([(2 * middle - x, y) for x, y in path_points(half.cut)])
    assert outline.intersection(mirrored).area < 1
    assert outline.union(mirrored).geom_type == "Polygon"
    assert any(isinstance(mark, Line) and mark.style == "fold" for mark in _drawn("curved", "purse_back").scene.marks)
    assert "place on the fold" in {getattr(mark, "text", "") for mark in _drawn("curved", "purse_back").scene.marks}


def test_room_is_found_only_where_it_is_free() -> None:
    shape = [(0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (40.0, 40.0), (40.0, 100.0), (0.0, 100.0)]
    room = Room(shape, [[(0.0, 20.0), (100.0, 20.0)]])
    outline, line = Polygon(shape), LineString([(0, 20), (100, 20)])
    for width, height in ((30.0, 15.0), (90.0, 18.0), (35.0, 70.0)):
        corner = room.find(width, height, (50.0, 50.0))
        assert corner is not None
        found = box(corner[0], corner[1], corner[0] + width, corner[1] + height)
        assert outline.buffer(1e-6).contains(found)
        assert not line.crosses(found)
    assert room.find(45.0, 75.0, (50.0, 50.0)) is None
    assert room.find(101.0, 10.0, (50.0, 50.0)) is None
