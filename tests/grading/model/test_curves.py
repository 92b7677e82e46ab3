"""Curved edges and flats as symbols: their lengths, boxes, relations and measures, and what cannot be drawn.

Lengths are checked against mpmath (`ellipe`, `atan`, quadrature) and plain geometry.
"""

from __future__ import annotations

import itertools
import math
from fractions import Fraction
from typing import Any

import pytest

from grading.document import read_pattern
from grading.errors import DocumentFaults, RequestFaults
from grading.model import Model
from grading.model.outline import Outline
from grading.pipeline import compile_document, grade_size
from tests.evaluation import true_value
from tests.patterns import changed, model_of, sheet

Json = dict[str, Any]

FLAP: Json = {
    "start": [0, 0],
    "edges": [
        {"name": "top", "to": ["width", 0], "arc": "right", "rise": 12},
        {"name": "right", "to": ["width", "-height"]},
        {"name": "corner", "to": ["width - 40", "-height - 30"], "ellipse": "right"},
        {"name": "bottom", "to": [40, "-height - 30"]},
        {"name": "sweep", "to": [0, "-height"], "cubic": [[20, "-height - 30"], [0, "-height - 15"]]},
        {"name": "left", "to": [0, 0]},
    ],
}


def piece_of(outline: Json, **dimensions: float | str) -> tuple[Outline, Model]:
    model = model_of(sheet(outline, dict(dimensions) or None))
    return model.pieces["sheet"].outline, model


def with_edge(**edge: Any) -> Json:
    """A box whose bottom edge, from (120, -90) to (0, -90), is drawn otherwise."""
    return {
        "start": [0, 0],
        "edges": [
            {"name": "top", "to": [120, 0]},
            {"name": "right", "to": [120, -90]},
            {"name": "bottom", "to": [0, -90], **edge},
            {"name": "left", "to": [0, 0]},
        ],
    }


def faults(outline: Json, **dimensions: float | str) -> list[tuple[str, str]]:
    with pytest.raises(DocumentFaults) as caught:
        compile_document(read_pattern(sheet(outline, dict(dimensions) or None)))
    return [(fault.path, fault.problem) for fault in caught.value.faults]


def test_edges_have_the_lengths_of_their_curves() -> None:
    outline, model = piece_of(FLAP)
    found = {edge.name: float(true_value(edge.length, model.draft.base)) for edge in outline.edges}
    radius = (60**2 + 12**2) / 24
    assert found["top"] == pytest.approx(2 * radius * math.asin(60 / radius))
    # Ramanujan's second formula for the whole ellipse (1914), good to 1e-10 of it at these axes.
    h = (10 / 70) ** 2
    assert found["corner"] == pytest.approx(math.pi * 70 * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h))) / 4, rel=1e-9)
    points = [(40, 0), (20, 0), (0, 15), (0, 30)]
    steps = 20000
    walk = [
        tuple(
            sum(math.comb(3, k) * (1 - t) ** (3 - k) * t**k * point[a] for k, point in enumerate(points))
            for a in (0, 1)
        )
        for t in (n / steps for n in range(steps + 1))
    ]
    chords = sum(math.dist(a, b) for a, b in itertools.pairwise(walk))
    assert found["sweep"] == pytest.approx(chords, rel=1e-7)


def test_an_ellipse_with_equal_axes_is_a_quarter_with_a_radius_on_the_ruler() -> None:
    outline, model = piece_of(
        {
            "start": [0, 0],
            "edges": [
                {"name": "top", "to": ["width", 0]},
                {"name": "round", "to": ["width - 30", -30], "ellipse": "right"},
                {"name": "bottom", "to": [0, -30]},
                {"name": "left", "to": [0, 0]},
            ],
        }
    )
    assert outline.by_name["round"].length.pi == {"": Fraction(15)}
    assert outline.has_only_square_lines_and_arcs
    assert "sheet: radius of round" in [measure.about for measure in model.measures]


def test_the_middle_of_an_arc_over_a_level_chord_is_a_vertex_of_the_box() -> None:
    outline, model = piece_of(FLAP)
    assert model.draft.at_base(outline.box.height) == 12 + 90 + 30
    hollow, model = piece_of(with_edge(arc="left", rise=20))
    assert model.draft.at_base(hollow.box.height) == 90


@pytest.mark.parametrize(("turn", "width"), [("right", 135), ("left", 120)])
def test_the_middle_of_an_arc_over_an_upright_chord_likewise(turn: str, width: int) -> None:
    outline = {
        "start": [0, 0],
        "edges": [
            {"name": "top", "to": [120, 0]},
            {"name": "right", "to": [120, -90], "arc": turn, "rise": 15},
            {"name": "bottom", "to": [0, -90]},
            {"name": "left", "to": [0, 0]},
        ],
    }
    found, model = piece_of(outline)
    assert model.draft.at_base(found.box.width) == width


