"""Flats of cones and sectors of rings, checked against published layouts and shapely's polygons of many points."""

from __future__ import annotations

from fractions import Fraction
from math import pi, sqrt
from typing import Any

import pytest

from grading.verify import UnreadableInput, judge_measured
from grading.verify.cutting.cut_lines import cut_line, true_box
from grading.verify.geometry.flats import FlatSize
from grading.verify.making.chains import chain_claims
from grading.verify.making.closures import closed_claims
from grading.verify.making.fates import fate_claims
from grading.verify.relations.measures import listed_measures
from grading.verify.relations.relation_list import all_relations
from tests.grading.verify import drafts
from tests.grading.verify.geometry.curved_shapes import FLATS, polygon, polygon_of_cut, read, shape

RAW = {"fate": "raw"}
DIMENSIONS = {"w": {"base": 120}, "h": {"base": 80}, "r": {"base": 20}}


def flat(outline: dict[str, Any], **sizes: Any) -> FlatSize:
    found, point = read(outline, **sizes)
    assert found.flat is not None
    return found.flat.at(point)


def pattern(outline: dict[str, Any], **parts: Any) -> Any:
    (kind,) = outline
    edges = dict.fromkeys(read(outline)[0].edges, RAW)
    piece = {"outline": outline, "edges": edges, "layers": [{"material": "main"}], **parts}
    return drafts.drawn(dimensions=DIMENSIONS, pieces={"it": piece}, name=kind)


def test_a_cone_with_a_square_tip_is_laid_out_over_254_6_degrees() -> None:
    # anvilfire.com/21centbs/math/cones1.htm: "90-deg apex: layout 254.6 deg = 360 sin 45".
    found = flat({"cone": {"bottom": "h", "top": 0, "height": "h"}})
    assert round(float(found.half_angle) * 2 * 180 / pi, 1) == 254.6
    assert (float(found.outer), float(found.inner)) == (pytest.approx(80 * sqrt(2)), pytest.approx(0))


def test_a_truncated_cone_is_laid_out_as_doctor_math_says() -> None:
    # mathforum.org/library/drmath/view/65796.html: S = R s/(R - r), theta = 360 (R - r)/s, s the slope.
    found = flat({"cone": {"bottom": "w", "top": "r", "height": "h"}})
    slope = sqrt(100**2 + 80**2)
    assert float(found.outer) == pytest.approx(120 * slope / 100)
    assert float(found.outer - found.inner) == pytest.approx(slope)
    assert float(found.half_angle) * 2 * 180 / pi == pytest.approx(360 * 100 / slope)


@pytest.mark.parametrize("name", FLATS)
def test_edges_of_flats_are_as_long_as_the_reference_says(name: str) -> None:
    outline, point = read(FLATS[name])
    lengths = {edge: float(point.near(item.length)) for edge, item in outline.edges.items()}
    slope = {"cone": sqrt(100**2 + 80**2), "hat": sqrt(2) * 80}
    wanted = {
        "sector": {"outer": pi / 2 * 120, "right": 100, "inner": pi / 2 * 20, "left": 100},
        "wide": {"outer": 1.5 * pi * 120, "right": 100, "inner": 1.5 * pi * 20, "left": 100},
        "fan": {"outer": 0.8 * pi * 120, "right": 120, "left": 120},
        "cone": {"outer": pi * 120, "right": slope["cone"], "inner": pi * 20, "left": slope["cone"]},
        "hat": {"outer": 2 * pi * 80, "right": slope["hat"], "left": slope["hat"]},
    }[name]
    assert lengths == pytest.approx(wanted)
    assert list(lengths) == list(wanted)


