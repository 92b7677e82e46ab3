"""Cut lines of curves and flats, judged by shapely: distances, offsets, boxes; and what is printed of them."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import mpmath
import pytest

from grading.cut import DrawnPiece
from grading.cut.flats import sine_and_cosine
from grading.pipeline import grade_document, grade_size, read_document
from tests.drawing import cut_polygon, drawn, stitched_polygon
from tests.patterns import changed, sheet

Json = dict[str, Any]
CURVED: dict[str, Json] = {
    "lens": {"start": [0, 0], "edges": [
        {"name": "over", "to": [160, 0], "arc": "right", "rise": 40},
        {"name": "under", "to": [0, 0], "arc": "right", "rise": 20}]},
    "slanting": {"start": [0, 0], "edges": [
        {"name": "over", "to": [120, 50], "arc": "right", "rise": 12},
        {"name": "side", "to": [120, -60]}, {"name": "under", "to": [0, 0], "arc": "left", "rise": 15}]},
    "egg": {"start": [0, 0], "edges": [
        {"name": "a", "to": [60, 90], "ellipse": "right"}, {"name": "b", "to": [120, 0], "ellipse": "right"},
        {"name": "c", "to": [60, -50], "ellipse": "right"}, {"name": "d", "to": [0, 0], "ellipse": "right"}]},
    "flap": {"start": [0, 0], "edges": [
        {"name": "top", "to": [160, 0]},
        {"name": "right", "to": [80, -110], "cubic": [[160, -60], [130, -110]]},
        {"name": "left", "to": [0, 0], "cubic": [[30, -110], [0, -60]]}]},
    "wave": {"start": [0, 0], "edges": [
        {"name": "top", "to": [160, 0], "cubic": [[50, -30], [110, 0]]}, {"name": "right", "to": [160, -70]},
        {"name": "hollow", "to": [0, -70], "cubic": [[120, -30], [40, -30]]}, {"name": "left", "to": [0, 0]}]},
    "scooped": {"start": [0, 0], "edges": [
        {"name": "top", "to": [120, 0]}, {"name": "scoop", "to": [160, -60], "ellipse": "left"},
        {"name": "right", "to": [160, -120]}, {"name": "bottom", "to": [0, -120]}, {"name": "left", "to": [0, 0]}]},
    "horned": {"start": [0, 0], "edges": [
        {"name": "one", "to": [80, -40], "cubic": [[40, 0], [70, -10]]},
        {"name": "other", "to": [160, 0], "cubic": [[90, -10], [120, 0]]},
        {"name": "right", "to": [160, -120]}, {"name": "bottom", "to": [0, -120]}, {"name": "left", "to": [0, 0]}]},
}  # fmt: skip
FLATS: dict[str, Json] = {
    "quarter": {"sector": {"outer": 120, "inner": 40, "turn": "1/4"}},
    "pointed": {"sector": {"outer": 120, "inner": 0, "turn": "1/3"}},
    "wide": {"sector": {"outer": 150, "inner": 60, "turn": "3/4"}},
    "cone": {"cone": {"bottom": 140, "top": 110, "height": 260, "share": "1/2"}},
    "hat": {"cone": {"bottom": 100, "top": 0, "height": 120}},
}


def one(outline: Json, **piece: Any) -> DrawnPiece:
    return drawn(sheet(outline, **piece))["sheet"]


def allowances(outline: Json, size: int) -> Json:
    names = [edge["name"] for edge in outline.get("edges", ())] or ["outer", "right", "left"]
    return {name: {"allowance": size} for name in names}


@pytest.mark.parametrize("name", [*CURVED, *FLATS])
def test_the_cut_line_keeps_its_distance_from_the_stitching_line(name: str) -> None:
    piece = one({**CURVED, **FLATS}[name])
    stitched, cut = stitched_polygon(piece), cut_polygon(piece)
    assert stitched.is_valid
    assert not stitched.exterior.is_ccw
    assert cut.is_valid
    assert cut.contains(stitched)
    # The chain's chords come a little nearer than its points.
    assert stitched.exterior.distance(cut.exterior) == pytest.approx(10, abs=0.1)


@pytest.mark.parametrize("name", ["lens", "egg", "flap", "quarter", "cone", "hat"])
def test_the_cut_line_is_the_offset_of_shapely(name: str) -> None:
    piece = one({**CURVED, **FLATS}[name])
    wanted = stitched_polygon(piece).buffer(10, join_style="mitre", mitre_limit=4)
    # Shapely has chords for arcs, and a straight mitre where an arc meets a line in a corner.
    assert cut_polygon(piece).symmetric_difference(wanted).area < 4e-3 * wanted.area


@pytest.mark.parametrize("name", ["egg", "flap", "wave"])
def test_a_chain_has_33_points_each_moved_along_its_normal(name: str) -> None:
    piece = one(CURVED[name])
    chains = [
        (segment, curve) for segment, (_, curve) in zip(piece.cut_line, piece.curves, strict=True) if curve.is_chain
    ]
    assert chains
    for segment, curve in chains:
        assert segment.centre is None
        assert segment.through is not None
        assert len(segment.through) == 31
        for number, (x, y) in enumerate(segment.through, start=1):
            px, py = curve.point_at(Fraction(number, 32))
            wx, wy = curve.way_at(Fraction(number, 32))
            assert math.hypot(float(x - px), float(y - py)) == pytest.approx(10)
            assert float((x - px) * wx + (y - py) * wy) == pytest.approx(0, abs=1e-6 * math.hypot(wx, wy))
            assert wx * (y - py) - wy * (x - px) > 0  # to the left of the way


def test_points_beyond_a_concave_corner_are_left_out() -> None:
    piece = one(CURVED["horned"])
    one_side, other_side = (next(s for s in piece.cut_line if s.edge == edge).through for edge in ("one", "other"))
    assert one_side is not None
    assert other_side is not None
    assert 0 < len(one_side) == len(other_side) < 31
    assert [160 - x for x, _ in other_side[::-1]] == pytest.approx([float(x) for x, _ in one_side])
    assert cut_polygon(piece).is_valid


@pytest.mark.parametrize("name", [*CURVED, *FLATS])
def test_the_cut_box_holds_the_cut_line_and_is_raised_to_the_ruler(name: str) -> None:
    piece = one({**CURVED, **FLATS}[name])
    left, low, right, high = cut_polygon(piece).bounds
    assert 0 <= float(piece.cut.width) - (right - left) < 1 + 0.02
    assert 0 <= float(piece.cut.height) - (high - low) < 1 + 0.02
    assert piece.cut.width.denominator == piece.cut.height.denominator == 1


@pytest.mark.parametrize("name", FLATS)
def test_the_stitched_box_of_a_flat_is_its_true_box_raised(name: str) -> None:
    piece = one(FLATS[name])
    left, low, right, high = stitched_polygon(piece).bounds
    assert 0 <= float(piece.stitched.width) - (right - left) < 1 + 0.02
    assert 0 <= float(piece.stitched.height) - (high - low) < 1 + 0.02


def test_half_a_ring_is_exactly_as_wide_as_two_radii() -> None:
    """Roots of sines must not raise it by a step."""
    piece = one({"sector": {"outer": 120, "inner": 40, "turn": "1/2"}})
    assert (piece.stitched.width, piece.stitched.height) == (240, 120)
    assert (piece.cut.width, piece.cut.height) == (260, 140)


def test_a_line_that_only_touches_a_moved_circle_meets_it() -> None:
    """An inner radius of 20 less 10, and a side moved by 10: they touch beside the middle."""
    piece = one({"sector": {"outer": 120, "inner": 20, "turn": "1/3"}})
    assert [segment.edge for segment in piece.cut_line] == ["outer", "right", "inner", "left"]
    inner = piece.cut_line[2]
    assert math.hypot(*map(float, inner.start)) == pytest.approx(10)


@pytest.mark.parametrize(
    "angle", [Fraction(1, 10**9), Fraction(1, 3), Fraction(11, 7), Fraction(3), Fraction(314, 100)]
)
def test_sines_and_cosines(angle: Fraction) -> None:
    sine, cosine = sine_and_cosine(angle)
    with mpmath.workdps(60):
        wanted = mpmath.mpf(angle.numerator) / angle.denominator
        for found, true in ((sine, mpmath.sin(wanted)), (cosine, mpmath.cos(wanted))):
            assert abs(mpmath.mpf(found.numerator) / found.denominator - true) < mpmath.mpf(10) ** -40


def test_arcs_that_run_on_into_each_other_meet_without_a_step() -> None:
    """Two arcs of an S over slanting chords, tangent but for what roots leave."""
    outline: Json = {"start": [0, 0], "edges": [
        {"name": "up", "to": [30, 40], "arc": "right", "rise": 5},
        {"name": "on", "to": [60, 80], "arc": "left", "rise": 5},
        {"name": "side", "to": [200, 80]}, {"name": "down", "to": [200, -40]}, {"name": "back", "to": [0, 0]},
    ]}  # fmt: skip
    assert [s.edge for s in one(outline).cut_line] == ["up", "on", "side", "down", "back"]
    stepped = [s.edge for s in one(outline, edges={"up": {"allowance": 20}}).cut_line]
    assert stepped == ["up", "up", "on", "side", "down", "back"]


def printed(outline: Json, **dimensions: float) -> Json:
    document = sheet(outline, dimensions or None)
    piece: Json = grade_document(grade_size(read_document(document), "base"))["pieces"]["sheet"]
    return piece


def test_what_is_printed_of_each_kind_of_curve() -> None:
    lens, egg, flap = (printed(CURVED[name]) for name in ("lens", "egg", "flap"))
    assert lens["edges"]["over"]["segments"] == [
        {"to": ["160 mm", "0 mm"], "centre": ["80 mm", "-60 mm"], "turns": "right"}
    ]
    assert set(lens["cut"][0]) == {"edge", "start", "end", "centre", "turns"}
    assert egg["edges"]["c"]["segments"] == [
        {"to": ["60 mm", "-50 mm"], "centre": ["60 mm", "0 mm"], "turns": "right", "axes": ["60 mm", "50 mm"]}
    ]
    assert len(egg["cut"][0]["through"]) == 31
    assert flap["edges"]["right"]["segments"] == [
        {"to": ["80 mm", "-110 mm"], "by": [["160 mm", "-60 mm"], ["130 mm", "-110 mm"]]}
    ]
    assert "through" in flap["cut"][1]
    assert "through" not in flap["cut"][0]


def test_what_is_printed_of_a_flat() -> None:
    wide = printed(FLATS["wide"])
    assert wide["start"] == ["-106.07 mm", "-106.07 mm"]
    assert wide["edges"]["outer"]["segments"] == [
        {"to": ["106.07 mm", "-106.07 mm"], "centre": ["0 mm", "0 mm"], "turns": "right"}
    ]
    assert wide["edges"]["inner"]["segments"][0]["turns"] == "left"
    assert (wide["width"], wide["height"]) == ("300 mm", "257 mm")
    assert list(printed(FLATS["pointed"])["edges"]) == ["outer", "right", "left"]


def test_a_layer_of_a_flat_may_be_cut_larger_or_set_inside() -> None:
    document = changed(sheet(FLATS["quarter"]), "pieces.sheet.layers.0.oversize", "20 mm")
    row = grade_document(grade_size(read_document(document), "base"))["cut_list"][0]
    assert (row["across"], row["trim"]["across"]) == ("238 mm", "198 mm")
    document = changed(sheet(FLATS["quarter"]), "pieces.sheet.layers.0.inset", "5 mm")
    row = grade_document(grade_size(read_document(document), "base"))["cut_list"][0]
    assert (row["across"], row["finished"]["across"]) == ("160 mm", "170 mm")
