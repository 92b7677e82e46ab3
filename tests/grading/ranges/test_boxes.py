"""Boxes of sizes: what is proven can be made, and what cannot be made is not proven."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from grading.model import pose
from grading.pipeline import Prepared, compile_document, find_request, read_document, resolved
from grading.ranges import Box, examine, prove_box
from grading.ranges.affine import affine_size, value_at
from grading.ranges.proving import Branch
from grading.solve import solve
from tests.benchmarks import demo

BOXES = {
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
    assert 518 <= found.proven.sides["width"][1] <= 520
    assert all(size["width"] <= 520 for size in found.listed)


def test_a_box_up_to_a_limit_leaves_no_room_for_the_ruler() -> None:
    made = prepared("market_tote")
    up_to = Box({"width": (Fraction(300), Fraction(520))}, "at base")
    short_of = Box({"width": (Fraction(300), Fraction(519))}, "at base")
    verdict = prove_box(made.model, made.compiled, up_to)
    assert [obstacle.path for obstacle in verdict.obstacles] == ["dimensions.width.limits"]
    assert verdict.obstacles[0].room == 0
    assert prove_box(made.model, made.compiled, short_of).proven


def test_the_largest_proven_box_is_proven_and_lies_within_the_one_asked_for() -> None:
    made = prepared("allotment_tool_roll")
    asked = Box({"place": (Fraction(100), Fraction(140))}, "in proportion")
    found = examine(made.model, made.compiled, asked)
    assert found.proven is not None
    assert prove_box(made.model, made.compiled, found.proven).proven
    for name, (least, most) in found.proven.sides.items():
        assert asked.sides[name][0] <= least <= most <= asked.sides[name][1]