@pytest.mark.parametrize("name", FLATS)
def test_areas_boxes_and_lengths_of_flats_are_those_of_a_polygon_of_many_points(name: str) -> None:
    drawn = shape(FLATS[name])
    dense = polygon(drawn)
    assert dense.is_valid
    left, bottom, right, top = dense.bounds
    assert drawn.flat is not None
    assert [float(side) for side in drawn.flat.box] == pytest.approx([right - left, top - bottom], rel=1e-4)
    assert float(drawn.area[0]) == pytest.approx(dense.area, rel=1e-4)
    outline, point = read(FLATS[name])
    around = sum(float(point.near(edge.length)) for edge in outline.edges.values())
    assert around == pytest.approx(dense.length, rel=1e-4)
    # Upright about the y axis, the outer edge from the left to the right.
    assert drawn.start[0] < 0 and right == pytest.approx(-left)


@pytest.mark.parametrize("name", ["sector", "wide", "cone"])
def test_cut_lines_of_flats_are_mitred_buffers(name: str) -> None:
    # But for corners, where a circle is met instead of its tangent.
    drawn = shape(FLATS[name])
    cuts, moved = cut_line(drawn, dict.fromkeys(("outer", "right", "inner", "left"), Fraction(3)))
    buffered = polygon(drawn).buffer(3, join_style="mitre")
    assert polygon_of_cut(cuts).symmetric_difference(buffered).area < 0.002 * buffered.area
    left, bottom, right, top = polygon_of_cut(cuts).bounds
    assert [float(side) for side in true_box(cuts, moved)] == pytest.approx([right - left, top - bottom], rel=1e-4)


def test_a_half_ring_cut_out_is_as_wide_as_its_moved_circle() -> None:
    # Moved by 10: radius 130 on the outside; the straight edges lie 10 below the middle.
    drawn = shape({"sector": {"outer": "w", "inner": "r", "turn": "1/2"}})
    cuts, moved = cut_line(drawn, dict.fromkeys(("outer", "right", "inner", "left"), Fraction(10)))
    width, height = true_box(cuts, moved)
    assert (float(width), float(height)) == (pytest.approx(260), pytest.approx(140))


def test_a_line_that_just_touches_a_moved_circle_meets_it() -> None:
    # The straight edges, moved by 20, pass the middle at just the inner radius of 20.
    drawn = shape({"sector": {"outer": "w", "inner": "r", "turn": "1/3"}})
    cuts, _ = cut_line(
        drawn, {"outer": Fraction(10), "right": Fraction(20), "inner": Fraction(0), "left": Fraction(20)}
    )
    assert [cut.edges for cut in cuts] == [("outer",), ("right",), ("inner",), ("left",)]
    assert [float(value) for value in cuts[1].end] == pytest.approx([10, -10 * sqrt(3)])


def test_the_turn_of_a_gored_skirt_is_a_number_of_its_gores() -> None:
    found = flat({"sector": {"outer": "w", "inner": "r", "turn": "1/gores"}})
    assert float(found.half_angle) == pytest.approx(pi / 6)


@pytest.mark.parametrize(
    "outline",
    [
        {"sector": {"outer": "w", "inner": "r", "turn": 1}},
        {"sector": {"outer": "w", "inner": "r", "turn": 0}},
        {"sector": {"outer": "w", "inner": "r", "turn": "r"}},
        {"sector": {"outer": "w", "inner": "r", "turn": "pi/8"}},
        {"sector": {"outer": "w", "inner": "w", "turn": "1/4"}},
        {"sector": {"outer": "w", "inner": "r-w", "turn": "1/4"}},
        {"sector": {"outer": "w", "inner": "h-80", "turn": "1/4"}},
        {"sector": {"outer": "pi*w", "inner": "r", "turn": "1/4"}},
        {"sector": {"outer": "w", "turn": "1/4"}},
        {"sector": {"outer": "w", "inner": "r", "turn": "1/4", "share": 1}},
        {"cone": {"bottom": "r", "top": "w", "height": "h"}},
        {"cone": {"bottom": "w", "top": "r", "height": "h-w"}},
        {"cone": {"bottom": "w", "top": "r", "height": "h", "share": "3/2"}},
        {"cone": {"bottom": "w", "top": "r"}},
        {"sector": {"outer": "w", "inner": "r", "turn": "1/4"}, "cone": {"bottom": "w", "top": "r", "height": "h"}},
    ],
)
def test_flats_that_cannot_be_drawn_are_refused(outline: dict[str, Any]) -> None:
    with pytest.raises(UnreadableInput):
        read(outline)


