"""Outlines with arcs, ellipses and cubics: lengths, relations, areas, simplicity and cut lines.

Checked against the textbook's formulas, against shapely's polygons of many points, and by hand.
"""

from __future__ import annotations

from fractions import Fraction
from math import asin, atan2, pi, sqrt
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import Polygon
from shapely.validation import explain_validity

from grading.verify.cutting.cut_lines import cut_line, true_box
from grading.verify.exact.forms import Form, total
from grading.verify.geometry.stretches import stretch_of
from grading.verify.making.closures import closed_claims
from grading.verify.relations.measures import listed_measures
from grading.verify.relations.relation_list import all_relations
from grading.verify.unreadable import UnreadableInput
from tests.grading.verify import drafts
from tests.grading.verify.geometry.curved_shapes import (
    BIB,
    DIPPED,
    DOME,
    LENS,
    OVAL,
    SCOOPED,
    SOUND,
    dots_of,
    free,
    polygon,
    polygon_of_cut,
    read,
    shape,
)

RAW = {f"e{place}": {"fate": "raw"} for place in range(8)}


def perimeter(outline: dict[str, Any], **sizes: float) -> float:
    drawn, point = read(outline, **sizes)
    return float(point.near(total([edge.length for edge in drawn.edges.values()])))


def piece(outline: dict[str, Any], **parts: Any) -> dict[str, Any]:
    edges = {edge["name"]: {"fate": "raw"} for edge in outline["edges"]}
    return {"outline": outline, "layers": [{"material": "main"}], "edges": edges, **parts}


DIMENSIONS = {"w": {"base": 120}, "h": {"base": 80}, "r": {"base": 20}}


def pattern(outline: dict[str, Any], **parts: Any) -> Any:
    return drafts.drawn(dimensions=DIMENSIONS, pieces={"it": piece(outline, **parts)})


# lengths


@pytest.mark.parametrize("name", SOUND)
def test_lengths_are_those_of_a_polygon_of_many_points(name: str) -> None:
    assert perimeter(SOUND[name]) == pytest.approx(polygon(shape(SOUND[name])).length, rel=1e-5)


def test_an_arc_is_as_long_as_its_angle_says() -> None:
    # Chord 96, rise 36: radius (48² + 36²)/72 = 50, half the angle asin(48/50).
    flat = perimeter(free({"to": [96, 0], "arc": "right", "rise": 36}, {}))
    assert flat == pytest.approx(2 * 50 * asin(48 / 50) + 96)


def test_a_cubic_that_goes_straight_is_as_long_as_its_chord() -> None:
    slope = free({"to": [30, 40], "cubic": [[10, "40/3"], [20, "80/3"]]}, {"to": [30, -40]}, {})
    drawn, point = read(slope)
    low, high = point.enclosure(drawn.edges["e0"].length)
    assert high - low < Fraction(1, 10**9)
    assert float(low) == pytest.approx(50, abs=0.05)  # "40/3" stands on a ruler of 1 mm


def edge_length(edge: dict[str, Any], start: tuple[str, str] = ("0", "0")) -> Form:
    drawn, _ = read(free(edge, {"to": ["w*3", "-h*3"]}, {}, start=start))
    return drawn.edges["e0"].length


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ({"to": ["w", "h"], "arc": "right", "rise": "r"}, {"to": ["h", "w"], "arc": "left", "rise": "r"}),
        ({"to": ["w", "h"], "ellipse": "right"}, {"to": ["0-h", "w"], "ellipse": "left"}),
        # Mirrored, turned by a right angle, and run the other way from a place elsewhere.
        (
            {"to": ["w", "h"], "cubic": [["w/2", "r"], ["w", "h/2"]]},
            {"to": ["0-w", "h"], "cubic": [["0-w/2", "r"], ["0-w", "h/2"]]},
        ),
        (
            {"to": ["w", "h"], "cubic": [["w/2", "r"], ["w", "h/2"]]},
            {"to": ["0-h", "w"], "cubic": [["0-r", "w/2"], ["0-h/2", "w"]]},
        ),
        (
            {"to": ["w", "h"], "cubic": [["w/2", "r"], ["w", "h/2"]]},
            {"to": ["0-w", "0-h"], "cubic": [["0", "0-h/2"], ["0-w/2", "r-h"]]},
        ),
    ],
)
def test_curves_that_lie_on_each_other_when_turned_have_equal_terms(
    first: dict[str, Any], second: dict[str, Any]
) -> None:
    difference = edge_length(first) - edge_length(second)
    assert difference.is_zero
    assert edge_length(first).has_root and not edge_length(first).is_rational


