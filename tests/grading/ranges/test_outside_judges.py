"""What is claimed of boxes, judged by z3, which shares nothing with the proof and reckons in exact numbers."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

import pytest
import z3

from grading.exact import PI40
from grading.form import Form
from grading.model import Problem, Relation, pose
from grading.model.relation import Origin
from grading.pipeline import Prepared, prepare, range_variant, read_document, size_range
from grading.ranges import Box, Others, prove_box
from grading.ranges.affine import Branch, affine_size, value_at
from grading.ranges.proving import moved_over, relations_of
from grading.ranges.rounding import Movement
from grading.solve import solve
from tests.benchmarks import demo
from tests.benchmarks.ranges import drawn
from tests.grading.solve.conflicts import z3_form, z3_value
from tests.grading.verify import pouch as rounded
from tests.patterns import changed, pouch

SEED = 20_261_127
ROUNDED = changed(rounded.PATTERN, "findings.loop.count", 2)
HELD = {Origin.ASKED, Origin.FIXED, Origin.KEPT}
ROUNDED_BOX = {"width": (Fraction(230), Fraction(290)), "height": (Fraction(140), Fraction(200))}


def prepared(document: dict[str, Any]) -> Prepared:
    pattern = read_document(document)
    return prepare(pattern, range_variant(pattern))


def nearest_in(solver: z3.Solver, made: Prepared, box: Box) -> tuple[Problem, dict[str, z3.ArithRef]]:
    """The nearest point on the equations alone for any size of the box, by its conditions of optimality."""
    problem = pose(made.model, box.request(box.middle))
    at = {name: z3.Real(name) for name in problem.dimensions}
    asked = {name: z3.Real(f"asked {name}") for name in box.sides}
    for name, (least, most) in box.sides.items():
        solver.add(asked[name] >= z3_value(least), asked[name] <= z3_value(most))
    ratios = [asked[name] / z3_value(problem.base[name]) for name in asked if name in problem.weight]
    factor = z3.Sum(*ratios, z3.RealVal(0)) / len(ratios) if box.others == "in proportion" else z3.RealVal(1)
    pull: dict[str, z3.ArithRef] = {name: z3.RealVal(0) for name in at}
    for number, relation in enumerate(each for each in problem.relations if each.is_equation):
        multiplier = z3.Real(f"multiplier {number}")
        name = relation.path.rpartition(".")[2]
        if relation.origin is Origin.ASKED:
            solver.add(at[name] == asked[name])
            pull[name] += multiplier
            continue
        solver.add(z3_form(relation.form, at) == 0)
        for each in relation.form.names:
            slope = relation.form.plain.get(each, Fraction(0)) + PI40 * relation.form.pi.get(each, Fraction(0))
            pull[each] += z3_value(slope) * multiplier
    for name, value in at.items():
        weight = problem.weight.get(name, Fraction(0))
        wish = asked.get(name, z3_value(problem.base[name]) * factor)
        solver.add(2 * z3_value(weight) * (value - wish) == pull[name])
    return problem, at


CASES: list[tuple[str, dict[str, Any], dict[str, tuple[Fraction, Fraction]], Others]] = [
    ("flat", pouch(), {"width": (Fraction(100), Fraction(190)), "height": (Fraction(80), Fraction(110))}, "at base"),
    ("flat", pouch(), {"width": (Fraction(100), Fraction(160))}, "in proportion"),
    ("rounded", ROUNDED, ROUNDED_BOX, "at base"),
    ("rounded", ROUNDED, {"height": (Fraction(140), Fraction(170))}, "in proportion"),
]


@pytest.mark.parametrize(("name", "document", "sides", "others"), CASES)
def test_in_a_proven_box_no_rule_fails_before_the_ruler_by_z3(
    name: str, document: dict[str, Any], sides: dict[str, tuple[Fraction, Fraction]], others: Others
) -> None:
    made, box = prepared(document), Box(sides, others)
    assert prove_box(made.model, made.compiled, box).proven, name
    solver = z3.Solver()
    problem, at = nearest_in(solver, made, box)
    assert solver.check() == z3.sat
    inequalities = [relation for relation in problem.relations if not relation.is_equation]
    solver.add(z3.Or(*[z3_form(relation.form, at) < 0 for relation in inequalities]))
    assert solver.check() == z3.unsat


def test_beyond_a_proven_box_z3_finds_the_failing_size_that_is_told() -> None:
    made = prepared(pouch())
    box = Box({"width": (Fraction(100), Fraction(210))}, "at base")
    (obstacle,) = prove_box(made.model, made.compiled, box).obstacles
    solver = z3.Solver()
    problem, at = nearest_in(solver, made, box)
    broken = next(relation for relation in problem.relations if relation.says == obstacle.says)
    assert obstacle.room is not None
    solver.add(z3_form(broken.form, at) <= z3_value(obstacle.room))
    assert solver.check() == z3.sat
    assert solver.model()[at["width"]].as_fraction() == 210
    solver.add(z3_form(broken.form, at) < z3_value(obstacle.room))
    assert solver.check() == z3.unsat


def moved_in(made: Prepared, box: Box, size: Mapping[str, Fraction]) -> tuple[Movement, Problem, tuple[Relation, ...]]:
    """The bound that is claimed, for the branch of stock that this size has."""
    problem = pose(made.model, box.request(size))
    branch = Branch(solve(problem, made.compiled).stock, Fraction(0))
    affine = affine_size(made.model, made.compiled, box, branch)
    relations = relations_of(made.model, affine, branch)
    return moved_over(affine, relations), problem, relations


def rows_of(relations: tuple[Relation, ...]) -> Iterator[tuple[Form, Fraction | None, Fraction]]:
    """The relations as forms from least to most; on the ruler what stands with pi holds apart where it is exact."""
    for relation in relations:
        if relation.origin in HELD:
            continue
        if not relation.is_equation:
            yield -relation.form, None, Fraction(0)
        elif relation.tolerance is not None:
            yield relation.form, -relation.tolerance, relation.tolerance
        else:
            yield Form(relation.form.plain), Fraction(0), Fraction(0)
            yield Form(relation.form.pi), Fraction(0), Fraction(0)


def assert_on_ruler_within_bounds(made: Prepared, box: Box, size: Mapping[str, Fraction]) -> None:
    """There is a size on the ruler that keeps everything, no dimension further off than the bound that is claimed."""
    moved, problem, relations = moved_in(made, box, size)
    nearest = solve(problem, made.compiled).nearest
    solver = z3.Solver()
    at = {name: z3.Real(name) for name in problem.dimensions}
    for number, measure in enumerate(problem.measures):
        steps = z3.ToReal(z3.Int(f"steps {number}"))
        solver.add(z3_form(measure.form, at) == steps * z3_value(problem.ruler.step))
    for form, least, most in rows_of(relations):
        solver.add(z3_form(form, at) <= z3_value(most))
        if least is not None:
            solver.add(z3_form(form, at) >= z3_value(least))
    for name, value in nearest.items():
        bound = moved.of_dimension(name)
        assert bound <= problem.reach[name]
        solver.add(at[name] <= z3_value(value + bound), at[name] >= z3_value(value - bound))
    assert solver.check() == z3.sat


@pytest.mark.parametrize("others", ["at base", "in proportion"])
def test_a_rounded_size_lies_on_the_ruler_within_the_bounds_of_movement_by_z3(others: Others) -> None:
    made, generator = prepared(ROUNDED), random.Random(SEED)
    box = Box(ROUNDED_BOX if others == "at base" else {"height": (Fraction(140), Fraction(170))}, others)
    assert prove_box(made.model, made.compiled, box).proven
    for _ in range(8):
        assert_on_ruler_within_bounds(made, box, drawn(box, generator))


@pytest.mark.parametrize("name", demo.names())
def test_sizes_of_the_demos_lie_on_the_ruler_within_the_bounds_of_movement_by_z3(name: str) -> None:
    made, generator = prepared(demo.document(name)), random.Random(SEED)
    found = size_range(made)
    assert found.verdict.proven
    for _ in range(4):
        assert_on_ruler_within_bounds(made, found.asked, drawn(found.asked, generator))


@pytest.mark.parametrize("name", demo.names())
def test_what_is_printed_changes_no_more_in_sum_than_the_bounds_of_movement(name: str) -> None:
    """The printed size changes least in the weighted sum of section 5, so not more than the size that is shown."""
    made, generator = prepared(demo.document(name)), random.Random(SEED)
    box = size_range(made).asked
    for _ in range(5):
        size = drawn(box, generator)
        moved, problem, _ = moved_in(made, box, size)
        solution = solve(problem, made.compiled)
        held = {one for each in problem.relations if each.origin in HELD for one in each.form.names}
        changes = bounds = Fraction(0)
        for dimension, value in solution.nearest.items():
            cost = Fraction(100 if dimension in held else 1) / max(abs(value), Fraction(20))
            changes += cost * abs(solution.printed[dimension] - value)
            bounds += cost * moved.of_dimension(dimension)
        assert changes <= bounds + Fraction(1, 10**6)


def test_the_affine_size_is_the_nearest_one_with_each_stock_that_is_chosen() -> None:
    document = changed(pouch(), "dimensions.zip_length", {"base": 120, "sizing": "stock", "stock": "zips"})
    document = changed(document, "rules.zip", {"holds": "zip_length <= width", "because": "the zip ends in the seams"})
    made, generator = prepared(document), random.Random(SEED)
    box = Box({"width": (Fraction(121), Fraction(150)), "height": (Fraction(90), Fraction(100))}, "in proportion")
    assert prove_box(made.model, made.compiled, box).proven
    for _ in range(10):
        size = drawn(box, generator)
        solution = solve(pose(made.model, box.request(size)), made.compiled)
        affine = affine_size(made.model, made.compiled, box, Branch(solution.stock, Fraction(0)))
        assert {each: value_at(affine.dimensions[each], size) for each in solution.nearest} == solution.nearest