def test_the_relations_of_flats_are_those_of_the_reference() -> None:
    def named(name: str) -> dict[str, tuple[int, int]]:
        drawn = pattern(FLATS[name])
        return {
            item.name: (int(drawn.base.near(item.left)), int(drawn.base.near(item.right)))
            for item in all_relations(drawn, {})
            if item.kind in {"outline", "cloth"}
        }

    assert named("sector") == {"outline:it:outer": (100, 1), "outline:it:inner": (20, 0)}
    assert named("cone") == {
        "outline:it:outer": (100, 1), "outline:it:inner": (20, 0), "outline:it:right": (80, 1)
    }  # fmt: skip
    # 0 ≥ 0 is constant and holds: no relation.
    assert named("hat") == {"outline:it:outer": (80, 1), "outline:it:right": (80, 1)}


def test_the_listed_measures_of_flats_are_their_radii_and_the_height_of_a_cone() -> None:
    def measured(name: str) -> dict[str, int]:
        drawn = pattern(FLATS[name])
        return {title.removeprefix("pieces.it."): int(drawn.base.near(form)) for title, form in listed_measures(drawn)}

    assert measured("sector") == {"outer": 120, "inner": 20}
    assert measured("cone") == {"bottom": 120, "top": 20, "height": 80}


def test_a_flat_is_printed_in_decimals_and_its_box_raised_to_the_ruler() -> None:
    drawn = pattern(FLATS["sector"], layers=[{"material": "main"}, {"material": "foam", "inset": "2 mm"}])
    found = drafts.expected(drawn)
    piece = found.pieces()["it"]
    # 2 · 120 sin 45° = 169.7 wide; 120 - 20 cos 45° = 105.86 high.
    assert (piece["width"], piece["height"]) == ("170 mm", "106 mm")
    assert piece["start"][0].accepts("-84.85 mm") and piece["start"][1].accepts("84.85 mm")
    assert not piece["start"][0].accepts("-83.85 mm")
    outer, right, inner, left = (piece["edges"][edge]["segments"] for edge in ("outer", "right", "inner", "left"))
    assert outer[0]["turns"] == "right" and inner[0]["turns"] == "left"
    assert all(item["centre"][axis].accepts("0 mm") for item in (outer[0], inner[0]) for axis in (0, 1))
    assert set(right[0]) == set(left[0]) == {"to"}
    main, foam = found.rows()
    assert (main.kind, main.finished) == ("template", ((170, 170), (106, 106)))
    # Foam: the stitched box less twice the inset.
    assert foam.size == ((166, 166), (102, 102))
    # The circle of 130 met by lines 10 beyond the edges: 2 · 130 sin(45° + asin(10/130)) = 197.44, raised.
    assert main.size[0] == (198, 198)


def test_a_box_that_lies_on_the_ruler_is_not_raised() -> None:
    # A turn of 1/6: 2 · 120 sin 30° = 120 wide, though its sine is computed as a series.
    drawn = pattern({"sector": {"outer": "w", "inner": "r", "turn": "1/6"}})
    assert drafts.expected(drawn).pieces()["it"]["width"] == "120 mm"


def test_a_flat_on_the_fold_is_symmetric_about_its_upright_middle_only() -> None:
    for grain, holds in (("along", True), ("across", False)):
        drawn = pattern(FLATS["cone"], on_fold=True, grain=grain)
        claims = list(closed_claims(drawn, {"it": shape(FLATS["cone"])}))
        assert [claim.holds for claim in claims] == [True, holds]