def test_curves_of_other_areas_do_not_cancel() -> None:
    first = edge_length({"to": ["w", "h"], "arc": "right", "rise": "r"})
    for second in (
        {"to": ["w", "h"], "arc": "right", "rise": "r+1"},
        {"to": ["w", "h"], "ellipse": "right"},
        {"to": ["w", "h+1"], "arc": "right", "rise": "r"},
    ):
        assert not (first - edge_length(second)).is_zero


def test_a_quarter_of_an_ellipse_with_equal_axes_is_a_quarter_arc() -> None:
    drawn, point = read(free({"to": ["w", "w"], "ellipse": "right"}, {"to": ["w", 0]}, {}))
    segment = drawn.edges["e0"].segments[0]
    assert segment.curve is None and float(point.near(segment.length)) == pytest.approx(pi / 2 * 120)


@pytest.mark.parametrize(
    "edge",
    [
        {"to": ["w", 0], "arc": "right"},
        {"to": ["w", 0], "rise": "r"},
        {"to": ["w", 0], "arc": "right", "rise": "r", "half": "right"},
        {"to": ["w", 0], "arc": "up", "rise": "r"},
        {"to": ["w", 0], "arc": "right", "rise": "-r"},
        {"to": ["w", 0], "arc": "right", "rise": "pi*r"},
        {"to": ["w", 0], "arc": "right", "rise": "sqrt(w*h)"},
        {"to": ["w", 0], "ellipse": "right"},
        {"to": ["w", 0], "cubic": [["w/2", 5]]},
        {"to": ["w", 0], "cubic": [[0, 0], ["w/2", 5]]},
        {"to": ["w", 0], "cubic": [["w/2", 5], ["h+40", 0]]},
        {"to": ["w", 0], "cubic": [["w/2", "pi*w"], ["w", 5]]},
        {"to": [0, 0], "cubic": [["w/2", 5], ["w", 5]]},
    ],
)
def test_curves_that_cannot_be_drawn_are_refused(edge: dict[str, Any]) -> None:
    with pytest.raises(UnreadableInput):
        read(free(edge, {"to": ["w", "-h"]}, {}))


# relations and measures


def relations(outline: dict[str, Any]) -> dict[str, tuple[float, float]]:
    drawn = pattern(outline)
    return {
        item.name.removeprefix("outline:it:"): (float(drawn.base.near(item.left)), float(drawn.base.near(item.right)))
        for item in all_relations(drawn, {})
        if item.kind == "outline"
    }


def test_the_relations_of_curves_are_those_of_the_reference() -> None:
    # Left side, right side: a level arc goes by d, a slanting one across and along; half a chord is more than the rise.
    assert relations(LENS) == {
        "e0": (120, 1), "e0:rise": (20, 1), "e0:half": (60, 20),
        "e1": (120, 1), "e1:rise": (30, 1), "e1:half": (60, 30),
    }  # fmt: skip
    bib = relations(BIB)
    assert [bib[name] for name in ("e0:across", "e0:along", "e0:rise")] == [(40, 0), (40, 0), (10, 1)]
    assert bib["e2:half"] == (pytest.approx(sqrt(40**2 + 40**2) / 2), 10)
    scooped = relations(SCOOPED)
    assert (scooped["e1:across"], scooped["e1:along"]) == ((20, 1), (40, 1))
    assert relations(DIPPED)["e2"] == (120, 1)


def test_the_listed_measures_of_curves_are_those_of_the_reference() -> None:
    def measured(outline: dict[str, Any]) -> dict[str, float]:
        drawn = pattern(outline)
        return {name.removeprefix("pieces.it."): float(drawn.base.near(form)) for name, form in listed_measures(drawn)}

    assert measured(LENS) == {"width": 120, "height": 50, "edges.e0.rise": 20, "edges.e1.rise": 30}
    scooped = measured(SCOOPED)
    assert (scooped["edges.e1.across"], scooped["edges.e1.along"]) == (20, -40)
    assert not any(name.startswith("edges.e2") for name in measured(DIPPED))


def test_the_middle_of_a_level_arc_is_a_vertex_and_that_of_a_slanting_one_is_none() -> None:
    drawn, point = read(LENS)
    assert [point.rational(form) for form in (drawn.box.top, drawn.box.bottom)] == [20, -30]
    upright = free({"to": ["w", 0]}, {"to": ["w", "-h"], "arc": "right", "rise": "r"}, {"to": [0, "-h"]}, {})
    drawn, point = read(upright)
    assert point.rational(drawn.box.width) == 140
    drawn, point = read(BIB)
    assert (point.rational(drawn.box.width), point.rational(drawn.box.height)) == (120, 120)


