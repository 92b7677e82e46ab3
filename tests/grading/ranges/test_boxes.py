"""Boxes of sizes: what is proven can be made, and what cannot be made is not proven."""

from __future__ import annotations

import random
from fractions import Fraction
from typing import Any

import pytest

from grading.model import pose
from grading.pipeline import (
    Prepared,
    compile_document,
    find_request,
    prepare,
    range_variant,
    read_document,
    resolved,
)
from grading.ranges import Box, Others, Verdict, examine, prove_box
from grading.ranges.affine import Branch, affine_size, value_at
from grading.solve import solve
from tests.benchmarks import demo
from tests.patterns import changed, pouch

BOXES: dict[str, tuple[dict[str, tuple[int, int]], Others]] = {
    "market_tote": ({"width": (300, 420), "height": (330, 450), "depth": (90, 150)}, "at base"),
    "ferry_day_pack": ({"width": (295, 320), "height": (395, 410)}, "in proportion"),
    "allotment_tool_roll": ({"place": (115, 130), "height": (360, 398)}, "in proportion"),
}
SEED = 20_261_125


def prepared(name: str) -> Prepared:
    pattern = read_document(demo.document(name))
    return compile_document(resolved(pattern, find_request(pattern, "base")[1]))


def box_of(name: str) -> Box:
    sides, others = BOXES[name]
    return Box({key: (Fraction(least), Fraction(most)) for key, (least, most) in sides.items()}, others)


def random_size(box: Box, generator: random.Random) -> dict[str, Fraction]:
    return {
        name: least + Fraction(generator.randint(0, int((most - least) * 10)), 10)
        for name, (least, most) in box.sides.items()
    }


@pytest.mark.parametrize("name", BOXES)
def test_every_size_drawn_from_a_proven_box_can_be_made_and_is_the_affine_one(name: str) -> None:
    made, box, generator = prepared(name), box_of(name), random.Random(SEED)
    assert prove_box(made.model, made.compiled, box).proven
    for _ in range(12):
        size = random_size(box, generator)
        problem = pose(made.model, box.request(size))
        solution = solve(problem, made.compiled)
        affine = affine_size(made.model, made.compiled, box, Branch(dict(solution.stock), Fraction(0)))
        for dimension, value in solution.nearest.items():
            assert value_at(affine.dimensions[dimension], size) == value
        for dimension, value in solution.printed.items():
            assert abs(value - solution.nearest[dimension]) <= problem.reach[dimension]


def test_a_box_with_a_size_that_cannot_be_made_is_not_proven_and_the_size_is_shown() -> None:
    made = prepared("market_tote")
    box = Box({"width": (Fraction(300), Fraction(600))}, "at base")
    found = examine(made.model, made.compiled, box)
    assert not found.verdict.proven
    assert found.counterexample is not None
    assert found.counterexample.size["width"] > 520
    assert "at most 520 mm" in found.counterexample.reason
    assert found.proven is not None
    assert found.proven.sides["width"] == (Fraction(300), Fraction(520))
    assert all(size["width"] <= 520 for size in found.listed)


def test_a_box_may_reach_up_to_a_limit_on_the_ruler_but_not_beyond() -> None:
    made = prepared("market_tote")
    up_to = Box({"width": (Fraction(300), Fraction(520))}, "at base")
    beyond = Box({"width": (Fraction(300), Fraction(5201, 10))}, "at base")
    assert prove_box(made.model, made.compiled, up_to).proven
    verdict = prove_box(made.model, made.compiled, beyond)
    assert [obstacle.path for obstacle in verdict.obstacles] == ["dimensions.width.limits"]
    assert verdict.obstacles[0].room == Fraction(-1, 10)
    # By hand: what is asked just below the limit goes up to it on the ruler, and 520 mm is allowed.
    request = up_to.request({"width": Fraction(5199, 10)})
    assert solve(pose(made.model, request), made.compiled).printed["width"] == 520


def test_a_limit_off_the_ruler_needs_room_for_the_ruler() -> None:
    document = changed(demo.document("market_tote"), "dimensions.width.limits", [220, "519.4 mm"])
    made = compile_document(resolved(read_document(document), find_request(read_document(document), "base")[1]))
    near = Box({"width": (Fraction(300), Fraction(5194, 10))}, "at base")
    assert not prove_box(made.model, made.compiled, near).proven


