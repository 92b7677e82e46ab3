"""Templates as DXF, read back by ezdxf: layers, units, lengths, sizes that lie on each other."""

from __future__ import annotations

import io

import ezdxf
import pytest
from ezdxf.document import Drawing
from shapely.geometry import LineString, Point

from grading.sheets.sheets import sheets
from tests.grading.sheets.sheet_reading import Place, cut_length, demo, graded, length, number, place

# ASTM D6673, from secondary summaries (1 boundary, 2 turn points, 3 curve points, 4 notches, 7 grain line, 8 internal
# lines) and from memory (6 mirror line, 14 sew line, 15 annotation); the standard was not read.
BOUNDARY, TURN, CURVE, NOTCH, MIRROR, GRAIN, INTERNAL, SEW, TEXT = "1", "2", "3", "4", "6", "7", "8", "14", "15"


def _drawing(name: str, *sizes: str) -> Drawing:
    content = sheets([graded(name, size) for size in sizes or ("base",)], demo(name), form="dxf")
    return ezdxf.read(io.StringIO(content.decode("cp1252")))  # type: ignore[attr-defined]


def _outline(drawing: Drawing, block: str, layer: str = BOUNDARY) -> list[Place]:
    polyline = next(
        each for each in drawing.blocks.get(block) if (each.dxftype(), each.dxf.layer) == ("POLYLINE", layer)
    )
    points = [(vertex.dxf.location.x, vertex.dxf.location.y) for vertex in polyline.vertices]
    return [*points, points[0]] if polyline.is_closed else points


def _count(drawing: Drawing, block: str, layer: str, kind: str) -> int:
    return sum((each.dxftype(), each.dxf.layer) == (kind, layer) for each in drawing.blocks.get(block))


@pytest.mark.parametrize("name", ["ferry_day_pack", "market_tote", "allotment_tool_roll", "curved"])
def test_the_drawing_is_sound_and_in_millimetres(name: str) -> None:
    drawing = _drawing(name)
    assert not drawing.audit().has_errors
    assert drawing.header["$INSUNITS"] == 4
    assert {each.dxf.layer for block in drawing.blocks for each in block} <= {
        *(BOUNDARY, TURN, CURVE, NOTCH, MIRROR, GRAIN, INTERNAL, SEW, TEXT),
        "0",
    }


@pytest.mark.parametrize("name", ["ferry_day_pack", "market_tote", "allotment_tool_roll"])
def test_boundaries_are_as_long_as_the_cut_lines_of_the_grade(name: str) -> None:
    drawing = _drawing(name)
    for piece, printed in graded(name)["pieces"].items():
        outline = _outline(drawing, f"{printed['letter']}_{piece}_base")
        assert length(outline) == pytest.approx(cut_length(printed), abs=0.1)


def test_sew_lines_are_as_long_as_the_edges() -> None:
    printed = graded("ferry_day_pack")["pieces"]["front_panel"]
    sewn = _outline(_drawing("ferry_day_pack"), "A_front_panel_base", SEW)
    assert length(sewn) == pytest.approx(sum(number(edge["length"]) for edge in printed["edges"].values()), abs=0.1)


def test_square_corners_are_turn_points_and_points_of_arcs_curve_points() -> None:
    drawing = _drawing("ferry_day_pack")
    assert _count(drawing, "C_side_base", TURN, "POINT") == 4
    assert _count(drawing, "C_side_base", CURVE, "POINT") == 0
    assert _count(drawing, "A_front_panel_base", TURN, "POINT") == 0
    assert _count(drawing, "A_front_panel_base", CURVE, "POINT") > 8


def test_notches_lie_on_the_boundary_at_their_places() -> None:
    drawing = _drawing("market_tote")
    printed = graded("market_tote")["pieces"]["panel"]
    boundary = LineString(_outline(drawing, "A_panel_base"))
    notches = [
        (each.dxf.location.x, each.dxf.location.y)
        for each in drawing.blocks.get("A_panel_base")
        if (each.dxftype(), each.dxf.layer) == ("POINT", NOTCH)
    ]
    assert len(notches) == len(printed["notches"])
    assert all(boundary.distance(Point(at)) < 0.02 for at in notches)
    # The first edge runs along the top from its start to the right, 10 mm within the cut line.
    x, y = place(printed["start"])
    assert (x + number(printed["notches"]["handle_left"]["at"]), y + 10) in [
        (round(a, 3), round(b, 3)) for a, b in notches
    ]


def test_grain_lines_run_along_the_grain() -> None:
    drawing = _drawing("ferry_day_pack")
    for row in graded("ferry_day_pack")["cut_list"]:
        if row["uses"]:
            line = next(
                each for each in drawing.blocks.get(f"{row['letter']}_{row['piece']}_base") if each.dxf.layer == GRAIN
            )
            across, along = line.dxf.end.x - line.dxf.start.x, line.dxf.end.y - line.dxf.start.y
            assert (across == 0) == (row["grain"] == "along")
            assert (along == 0) == (row["grain"] == "across")


def test_what_is_cut_on_the_fold_is_half_and_has_its_mirror_line() -> None:
    drawing = _drawing("curved")
    grade = graded("curved")
    row = next(row for row in grade["cut_list"] if row["piece"] == "purse_back")
    block = f"{row['letter']}_purse_back_base"
    fold = next(each for each in drawing.blocks.get(block) if each.dxf.layer == MIRROR)
    outline = _outline(drawing, block)
    assert fold.dxf.start.x == pytest.approx(fold.dxf.end.x, abs=0.02)
    assert max(x for x, _ in outline) == pytest.approx(fold.dxf.start.x, abs=0.02)
    folded = abs(fold.dxf.start.y - fold.dxf.end.y)
    assert length(outline) - folded == pytest.approx(cut_length(grade["pieces"]["purse_back"]) / 2, abs=0.1)
    assert max(x for x, _ in outline) - min(x for x, _ in outline) <= number(row["on_fold"]["across"]) + 0.02


def test_sizes_of_a_piece_are_inserted_at_one_point() -> None:
    drawing = _drawing("market_tote", "base", "mini", "large")
    places = {each.dxf.name: each.dxf.insert for each in drawing.modelspace().query("INSERT")}
    assert places["A_panel_base"] == places["A_panel_mini"] == places["A_panel_large"]
    assert places["A_panel_base"] != places["B_pocket_base"]
    assert len(places) == 3 * len(graded("market_tote")["pieces"])


def test_the_same_grade_gives_the_same_bytes() -> None:
    once = sheets([graded("market_tote")], demo("market_tote"), form="dxf")
    assert once == sheets([graded("market_tote")], demo("market_tote"), form="dxf")