# areas and simplicity


@pytest.mark.parametrize("name", SOUND)
def test_areas_are_those_of_a_polygon_of_many_points(name: str) -> None:
    low, high = shape(SOUND[name]).area
    assert 0 <= high - low < Fraction(1, 10**20)
    assert float(low) == pytest.approx(polygon(shape(SOUND[name])).area, rel=1e-5)


@pytest.mark.parametrize("name", SOUND)
@pytest.mark.parametrize("scale", ["1", "7/10", "3/2"])
def test_sound_curved_outlines_are_simple_and_keep_to_their_box(name: str, scale: str) -> None:
    sizes = {key: value * Fraction(scale) for key, value in {"w": 120, "h": 80, "r": 20}.items()}
    drawn = shape(SOUND[name], **sizes)
    assert drawn.crossing() is None
    # The leaf's two outermost points are no ends; all others are drawn as they should be.
    assert (drawn.leaves_box() is None) == (name != "leaf")


@pytest.mark.parametrize(
    ("outline", "sizes", "edges"),
    [
        # The dip comes up to the top, and through it.
        (DIPPED, {"r": 107}, ("e0", "e2")),
        (free({"to": ["w", 0]}, {"to": ["w", "-h"]}, {"to": [0, "-h"], "arc": "left", "rise": "r"}, {}),
         {"r": 80, "w": 170}, ("e0", "e2")),
        # The two arm holes meet.
        (BIB, {"w": 60, "r": 60}, ("e0", "e2")),
        # A cubic with a loop of its own.
        (free({"to": ["w", 0], "cubic": [["2*w+r", "h"], ["0-w-r", "h"]]}, {"to": ["w", "-h"]}, {"to": [0, "-h"]}, {}),
         {}, ("e0", "e0")),
        # A cubic and an arc that run through each other.
        (free({"to": ["w", 0], "cubic": [["w/4", "-r"], ["3*w/4", "r"]]}, {"arc": "right", "rise": "r/2"}),
         {}, ("e0", "e1")),
        # An edge without a length.
        (SCOOPED, {"w": 20}, ("e0", "e0")),
    ],
)  # fmt: skip
def test_curves_that_touch_are_found(outline: dict[str, Any], sizes: dict[str, int], edges: tuple[str, str]) -> None:
    assert shape(outline, **sizes).crossing() == edges


def test_curves_that_just_miss_each_other_are_told_apart() -> None:
    # The dip of h - y is 3/4 of what its points of control say: 0.00001 mm and less short of the top.
    close = Fraction(4, 3) * (80 - Fraction(1, 10**5))
    assert shape(DIPPED, r=close).crossing() is None
    assert shape(DIPPED, r=Fraction(4, 3) * 80).crossing() == ("e0", "e2")


def test_a_tip_without_an_angle_is_not_shown_to_be_simple_and_the_claim_says_so() -> None:
    # The quarter of an ellipse leaves the top backwards along it, so that no cloth is between them at the tip.
    tip = free({"to": ["w", 0]}, {"to": ["w/2", "-h"], "ellipse": "left"}, {"to": [0, "-h"]}, {})
    drawn = pattern(tip)
    (claim,) = closed_claims(drawn, {"it": shape(tip)})
    assert not claim.holds
    assert "comes too close to tell: e0 and e1" in claim.says


def test_a_curve_that_runs_out_of_the_box_of_its_vertices_is_named() -> None:
    bulging = free(
        {"to": ["w", 0]}, {"to": ["w", "-h"], "cubic": [["w+r", "-h/3"], ["w", "-2*h/3"]]}, {"to": [0, "-h"]}, {}
    )
    drawn = pattern(bulging)
    (claim,) = closed_claims(drawn, {"it": shape(bulging)})
    assert not claim.holds and "the e1 of the it runs out of the box" in claim.says
    # The greatest x of that cubic is w + 4/9 r: within 0.01 mm it stays in the box.
    assert shape(bulging, r=Fraction(89, 4000)).leaves_box() is None
    assert shape(bulging, r=Fraction(91, 4000)).leaves_box() == "e1"