def test_relations_keep_curves_as_they_are_drawn() -> None:
    model = model_of(sheet(FLAP))
    names = {relation.id for relation in model.relations if relation.id.startswith("outline:")}
    # The corners' extents and the rise are constants that hold, and are no relations.
    assert names == {f"outline:sheet:{edge}" for edge in ("top", "right", "bottom", "left", "top:half")}
    values = {relation.id: relation.form for relation in model.relations}
    assert values["outline:sheet:top:half"].plain == {"width": Fraction(1, 2), "": Fraction(-12)}


def test_relations_of_slanting_curves_name_both_ways() -> None:
    outline = {
        "start": [0, 0],
        "edges": [
            {"name": "over", "to": ["width", "-height"], "arc": "right", "rise": "width/20"},
            {"name": "under", "to": ["width/2", "-height - height/2"], "ellipse": "right"},
            {"name": "back", "to": [0, 0], "cubic": [["width/3", "-height"], ["width/6", "-height/2"]]},
        ],
    }
    model = model_of(sheet(outline))
    found = {relation.id.removeprefix("outline:sheet:"): relation.form for relation in model.relations}
    step = Fraction(1)
    assert found["over:across"].plain == {"width": 1}
    assert found["over:along"].plain == {"height": 1}
    assert found["over:rise"].plain == {"width": Fraction(1, 20), "": -step}
    assert list(found["over:half"].roots.values()) == [Fraction(1, 2)]
    assert found["under:across"].plain == {"width": Fraction(1, 2), "": -step}
    assert found["under:along"].plain == {"height": Fraction(1, 2), "": -step}
    assert found["back:across"].plain == {"width": Fraction(1, 2)}
    assert found["back:along"].plain == {"height": Fraction(3, 2)}
    measures = {measure.about for measure in model.measures}
    assert measures == {
        "sheet: width",
        "sheet: height",
        "sheet: rise of over",
        "sheet: under across",
        "sheet: under along",
    }


@pytest.mark.parametrize(
    ("edge", "path", "problem"),
    [
        ({"arc": "right", "rise": 0}, "edges.2.rise", "rises by 0 mm"),
        ({"arc": "right", "rise": "-width/10"}, "edges.2.rise", "rises by -12 mm"),
        ({"arc": "right", "rise": 61}, "edges.2.rise", "more than half a circle"),
        ({"ellipse": "right"}, "edges.2.to", "no quarter of an ellipse"),
        ({"cubic": [[120, -90], [60, -90]]}, "edges.2.cubic.0", "no direction"),
        ({"cubic": [[60, -90], [0, -90]]}, "edges.2.cubic.1", "no direction"),
        ({"cubic": [[-40, -90], [160, -90]]}, "edges.2.cubic", "cusp"),
        ({"cubic": [[-120, -150], [240, -150]]}, "", "bulges 45 mm beyond the bottom"),
        ({"cubic": [[100, -100], [20, -100]]}, "", "bulges 7.5 mm beyond the bottom"),
        ({"arc": "right", "rise": "sqrt(width**2)"}, "edges.2.rise", "root"),
    ],
)
def test_what_of_a_curve_cannot_be_drawn(edge: Json, path: str, problem: str) -> None:
    (found,) = faults(with_edge(**edge))
    assert found[0] == f"pieces.sheet.outline{'.' if path else ''}{path}"
    assert problem in found[1]


def test_a_cusp_is_told() -> None:
    """(0, 0), (100, 100), (0, 100), (100, 0) upside down: x' and y' are both 0 in the middle."""
    outline = {
        "start": [0, 0],
        "edges": [
            {"name": "top", "to": [100, 0]},
            {"name": "side", "to": [100, -100]},
            {"name": "cusp", "to": [0, -100], "cubic": [[0, 0], [100, 0]]},
            {"name": "left", "to": [0, 0]},
        ],
    }
    assert ("pieces.sheet.outline.edges.2.cubic", "at the base size this curve has a cusp, or runs back on itself") in (
        faults(outline)
    )


def test_a_bulge_of_next_to_nothing_is_let_be() -> None:
    outline, _ = piece_of(with_edge(cubic=[[100, "-90 - 1/100"], [20, "-90 - 1/100"]]))
    assert outline.by_name["bottom"].length.roots