def test_the_largest_proven_box_is_proven_and_lies_within_the_one_asked_for() -> None:
    made = prepared("allotment_tool_roll")
    asked = Box({"place": (Fraction(100), Fraction(140))}, "in proportion")
    found = examine(made.model, made.compiled, asked)
    assert found.proven is not None
    assert prove_box(made.model, made.compiled, found.proven).proven
    for name, (least, most) in found.proven.sides.items():
        assert asked.sides[name][0] <= least <= most <= asked.sides[name][1]


def pouch_box(document: dict[str, Any], **sides: tuple[int, int]) -> Verdict:
    pattern = read_document(document)
    made = prepare(pattern, range_variant(pattern))
    box = Box({name: (Fraction(least), Fraction(most)) for name, (least, most) in sides.items()}, "at base")
    return prove_box(made.model, made.compiled, box)


def test_a_rule_with_pi_that_no_ruler_meets_is_never_proven() -> None:
    document = changed(pouch(), "dimensions.ring", {"base": 377, "sizing": "decided"})
    document = changed(document, "rules.ring", {"holds": "ring == pi*width", "because": "it goes round"})
    assert pouch_box(pouch(), width=(100, 150)).proven
    (obstacle,) = pouch_box(document, width=(100, 150)).obstacles
    assert obstacle.path == "rules.ring"
    assert "no ruler meets it exactly" in obstacle.says


def test_nothing_is_shown_of_slanted_lengths_in_rules() -> None:
    rule = {"holds": "sqrt(width*width + height*height) <= 400", "because": "it has to fit the shelf"}
    (obstacle,) = pouch_box(changed(pouch(), "rules.slant", rule), width=(100, 150)).obstacles
    assert obstacle.path == "rules.slant"


def test_a_width_that_has_to_be_one_in_stock_is_not_proven_between_them() -> None:
    document = changed(pouch(), "dimensions.zip_length", {"base": 120, "sizing": "stock", "stock": "zips"})
    tied = changed(document, "rules.zip", {"holds": "zip_length == width", "because": "the zip is as long as it"})
    assert not pouch_box(tied, width=(100, 150)).proven


def test_a_stock_that_contradicts_a_rule_at_every_size_is_passed_over() -> None:
    document = changed(pouch(), "dimensions.zip_length", {"base": 120, "sizing": "stock", "stock": "zips"})
    fixed = changed(document, "rules.zip", {"holds": "zip_length == 150", "because": "only this one fits"})
    verdict = pouch_box(fixed, width=(100, 150))
    assert (verdict.proven, verdict.branches) == (True, 1)


def test_each_stock_that_may_be_the_nearest_has_to_be_proven() -> None:
    # The nearest zip is 120 mm, and 150 mm where the rule forbids it: in the box up to 119 mm of width it does.
    document = changed(pouch(), "dimensions.zip_length", {"base": 120, "sizing": "stock", "stock": "zips"})
    longer = changed(document, "rules.zip", {"holds": "zip_length >= 240 - width", "because": "the hand goes in"})
    assert pouch_box(longer, width=(121, 150)).proven
    assert [each.path for each in pouch_box(longer, width=(110, 150)).obstacles] == ["rules.zip"]


def test_an_ease_that_no_size_can_have_on_its_ruler_is_told_by_grading_the_middle() -> None:
    flap = {"outline": {"rectangle": ["flap_width", 40]}, "layers": [{"material": "main"}]}
    document = changed(changed(pouch(), "pieces.flap", flap), "seam_tolerance", "0.1 mm")
    document = changed(document, "dimensions.flap_width", {"base": 122, "sizing": "decided"})
    seam = {"join": ["flap.bottom"], "to": ["back.top"], "ease": "2.5 mm"}
    pattern = read_document(changed(document, "seams.flap", seam))
    made = prepare(pattern, range_variant(pattern))
    found = examine(made.model, made.compiled, Box({"height": (Fraction(80), Fraction(100))}, "at base"))
    assert not found.verdict.proven
    assert found.proven is None
    assert found.counterexample is not None
    assert "flap.bottom" in found.counterexample.reason