@st.composite
def quadrangles(draw: st.DrawFn) -> dict[str, Any]:
    """Four sides about the middle, each a line, an arc or a cubic."""
    corners = [
        (draw(st.integers(-60, -20)), draw(st.integers(20, 60))),
        (draw(st.integers(20, 60)), draw(st.integers(20, 60))),
        (draw(st.integers(20, 60)), draw(st.integers(-60, -20))),
        (draw(st.integers(-60, -20)), draw(st.integers(-60, -20))),
    ]
    edges: list[dict[str, Any]] = []
    for place in range(4):
        start, end = corners[place], corners[(place + 1) % 4]
        edge: dict[str, Any] = {"to": list(end)}
        kind = draw(st.sampled_from(["line", "arc", "cubic"]))
        if kind == "arc":
            edge |= {"arc": draw(st.sampled_from(["right", "left"])), "rise": draw(st.integers(1, 18))}
        elif kind == "cubic":
            edge["cubic"] = [[draw(st.integers(-70, 70)), draw(st.integers(-70, 70))] for _ in range(2)]
            assume(edge["cubic"][0] != list(start) and edge["cubic"][1] != list(end))
        edges.append(edge)
    edges[-1].pop("to")
    return free(*edges, start=corners[0])


@given(quadrangles())
def test_what_is_shown_to_be_simple_is_so_for_shapely(outline: dict[str, Any]) -> None:
    drawn = shape(outline)
    dense = Polygon([dot for part in drawn.parts for dot in dots_of(part, 200)])
    if drawn.crossing() is None:
        assert dense.is_valid, explain_validity(dense)
        assert abs(float(drawn.area[0])) == pytest.approx(dense.area, rel=1e-3)


@given(quadrangles())
def test_points_of_control_hold_a_curve_between_them(outline: dict[str, Any]) -> None:
    for part in shape(outline).parts:
        left, right, bottom, top = (value / 2**128 for value in part.stretch.box)
        for x, y in dots_of(part, 20):
            assert left - 1e-9 <= x <= right + 1e-9 and bottom - 1e-9 <= y <= top + 1e-9
        first, second = part.stretch.halves
        assert max(abs(a - b) for a, b in zip(first.dots[-1], second.dots[0], strict=True)) < 2**20


def test_a_quarter_is_the_stretch_between_its_box() -> None:
    stretch = stretch_of((Fraction(0), Fraction(5)), (Fraction(5), Fraction(0)), "right", None)
    middle = stretch.halves[0].dots[-1]
    assert [value / 2**128 for value in middle] == pytest.approx([4, 3])  # at t = 1/2: 4/5 and 3/5 of the radius


# the fold


def test_curves_on_the_fold_are_compared_with_their_mirror_images() -> None:
    for outline in (LENS, BIB, OVAL, DOME, DIPPED):
        assert shape(outline).is_symmetric(0)
    assert shape(OVAL).is_symmetric(1)
    for outline, axis in ((LENS, 1), (SCOOPED, 0)):
        assert not shape(outline).is_symmetric(axis)
    leaning = free(
        {"to": ["w", 0]}, {"to": ["w", "-h"]}, {"to": [0, "-h"], "cubic": [["2*w/3", "r-h"], ["w/4", "r-h"]]}, {}
    )
    assert not shape(leaning).is_symmetric(0)


# cut lines


@pytest.mark.parametrize("name", ["dipped", "oval", "bib", "scooped"])
def test_cut_lines_of_curved_pieces_are_mitred_buffers(name: str) -> None:
    # But for the 32 lines of a chain, and corners where a circle is met instead of its tangent.
    drawn = shape(SOUND[name])
    cuts, _ = cut_line(drawn, dict.fromkeys((part.edge for part in drawn.parts), Fraction(6)))
    buffered = polygon(drawn).buffer(6, join_style="mitre", mitre_limit=4)
    assert polygon_of_cut(cuts).symmetric_difference(buffered).area < 0.002 * buffered.area
    assert all(a.end == b.start for a, b in zip(cuts, cuts[1:] + cuts[:1], strict=True))


def test_an_arc_moves_to_an_arc_about_its_centre() -> None:
    # Chord 96, rise 36: radius 50 about (48, -14). Moved by 10 it is 60; the flat meets it at y = -10: 48 ± sqrt(3584).
    drawn = shape(free({"to": [96, 0], "arc": "right", "rise": 36}, {}))
    cuts, moved = cut_line(drawn, {"e0": Fraction(10), "e1": Fraction(10)})
    assert (cuts[0].centre, cuts[0].turns) == ((48, -14), "right")
    assert [float(x) for x in cuts[0].end] == pytest.approx([48 + sqrt(3584), -10])
    # It is not 2 x 60 wide: the circle's widest place lies at y = -14, which is cut off.
    assert [float(x) for x in true_box(cuts, moved)] == pytest.approx([2 * sqrt(3584), 46 + 10])