@pytest.mark.parametrize(
    ("edge", "problem"),
    [
        ({"quarter": "right", "ellipse": "right"}, "quarter and ellipse at once"),
        ({"half": "left", "cubic": [[1, 2], [3, 4]]}, "half and cubic at once"),
        ({"arc": "right"}, "no rise"),
        ({"rise": 10}, "only an arc has a rise"),
        ({"ellipse": "right", "rise": 10}, "only an arc has a rise"),
        ({"arc": "up", "rise": 3}, "edges.2.arc"),
        ({"cubic": [[1, 2]]}, "edges.2.cubic.1: it is missing"),
        ({"bezier": [[1, 2], [3, 4]]}, "bezier"),
    ],
)
def test_an_edge_is_curved_in_one_way(edge: Json, problem: str) -> None:
    with pytest.raises(DocumentFaults) as caught:
        read_pattern(sheet(with_edge(**edge)))
    assert any(problem in str(fault) for fault in caught.value.faults), caught.value.faults


def test_unknown_names_in_curves_are_told_with_their_place() -> None:
    outline = with_edge(cubic=[["wdth", -90], [60, "hight"]])
    with pytest.raises(DocumentFaults) as caught:
        read_pattern(sheet(outline))
    paths = {fault.path for fault in caught.value.faults}
    assert paths == {f"pieces.sheet.outline.edges.2.cubic.{place}" for place in ("0.0", "1.1")}


SECTOR: Json = {"sector": {"outer": "width", "inner": "width - 40", "turn": "1/4"}}
CONE: Json = {"cone": {"bottom": "width", "top": "width - 30", "height": "height", "share": "1/2"}}


def test_the_edges_of_a_sector() -> None:
    outline, model = piece_of(SECTOR)
    found = {edge.name: float(true_value(edge.length, model.draft.base)) for edge in outline.edges}
    assert list(found) == ["outer", "right", "inner", "left"]
    assert found["outer"] == pytest.approx(math.pi / 2 * 120)
    assert found["inner"] == pytest.approx(math.pi / 2 * 80)
    assert outline.by_name["right"].length.plain == {"": Fraction(40)}
    assert {m.about for m in model.measures} == {"sheet: outer radius", "sheet: inner radius"}
    assert {r.id for r in model.relations if r.origin.value == "outline"} == {"outline:sheet:inner"}


def test_the_edges_of_a_cone() -> None:
    outline, model = piece_of(CONE)
    found = {edge.name: float(true_value(edge.length, model.draft.base)) for edge in outline.edges}
    assert found["outer"] == pytest.approx(math.pi * 120)
    assert found["inner"] == pytest.approx(math.pi * 90)
    assert found["left"] == found["right"] == pytest.approx(math.hypot(30, 90))
    assert {m.about.removeprefix("sheet: ") for m in model.measures} == {"bottom radius", "top radius", "height"}
    assert {r.id for r in model.relations if r.origin.value == "outline"} == {
        "outline:sheet:inner",
        "outline:sheet:right",
    }


@pytest.mark.parametrize("nothing", [0, "0", "0 mm", "width - width", "0*height"])
def test_a_flat_that_ends_in_a_point_has_no_inner_edge(nothing: str | int) -> None:
    for outline in (
        {"sector": {"outer": "width", "inner": nothing, "turn": 0.5}},
        {"cone": {"bottom": "width", "top": nothing, "height": "height"}},
    ):
        found, model = piece_of(outline)
        assert [edge.name for edge in found.edges] == ["outer", "right", "left"]
        assert not any("inner" in relation.id for relation in model.relations)


@pytest.mark.parametrize(
    ("outline", "path", "problem"),
    [
        ({"sector": {"outer": "width", "inner": "width", "turn": "1/4"}}, "sector", "outer is 120 mm"),
        ({"sector": {"outer": "width", "inner": "width - 120", "turn": "1/4"}}, "sector.inner", "no length"),
        ({"sector": {"outer": "width", "inner": "-5", "turn": "1/4"}}, "sector.inner", "no length"),
        ({"cone": {"bottom": 60, "top": "width", "height": 50}}, "cone", "bottom is 60 mm"),
        ({"cone": {"bottom": "width", "top": 10, "height": "height - 90"}}, "cone.height", "0 mm"),
    ],
)
def test_what_of_a_flat_cannot_be_drawn(outline: Json, path: str, problem: str) -> None:
    assert any(where == f"pieces.sheet.outline.{path}" and problem in what for where, what in faults(outline))


