"""A bag with every kind of curve, graded to its sizes and judged by the independent verifier; and joins of curves.

The nearest sizes are checked against scipy's SLSQP on lengths that are summed from points.
"""

from __future__ import annotations

import copy
import json
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.optimize import minimize

from grading.compare.facts import outline_texts
from grading.document import Pattern
from grading.errors import Conflict, DocumentFaults, LayoutFaults
from grading.pipeline import (
    Prepared,
    check_document,
    compile_document,
    conflict_document,
    difference,
    difference_document,
    grade_document,
    grade_size,
    prove,
    range_document,
    read_document,
    size_range,
    solution_map,
    solve_batch,
)
from grading.verify import judge, judge_conflict, judge_layouts, judge_map
from grading.workroom import layouts_document, layouts_of
from tests.patterns import changed

Json = dict[str, Any]
BAG: Json = json.loads((Path(__file__).parents[1] / "curved_bag.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def bag() -> Pattern:
    return read_document(BAG)


@pytest.fixture(scope="module")
def prepared(bag: Pattern) -> Prepared:
    return compile_document(bag)


def assert_proven(document: Json, request: Json | None = None, size: str | None = None) -> Json:
    """Grade; every claim holds by the library's proof and by the verifier. The grade's document."""
    grade = grade_size(read_document(document), size, request)
    assert [claim for claim in prove(grade) if not claim.holds] == []
    written: Json = json.loads(json.dumps(grade_document(grade)))
    assert [claim for claim in judge(document, written).claims if not claim.holds] == []
    return written


@pytest.mark.parametrize("size", ["base", "small", "wide"])
def test_every_size_is_proven(size: str) -> None:
    assert_proven(BAG, size=size)


@pytest.mark.parametrize(
    "request_",
    [
        {"scale": "3/2"},
        {"scale": "7/10", "ruler": "1/2 mm"},
        {"scale": 1, "ruler": "1/8 in"},
        {"set": {"dart": "60 mm"}, "others": "at base"},
        {"set": {"hollow": "60 mm"}, "others": "at base"},
        {"set": {"rim_radius": "111 mm"}, "others": "at base"},
    ],
)
def test_sizes_asked_for_are_proven(request_: Json) -> None:
    assert_proven(BAG, request_)


def test_the_check_finds_nothing_wrong() -> None:
    found = check_document(BAG)
    assert found.sound
    assert [(note.kind, note.path) for note in found.remarks] == [
        ("few_marks_on_loop", "seams.bottom.notches"),
        ("curve_without_marks", "pieces.purse_back.notches"),
    ]


def test_a_cone_on_a_disc_joins_exactly_whatever_the_size(bag: Pattern) -> None:
    written = grade_document(grade_size(bag, "wide"))
    assert written["seams"]["bottom"]["join"] == written["seams"]["bottom"]["to"]
    relations = {relation.id: relation for relation in compile_document(bag).model.relations}
    for name in ("seam:bottom", "seam:side", "seam:dart", "seam:purse", "notch:purse:0"):
        assert relations[name].form.is_zero, name
    assert not relations["seam:mouth"].form.is_rational


def points_length(points: list[tuple[float, float]]) -> float:
    walk = np.array(points)
    return float(np.linalg.norm(np.diff(walk, axis=0), axis=1).sum())


def cubic_walk(points: list[tuple[float, float]], count: int = 4000) -> list[tuple[float, float]]:
    t = np.linspace(0, 1, count)[:, None]
    a, b, c, d = (np.array(point) for point in points)
    walk = (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t * t * (1 - t) * c + t**3 * d
    return [tuple(point) for point in walk]


def arc_walk(chord: float, rise: float, count: int = 4000) -> list[tuple[float, float]]:
    radius = (chord**2 / 4 + rise**2) / (2 * rise)
    half = np.arcsin(chord / 2 / radius)
    angle = np.linspace(-half, half, count)
    return [tuple(point) for point in np.stack([radius * np.sin(angle), radius * np.cos(angle)], axis=1)]


def trim_against_mouth(width: float, hollow: float, dip: float) -> float:
    """How much longer the mouth of the purse is than the two curves of the trim; width with the dart."""
    side = cubic_walk([(width, 0), (width * 5 / 6, -dip * 2 / 3), (width * 2 / 3, -dip), (width / 2, -dip)])
    return points_length(arc_walk(width, hollow)) - 2 * points_length(side)


def test_two_different_curves_of_one_length_decide_a_dimension(bag: Pattern) -> None:
    for request, width, hollow in (
        ({"scale": 1}, 176, 14),
        ({"set": {"hollow": "60 mm"}, "others": "at base"}, 176, 60),
    ):
        nearest = grade_size(bag, request=request).solution.nearest
        assert trim_against_mouth(width, hollow, float(nearest["trim_dip"])) == pytest.approx(0, abs=1e-4)


def test_scipy_finds_no_nearer_size_where_curves_pull_at_each_other() -> None:
    """Here the dip of the trim is wished too: it, the hollow and the width give way to each other."""
    document = changed(BAG, "dimensions.trim_dip", {"base": 30})
    grade = grade_size(read_document(document), request={"scale": 1})
    assert [claim for claim in prove(grade) if not claim.holds] == []
    nearest = {name: float(value) for name, value in grade.solution.nearest.items()}
    base = {"purse_width": 160.0, "dart": 16.0, "hollow": 14.0, "trim_dip": 30.0}

    def distance(x: Any) -> float:
        return float(sum((value / wish - 1) ** 2 for value, wish in zip(x, base.values(), strict=True)))

    def apart(x: Any) -> float:
        return trim_against_mouth(x[0] + x[1], x[2], x[3])

    found = minimize(distance, list(base.values()), constraints={"type": "eq", "fun": apart}, method="SLSQP", tol=1e-13)
    assert found.success
    ours = [nearest[name] for name in base]
    assert ours == pytest.approx(list(found.x), abs=2e-3)
    assert distance(ours) <= distance(found.x) + 1e-7
    assert abs(nearest["hollow"] - 14) > 1


def test_what_is_eased_within_the_tolerance_is_told(bag: Pattern) -> None:
    seams = grade_document(grade_size(bag, "small"))["seams"]
    join, to = (float(seams["mouth"][side].removesuffix(" mm")) for side in ("join", "to"))
    assert 0 < abs(join - to) <= 1.5


def test_a_notch_in_the_middle_of_a_curve_meets_the_corner_opposite(bag: Pattern) -> None:
    grade = grade_size(bag, "base")
    (notch,) = (claim for claim in prove(grade) if claim.about == "notch:mouth:0")
    assert notch.holds
    mouth = grade_document(grade)["pieces"]["purse_front"]
    whole = Fraction(mouth["edges"]["mouth"]["length"].removesuffix(" mm"))
    middle = Fraction(mouth["notches"]["middle"]["at"].removesuffix(" mm"))
    assert abs(whole - 2 * middle) <= Fraction(2, 100)


def test_the_edges_beside_a_dart_run_on_once_it_is_sewn() -> None:
    assert_proven(BAG, size="base")
    steps = BAG["steps"]
    late = copy.deepcopy(BAG)
    late["steps"] = [*steps[:3], *steps[4:], steps[3]]
    grade = grade_size(read_document(late), "base")
    (broken,) = (claim for claim in prove(grade) if not claim.holds)
    assert (broken.kind, broken.about) == ("chain", "purse: join")
    assert "purse_front.bottom_right does not run on to purse_front.bottom_left" in broken.left
    verdict = judge(late, grade_document(grade))
    assert [claim.kind for claim in verdict.claims if not claim.holds] == ["chain"]


def test_the_edges_beside_a_dart_run_on_without_steps_too() -> None:
    plain = {key: value for key, value in BAG.items() if key != "steps"}
    assert_proven(plain, size="base")


def test_a_dart_whose_sides_differ_is_made_equal() -> None:
    to = ["purse_width/2 + dart/2 + tip - 5", "-purse_height*3/5"]
    tipped = changed(BAG, "pieces.purse_front.outline.edges.4.to", to)
    tipped = changed(tipped, "dimensions.tip", {"base": 8, "limits": [0, 20]})
    grade = grade_size(read_document(tipped), "base")
    assert [claim for claim in prove(grade) if not claim.holds] == []
    assert abs(grade.solution.nearest["tip"] - 5) < Fraction(1, 10**9)


def test_a_curve_may_be_joined_in_parts() -> None:
    split = changed(BAG, "seams.mouth.join", [{"edge": "purse_front.mouth", "to": "60 mm"}])
    split = changed(split, "seams.mouth.to", [{"edge": "trim.top", "to": "60 mm", "direction": "forward"}])
    split = changed(split, "seams.mouth.notches", [])
    split["seams"]["rest"] = {
        "join": [{"edge": "purse_front.mouth", "from": "60 mm"}],
        "to": [{"edge": "trim.top", "from": "60 mm", "direction": "forward"}],
        "tolerance": "10 mm",
    }
    split["pieces"]["trim"]["edges"] |= {"top": {}, "dip_right": {"fate": "raw"}, "dip_left": {"fate": "raw"}}
    split["dimensions"]["trim_dip"]["sizing"] = "proportion"
    split["steps"][4]["finishes"] = ["trim.right", "trim.left"]
    split["steps"][5]["makes"] = ["mouth", "rest"]
    with pytest.raises(Conflict) as found:
        grade_size(read_document(split), "base")
    # A curve is longer than its chord, however the dimensions are chosen: nothing makes them equal.
    assert "seam:rest" in {relation.id for relation in found.value.relations}
    split["seams"]["rest"] |= {"ease": "3 mm"}
    assert_proven(split, {"set": {"purse_width": "160 mm", "dart": "16 mm"}, "others": "at base"})


def test_the_map_is_judged_to_be_the_pattern(bag: Pattern, prepared: Prepared) -> None:
    found = solution_map(bag, prepared)
    assert found["curved"] == ["seam:mouth", "notch:mouth:0", "seam:frill", "notch:frill:0"]
    assert list(found["map"]) == ["flounce_radius"]
    assert [claim for claim in judge_map(BAG, found).claims if not claim.holds] == []


@pytest.mark.parametrize(
    "request_",
    [
        {"set": {"rim_radius": "100 mm", "base_radius": "150 mm"}},
        {"set": {"hollow": "95 mm", "purse_width": "160 mm", "dart": "16 mm"}},
    ],
)
def test_conflicts_are_shown(bag: Pattern, request_: Json) -> None:
    with pytest.raises(Conflict) as found:
        grade_size(bag, request=request_)
    written = json.loads(json.dumps(conflict_document(found.value)))
    assert written["certificate"]
    assert [claim for claim in judge_conflict(BAG, written).claims if not claim.holds] == []


def test_a_curve_that_cannot_be_as_long_is_a_conflict_without_a_certificate(bag: Pattern) -> None:
    """A trim with no dip is as long as its chord, and the mouth that hangs is longer."""
    flat = changed(BAG, "rules", {"flat": {"holds": "trim_dip <= 1/10*hollow", "because": "it is to lie flat"}})
    with pytest.raises(Conflict) as found:
        grade_size(read_document(flat), request={"set": {"hollow": "60 mm"}, "others": "at base"})
    names = {relation.id for relation in found.value.relations}
    assert {"rule:flat", "seam:mouth"} <= names or {"rule:flat", "notch:mouth:0"} <= names
    assert conflict_document(found.value)["certificate"] == []


def test_nothing_is_proven_of_ranges_with_curves(prepared: Prepared) -> None:
    found = range_document(size_range(prepared, {"purse_width": ("150 mm", "170 mm")}, "at base"), prepared)
    assert not found["proven"]
    assert "slanted or curved" in found["obstacles"][0]["says"]
    assert found["sizes"]


def test_batches_are_found_row_by_row(bag: Pattern, prepared: Prepared) -> None:
    batch = solve_batch(prepared, {"columns": ["hollow"], "rows": [[14], [30], [60]], "others": "at base"})
    for row, hollow in enumerate((14, 30, 60)):
        request = {"set": {"hollow": f"{hollow} mm"}, "others": "at base"}
        single = grade_size(bag, request=request, prepared=prepared).solution.nearest
        found = batch.values[row]
        names = list(batch.dimensions)
        assert float(found[names.index("trim_dip")]) == pytest.approx(float(single["trim_dip"]), abs=1e-6)


def test_revisions_with_other_curves_differ(bag: Pattern) -> None:
    other = changed(BAG, "pieces.purse_back.outline.edges.0.cubic.0", [0, "flap_drop/2"])
    other = changed(other, "pieces.purse_back.outline.edges.1.cubic.1", ["purse_width", "flap_drop/2"])
    found = difference_document(difference(bag, read_document(other)))
    base = next(size for size in found["sizes"] if size["name"] == "base")
    assert base["refused"] == {"before": None, "after": None}
    (flap,) = (piece for piece in base["pieces"] if piece["name"] == "purse_back")
    assert [(change["what"], change["by"]) for change in flap["changes"]] == [
        ("edge flap_left", "-1.62 mm"),
        ("edge flap_right", "-1.62 mm"),
    ]


def test_outlines_are_compared_by_the_inner_points_of_their_cubics() -> None:
    other = changed(
        BAG, "pieces.trim.outline.edges.2.cubic.1", ["(purse_width + dart)*11/16", "-trim_depth - trim_dip"]
    )
    other = changed(
        other, "pieces.trim.outline.edges.3.cubic.0", ["(purse_width + dart)*5/16", "-trim_depth - trim_dip"]
    )
    before, after = (outline_texts(grade_size(read_document(each), "base"))["trim"] for each in (BAG, other))
    assert "by (146.67 mm, -35.33 mm), by (117.33 mm, -40 mm)" in before
    assert "by (146.67 mm, -35.33 mm), by (121 mm, -40 mm)" in after


def test_crossings_and_bulges_at_a_size_are_told() -> None:
    """Drawn soundly at the base size; a hollow that is asked to be deeper than the purse runs out of its sides."""
    document = changed(BAG, "pieces.purse_front.outline.edges.0.rise", "hollow")
    grade = grade_size(
        read_document(document), request={"set": {"hollow": "86 mm", "purse_height": "60 mm"}, "others": "at base"}
    )
    broken = {claim.about for claim in prove(grade) if not claim.holds}
    assert broken == {"purse_front"}
    verdict = judge(document, json.loads(json.dumps(grade_document(grade))))
    assert "closed" in {claim.kind for claim in verdict.claims if not claim.holds}


def test_a_pattern_of_many_curves_is_drawn_edge_by_edge() -> None:
    """Twenty scallops, each a cubic of its own, sewn to their mirror image: all of it cancels."""
    points = [(40 * number, 0) for number in range(21)]
    edges = [
        {
            "name": f"s{number}",
            "to": [f"width*{b}/800", 0],
            "cubic": [[f"width*{a + 5}/800", -20], [f"width*{b - 5}/800", -20]],
        }
        for number, ((a, _), (b, _)) in enumerate(pairwise(points))
    ]
    edges += [{"name": "right", "to": ["width", -90]}, {"name": "low", "to": [0, -90]}, {"name": "left", "to": [0, 0]}]
    scallops = [f"s{number}" for number in range(20)]
    document: Json = {
        "format": 1,
        "name": "Scalloped",
        "dimensions": {"width": {"base": 800}},
        "materials": {"main": {}},
        "pieces": {
            "panel": {
                "uses": ["front", {"name": "back", "mirrored": True}],
                "outline": {"start": [0, 0], "edges": edges},
                "edges": {name: {"fate": "raw"} for name in ("right", "low", "left")},
                "layers": [{"material": "main"}],
            }
        },
        "seams": {
            "edge": {
                "join": [f"front.{name}" for name in scallops],
                "to": [f"back.{name} forward" for name in scallops],
            }
        },
    }
    written = assert_proven(document, {"scale": "5/4"})
    assert written["dimensions"]["width"]["value"] == "1000 mm"


def test_a_draft_with_a_cusp_is_refused() -> None:
    with pytest.raises(DocumentFaults, match="cusp"):
        read_document(
            changed(BAG, "pieces.purse_back.outline.edges.0.cubic", [["purse_width/2 + 10", "flap_drop"], [10, 0]])
        )


@pytest.mark.parametrize("direction", ["any", "one-way"])
def test_the_cloth_of_curved_pieces_is_laid_and_judged(direction: str) -> None:
    document = changed(BAG, "materials.main.direction", direction)
    for name, edge in (("body", "outer"), ("base", None), ("trim", "top"), ("band", "top"), ("flounce", "outer")):
        document = document if edge is None else changed(document, f"pieces.{name}.up", edge)
    grade = grade_size(read_document(document), "base")
    laid = json.loads(json.dumps(layouts_document(layouts_of(grade, {"effort": "quick"}))))
    written = json.loads(json.dumps(grade_document(grade)))
    assert [claim for claim in judge_layouts(document, written, laid).claims if not claim.holds] == []


def test_no_print_runs_on_over_the_side_of_a_flat() -> None:
    document = changed(BAG, "materials.main.repeat", {"across": "120 mm", "along": "80 mm"})
    document = changed(document, "seams.side.match", True)
    with pytest.raises(LayoutFaults, match="not drawn on opposite sides"):
        layouts_of(grade_size(read_document(document), "base"), {"effort": "quick"})