def test_a_dome_is_as_wide_as_its_moved_circle() -> None:
    drawn = shape(DOME)
    cuts, moved = cut_line(drawn, {"e0": Fraction(10), "e1": Fraction(10)})
    assert [float(x) for x in true_box(cuts, moved)] == pytest.approx([140, 80])


def test_a_moved_ellipse_goes_through_31_points_between_its_ends() -> None:
    drawn = shape(OVAL)
    cuts, moved = cut_line(drawn, dict.fromkeys(("e0", "e1", "e2", "e3"), Fraction(10)))
    assert [len(cut.through or ()) for cut in cuts] == [31] * 4
    assert (cuts[0].start, cuts[0].end, cuts[0].centre) == ((-10, 0), (60, 50), None)
    # Half way, at t = 1/2, it passes (60 - 60·3/5, 40·4/5), and its normal is (-40·3/5, 60·4/5) to its length.
    normal = (-40 * 3 / 5, 60 * 4 / 5)
    length = sqrt(normal[0] ** 2 + normal[1] ** 2)
    wanted = (24 + 10 * normal[0] / length, 32 + 10 * normal[1] / length)
    assert [float(x) for x in (cuts[0].through or ())[15]] == pytest.approx(wanted)
    assert true_box(cuts, moved) == (140, 100)


def test_a_chain_is_cut_short_where_it_meets_its_neighbour_at_a_corner_that_turns_left() -> None:
    # A notch whose corners turn right keeps all points; one that comes to a point inside turns left there.
    inward = free(
        {"to": ["w", 0]},
        {"to": ["w", "-h"]},
        {"to": ["2*w/3", "-h"]},
        {"to": ["w/2", "r-h"], "cubic": [["2*w/3-5", "r/2-h"], ["w/2+5", "r-h"]]},
        {"to": ["w/3", "-h"], "cubic": [["w/2-5", "r-h"], ["w/3+5", "r/2-h"]]},
        {"to": [0, "-h"]},
        {},
    )
    drawn = shape(inward)
    cuts, _ = cut_line(drawn, dict.fromkeys((part.edge for part in drawn.parts), Fraction(2)))
    chains = [cut for cut in cuts if cut.through is not None]
    assert [len(cut.through or ()) for cut in chains] == [31, 31]
    assert polygon_of_cut(cuts).is_valid
    pointed = free(
        {"to": ["w", 0]},
        {"to": ["w", "-h"]},
        {"to": ["w/2", "r-h"], "cubic": [["4*w/5", "-h"], ["w/2+3", "r-h-8"]]},
        {"to": [0, "-h"], "cubic": [["w/2-3", "r-h-8"], ["w/5", "-h"]]},
        {},
    )
    drawn = shape(pointed, r=Fraction(30))
    cuts, _ = cut_line(drawn, dict.fromkeys((part.edge for part in drawn.parts), Fraction(9)))
    first, second = (cut for cut in cuts if cut.through is not None)
    assert first.end == second.start and first.end[0] == 60
    kept = len(first.through or ())
    assert 0 < kept < 31 and len(second.through or ()) == kept
    # What is left does not run back over itself.
    xs = [float(spot[0]) for spot in (first.start, *(first.through or ()), first.end)]
    assert xs == sorted(xs, reverse=True)


def test_smooth_curves_of_unequal_allowances_are_joined_by_a_straight_step() -> None:
    drawn = shape(OVAL)
    cuts, _ = cut_line(drawn, {"e0": Fraction(10), "e1": Fraction(4), "e2": Fraction(10), "e3": Fraction(10)})
    steps = [cut for cut in cuts if len(cut.edges) == 2]
    assert [(step.start, step.end) for step in steps] == [((60, 50), (60, 44)), ((124, 0), (130, 0))]


def test_arcs_that_run_on_smoothly_meet_without_a_corner() -> None:
    # Two arcs of one circle of radius 50 about (0, 0) from (-48, 14) over (0, 50): their chords are no rational length.
    top = free(
        {"to": ["0", "50"], "arc": "right", "rise": "8"}, {"to": ["48", "14"], "arc": "right", "rise": "8"}, {},
        start=("0-48", "14"),
    )  # fmt: skip
    drawn = shape(top)
    cuts, _ = cut_line(drawn, dict.fromkeys(("e0", "e1", "e2"), Fraction(5)))
    angle = atan2(50 - 14, 48)
    assert angle > 0
    assert [cut.edges for cut in cuts if len(cut.edges) == 1] == [("e0",), ("e1",), ("e2",)]