@pytest.mark.parametrize(
    ("outline", "problem"),
    [
        ({"sector": {"outer": 60, "inner": 20, "turn": 1}}, "no part of a circle"),
        ({"sector": {"outer": 60, "inner": 20, "turn": "0"}}, "no part of a circle"),
        ({"cone": {"bottom": 60, "top": 20, "height": 40, "share": "3/2"}}, "no share of a cone"),
        ({"cone": {"bottom": 60, "top": 20}}, "missing"),
    ],
)
def test_turns_and_shares_are_parts_of_a_whole(outline: Json, problem: str) -> None:
    with pytest.raises(DocumentFaults) as caught:
        read_pattern(sheet(outline))
    assert any(problem in str(fault) for fault in caught.value.faults), caught.value.faults


def bag_with_flat() -> Json:
    document = sheet(SECTOR)
    document["pieces"]["patch"] = {"outline": {"rectangle": [20, 20]}, "layers": [{"material": "main"}]}
    return document


@pytest.mark.parametrize(
    ("path", "value", "where"),
    [
        ("coverings.on", {"piece": "patch", "over": "sheet", "clear": {"top": 5, "left": 5}}, "coverings.on.over"),
        ("coverings.on", {"piece": "sheet", "over": "patch", "clear": {"top": 5, "left": 5}}, "coverings.on.piece"),
        ("contents.card", {"in": "sheet", "object": [80, 50, 1]}, "contents.card.in"),
        ("sizes.card", {"hold": [{"in": "sheet", "object": [80, 50, 1]}]}, "sizes.card.hold.0.in"),
    ],
)
def test_nothing_is_measured_by_the_box_of_a_flat(path: str, value: Json, where: str) -> None:
    with pytest.raises(DocumentFaults) as caught:
        read_pattern(changed(bag_with_flat(), path, value))
    assert [fault.path for fault in caught.value.faults] == [where]


def test_a_request_does_not_measure_by_a_flat_either() -> None:
    pattern = read_pattern(bag_with_flat())
    with pytest.raises(RequestFaults, match="no box"):
        grade_size(pattern, request={"hold": [{"in": "sheet", "object": [80, 50, 1]}]})


def test_lines_and_measures_of_a_box_are_refused_in_a_flat() -> None:
    lined = changed(bag_with_flat(), "pieces.sheet.lines", {"fold": {"from": [0, 90], "to": [0, 100]}})
    with pytest.raises(DocumentFaults, match="lines are drawn in a flat"):
        compile_document(read_pattern(lined))
    told = changed(bag_with_flat(), "steps", [{"text": "It is {sheet.width} wide.", "action": "cut"}])
    with pytest.raises(DocumentFaults, match="no measure"):
        compile_document(read_pattern(told))
    round_it = changed(bag_with_flat(), "steps", [{"text": "It is {sheet.outer.length} round.", "action": "cut"}])
    assert grade_size(read_pattern(round_it), "base").steps == ("It is 188.50 mm round.",)


def test_a_flat_is_not_kept_to_the_width_of_its_cloth() -> None:
    wide = changed(sheet(SECTOR), "materials.main.usable_width", "100 mm")
    assert not [r for r in model_of(wide).relations if r.origin.value == "cloth"]
    boxed = changed(sheet(FLAP), "materials.main.usable_width", "300 mm")
    (cloth,) = (r for r in model_of(boxed).relations if r.origin.value == "cloth")
    assert cloth.form.plain == {"width": -1, "": 300 - 20}


@pytest.mark.parametrize("own", ["top", "corner", "sweep"])
def test_curves_are_caught_in_nothing(own: str) -> None:
    document = sheet(FLAP)
    document["pieces"]["panel"] = {"outline": FLAP, "layers": [{"material": "main"}]}
    document["coverings"] = {"on": {"piece": "sheet", "over": "panel", "caught": {own: own}}}
    with pytest.raises(DocumentFaults, match="cannot lie on each other"):
        model_of(document)


def test_constants_in_curves_are_put_on_the_ruler() -> None:
    document = sheet(with_edge(arc="left", rise="10.3 mm")) | {"ruler": "1 mm"}
    altered = {(item.path, item.before, item.after) for item in model_of(document).alterations}
    assert altered == {("pieces.sheet.outline.edges.2.rise", Fraction(103, 10), Fraction(10))}
    document = sheet(with_edge(cubic=[[100.4, -80], [20, "-80.6 mm"]]))
    paths = {item.path for item in model_of(document).alterations}
    assert paths == {f"pieces.sheet.outline.edges.2.cubic.{place}" for place in ("0.0", "1.1")}


def test_a_piece_with_curves_is_a_template() -> None:
    for outline in (FLAP, SECTOR, CONE):
        assert model_of(sheet(outline)).pieces["sheet"].is_template