def test_a_flat_of_more_than_a_full_turn_is_not_sound() -> None:
    assert not FlatSize(Fraction(10), Fraction(2), Fraction(355, 113)).is_sound  # 355/113 is above pi
    assert FlatSize(Fraction(10), Fraction(2), Fraction(333, 106)).is_sound
    assert not FlatSize(Fraction(10), Fraction(10), Fraction(1)).is_sound
    assert not FlatSize(Fraction(10), Fraction(-1), Fraction(1)).is_sound


def bucket(**changes: Any) -> Any:
    """Two halves of a truncated cone, sewn to each other and round a disc."""
    cone = {"cone": {"bottom": "w", "top": "r", "height": "h", "share": "1/2"}}
    pieces = {
        "half": {"uses": ["front", "back"], "outline": cone, "edges": {"outer": RAW}, "layers": [{"material": "main"}]},
        "base": {"outline": {"disc": {"radius": "r"}}, "layers": [{"material": "main"}]},
    }
    seams = {
        "side": {"join": ["front.right"], "to": ["back.left"]},
        "side_2": {"join": ["back.right"], "to": ["front.left"]},
        "bottom": {"join": ["base.rim"], "to": ["back.inner", "front.inner"], "closed": True},
    }
    return drafts.document(dimensions=DIMENSIONS, pieces=pieces, seams=seams) | changes


def test_corners_of_flats_come_together_as_seams_are_made() -> None:
    parts = bucket()
    steps = [{"text": "", "action": "sew", "makes": [seam]} for seam in ("side", "side_2", "bottom")]
    drawn = drafts.drawn(**(parts | {"steps": steps}))
    assert all(claim.holds for claim in chain_claims(drawn))
    assert all(claim.holds for claim in fate_claims(drawn, drawn.base))
    drawn = drafts.drawn(**(parts | {"steps": steps[::-1]}))
    assert [claim.about for claim in chain_claims(drawn) if not claim.holds] == ["chain:bottom:to"]


def test_the_sides_of_a_bucket_and_its_bottom_cancel_in_every_size() -> None:
    drawn = drafts.drawn(**bucket())
    equations = {item.name: item.form for item in all_relations(drawn, {}) if item.kind == "seam"}
    assert all(form.is_zero for form in equations.values())


def test_nothing_covers_a_flat_lies_on_one_or_is_drawn_or_held_in_it() -> None:
    for change in (
        {"coverings": {"over": {"piece": "base", "over": "front", "clear": {"left": 5, "top": 5}}}},
        {"coverings": {"over": {"piece": "front", "over": "base", "clear": {"left": 5, "top": 5}}}},
        {"contents": {"card": {"in": "front", "object": [10, 10, 1]}}},
    ):
        with pytest.raises(UnreadableInput):
            drafts.drawn(**bucket(**change))
    drawn = drafts.drawn(**bucket(steps=[{"text": "It is {front.width} wide.", "action": "cut"}]))
    with pytest.raises(UnreadableInput):
        drafts.expected(drawn).steps()
    parts = bucket()
    parts["pieces"]["half"]["lines"] = {"label": {"from": [0, 0], "to": [5, 0]}}
    with pytest.raises(UnreadableInput):
        drafts.drawn(**parts)


def test_pieces_with_curves_are_measured_along_the_stitching() -> None:
    measured = {
        "uncertainty": "0.1 mm",
        "pieces": {"front": {"right": {"stitched": "128 mm"}}, "back": {"left": {"stitched": "128.5 mm"}}},
    }
    (seam,) = judge_measured(bucket(), measured).seams
    assert (seam.seam, seam.verdict) == ("side", "joins")
    measured["pieces"]["front"]["right"] = {"cut": "148 mm"}  # type: ignore[index]
    with pytest.raises(UnreadableInput, match="stitched length"):
        judge_measured(bucket(), measured)
