"""The nearest point, against answers by hand, NumPy, FLINT and SciPy."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from random import Random

import flint
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, minimize

from grading.errors import Conflict, DocumentFaults, Stopped
from grading.exact import PI40
from grading.form import Form, dimension, hypotenuse, length
from grading.model.problem import Problem
from grading.model.relation import Origin
from grading.solve import solve
from tests.grading.solve.certificate import assert_certified
from tests.grading.solve.drafts import Draft, form
from tests.grading.solve.generated import generated_problem


def test_two_edges_of_a_seam_meet_in_the_middle_of_their_wishes() -> None:
    draft = Draft()
    draft.proportion("front", 100)
    draft.proportion("back", 100)
    draft.equal("seam:side", form(front=1, back=-1))
    problem = draft.problem({"front": 110, "back": 104})
    solution = solve(problem)
    # By hand: equal weights, so the mean; 2 (107 - 110) / 100² is what the seam pulls with.
    assert solution.nearest == {"front": 107, "back": 107}
    assert solution.multipliers == {"seam:side": Fraction(-6, 10_000)}
    assert_certified(problem, solution)


def test_heavier_edge_moves_less() -> None:
    draft = Draft()
    draft.proportion("short", 100)
    draft.proportion("long", 300)
    draft.equal("rule:thrice", form(long=1, short=-3))
    solution = solve(draft.problem({"short": 100, "long": 330}))
    # By hand: minimise (s - 100)²/100² + (3 s - 330)²/300², that is (s - 100)² + (s - 110)².
    assert solution.nearest == {"short": 105, "long": 315}


def test_limit_binds_and_says_with_what_force() -> None:
    draft = Draft()
    draft.proportion("pocket", 100)
    draft.at_least("rule:fits", form(90, pocket=-1))
    problem = draft.problem()
    solution = solve(problem)
    assert solution.nearest == {"pocket": 90}
    # By hand: 2 (90 - 100) / 100² = -1 × multiplier.
    assert solution.multipliers == {"rule:fits": Fraction(20, 10_000)}


def test_limit_that_does_not_bind_has_no_multiplier() -> None:
    draft = Draft()
    draft.proportion("pocket", 100)
    draft.at_least("rule:fits", form(100, pocket=-1))
    assert solve(draft.problem()).multipliers == {}


def test_ring_around_a_disc_uses_the_stated_pi() -> None:
    draft = Draft()
    draft.proportion("radius", 50)
    draft.decide("ring")
    draft.equal("seam:ring", dimension("ring") - dimension("radius").times(2).times_pi(), tolerance="1.5")
    problem = draft.problem({"radius": 60})
    solution = solve(problem)
    assert solution.nearest["ring"] == 120 * PI40
    assert_certified(problem, solution)


def test_ring_pulls_the_disc_through_pi() -> None:
    draft = Draft()
    draft.proportion("radius", 50)
    draft.proportion("ring", 300)
    draft.equal("seam:ring", dimension("ring") - dimension("radius").times(2).times_pi(), tolerance="1.5")
    problem = draft.problem()
    solution = solve(problem)
    # By hand: minimise (r - 50)²/50² + (2 pi r - 300)²/300², whose slope is zero at the quotient below.
    r = (Fraction(1, 50) + 2 * PI40 / 300) / (Fraction(1, 2500) + 4 * PI40**2 / 90_000)
    assert solution.nearest == {"radius": r, "ring": 2 * PI40 * r}
    assert_certified(problem, solution)


def test_slanted_edge_is_followed_to_a_billionth() -> None:
    draft = Draft()
    draft.proportion("across", 30)
    draft.proportion("along", 40)
    draft.proportion("binding", 60)
    slant = hypotenuse(dimension("across"), dimension("along"))
    draft.equal("seam:binding", dimension("binding") - slant, tolerance="1.5")
    problem = draft.problem()
    solution = solve(problem)
    assert_certified(problem, solution)
    result = minimize(
        lambda x: ((x - [30, 40, 60]) ** 2 / np.square([30, 40, 60])).sum() * 1e3,
        [30, 40, 60],
        method="SLSQP",
        constraints={"type": "eq", "fun": lambda x: x[2] - np.hypot(x[0], x[1])},
        options={"ftol": 1e-15, "maxiter": 500},
    )
    assert [float(solution.nearest[name]) for name in problem.dimensions] == pytest.approx(result.x, abs=1e-4)


def test_roots_over_equal_edges_cancel_and_the_certificate_names_the_seam_as_written() -> None:
    draft = Draft()
    for name, base in {"across": 30, "along": 40, "top": 100, "foot": 90}.items():
        draft.proportion(name, base)
    for name in ("across", "along"):
        draft.decide(f"lining_{name}")
        draft.equal(f"covering:{name}", form(**{f"lining_{name}": 1, name: -1}), Origin.COVERING)
    flap = hypotenuse(dimension("across"), dimension("along"))
    lining = hypotenuse(dimension("lining_across"), dimension("lining_along"))
    draft.equal("seam:round", dimension("top") + flap - dimension("foot") - lining, tolerance="1.5")
    problem = draft.problem()
    solution = solve(problem)
    assert solution.nearest["top"] == solution.nearest["foot"]
    assert solution.multipliers.keys() == {"seam:round", "covering:across", "covering:along"}
    assert_certified(problem, solution)


def test_rows_that_say_the_same_twice_are_no_obstacle() -> None:
    draft = Draft()
    draft.proportion("front", 100)
    draft.proportion("back", 120)
    draft.equal("seam:left", form(front=1, back=-1))
    draft.equal("seam:right", form(front=1, back=-1))
    for number in range(4):
        draft.at_least(f"rule:{number}", form(100, front=-1))
        draft.at_least(f"rule:sum {number}", form(200, front=-1, back=-1))
    problem = draft.problem()
    solution = solve(problem)
    assert solution.nearest == {"front": 100, "back": 100}
    assert_certified(problem, solution)


def test_equation_written_as_two_inequalities_holds_exactly() -> None:
    draft = Draft()
    draft.proportion("front", 100)
    draft.proportion("back", 133)
    draft.at_least("rule:not above", form(back=1, front=-1))
    draft.at_least("rule:not below", form(front=1, back=-1))
    problem = draft.problem()
    solution = solve(problem)
    assert solution.nearest["front"] == solution.nearest["back"]
    assert_certified(problem, solution)


def test_dimension_that_nothing_decides_is_a_fault_of_the_document() -> None:
    draft = Draft()
    draft.proportion("front", 100)
    draft.decide("left")
    draft.decide("right")
    draft.equal("seam:sum", form(front=1, left=-1, right=-1))
    with pytest.raises(DocumentFaults) as caught:
        solve(draft.problem())
    assert [fault.path for fault in caught.value.faults] == ["dimensions.left", "dimensions.right"]


def test_withheld_relation_is_left_out_of_the_whole_size() -> None:
    draft = Draft()
    draft.proportion("front", 100)
    draft.proportion("back", 120)
    draft.fix("hem", 20)
    draft.equal("seam:side", form(front=1, back=-1))
    draft.measure(form(front=1), form(back=1), form(hem=1))
    problem = draft.problem()
    free = solve(problem, withhold=frozenset({"seam:side"}))
    assert free.nearest == free.printed == {"front": 100, "back": 120, "hem": 20}
    assert solve(problem, withhold=frozenset({"fixed:hem"})).nearest["hem"] == 20


def test_caller_can_stop() -> None:
    with pytest.raises(Stopped):
        solve(generated_problem(), stop=lambda: True)


def test_stop_is_heeded_whenever_it_comes() -> None:
    problem = generated_problem()
    asked: list[int] = []

    def count() -> bool:
        asked.append(1)
        return False

    solve(problem, stop=count)
    assert len(asked) > 3
    for patience in range(len(asked)):
        left = iter(range(patience))
        with pytest.raises(Stopped):
            solve(problem, stop=lambda: next(left, None) is None)  # noqa: B023


def random_problem(random: Random, dimensions: int, equations: int, inequalities: int) -> Problem:
    """A problem whose equations and inequalities hold at a drawn point, some of them just so."""
    draft = Draft()
    names = [f"d{index}" for index in range(dimensions)]
    inside = {}
    for name in names:
        inside[name] = Fraction(random.randint(20, 400))
        draft.proportion(name, random.randint(20, 400), None)
    for index in range(equations + inequalities):
        some = random.sample(names, random.randint(1, min(4, dimensions)))
        row = {name: Fraction(random.choice([-3, -2, -1, 1, 1, 2, 3]), random.choice([1, 1, 2])) for name in some}
        row[""] = -sum(row[name] * inside[name] for name in some)
        if index < equations:
            draft.equal(f"seam:{index}", Form({name: value for name, value in row.items() if value}))
        else:
            row[""] += random.choice([0, 0, 1, 20])
            draft.at_least(f"rule:{index}", Form({name: value for name, value in row.items() if value}))
    return draft.problem()


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.integers(0, 10**6))
def test_certificates_of_random_problems_hold_exactly(seed: int) -> None:
    random = Random(seed)
    problem = random_problem(random, random.randint(2, 12), random.randint(0, 4), random.randint(0, 25))
    assert_certified(problem, solve(problem))


@settings(max_examples=30, deadline=None, derandomize=True)
@given(st.integers(0, 10**6))
def test_nearest_is_as_near_as_scipy_finds(seed: int) -> None:
    random = Random(seed)
    problem = random_problem(random, random.randint(2, 7), random.randint(0, 2), random.randint(1, 12))
    found = solve(problem).nearest
    names = problem.dimensions
    base = np.array([float(problem.base[name]) for name in names])
    wish = np.array([float(problem.wish[name]) for name in names])
    constraints = []
    for relation in problem.relations:
        row = np.array([float(relation.form.plain.get(name, 0)) for name in names]) * base
        size = np.linalg.norm(row)
        low = -float(relation.form.constant) / size
        constraints.append(LinearConstraint(row / size, low, low if relation.is_equation else np.inf))

    def cost(relative: np.ndarray) -> float:
        return float(((relative - wish / base) ** 2).sum())

    own = np.array([float(found[name]) for name in names]) / base
    result = minimize(
        cost,
        own,
        jac=lambda relative: 2 * (relative - wish / base),
        method="SLSQP",
        constraints=constraints,
        options={"ftol": 1e-12, "maxiter": 1000},
    )
    assert result.success
    assert cost(own) == pytest.approx(result.fun, rel=1e-6, abs=1e-9)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(st.integers(0, 10**6))
def test_equations_alone_agree_with_the_optimality_system_solved_by_flint(seed: int) -> None:
    random = Random(seed)
    problem = random_problem(random, random.randint(2, 8), random.randint(0, 3), 0)
    names = problem.dimensions
    rows = [r.form for r in problem.relations]
    independent: list[Form] = []
    for row in rows:
        tried = [*independent, row]
        matrix = flint.fmpq_mat(
            len(tried),
            len(names),
            [_fmpq(row.plain.get(name, Fraction(0))) for row in tried for name in names],
        )
        if matrix.rank() == len(tried):
            independent = tried
    size = len(names) + len(independent)
    system, right = flint.fmpq_mat(size, size), flint.fmpq_mat(size, 1)
    for i, name in enumerate(names):
        system[i, i] = _fmpq(2 * problem.weight[name])
        right[i, 0] = _fmpq(2 * problem.weight[name] * problem.wish[name])
        for j, row in enumerate(independent):
            value = _fmpq(row.plain.get(name, Fraction(0)))
            system[i, len(names) + j], system[len(names) + j, i] = -value, value
    for j, row in enumerate(independent):
        right[len(names) + j, 0] = _fmpq(-row.constant)
    answer = system.solve(right)
    found = solve(problem).nearest
    assert [_fmpq(found[name]) for name in names] == [answer[i, 0] for i in range(len(names))]


def _fmpq(value: Fraction) -> flint.fmpq:
    return flint.fmpq(value.numerator, value.denominator)


@pytest.mark.parametrize("seed", range(6))
def test_large_bag_is_certified(seed: int) -> None:
    problem = generated_problem(seed)
    assert_certified(problem, solve(problem))


def test_wish_does_not_move_a_fixed_dimension() -> None:
    draft = Draft()
    draft.fix("hem", 20)
    draft.proportion("facing", 50)
    draft.equal("rule:facing", form(facing=1, hem=-2), Origin.RULE)
    problem = draft.problem()
    solution = solve(problem)
    assert solution.nearest == {"hem": 20, "facing": 40}
    assert_certified(problem, solution)


def test_curved_limits_bind() -> None:
    draft = Draft()
    draft.proportion("across", 30)
    draft.proportion("along", 40)
    slant = hypotenuse(dimension("across"), dimension("along"))
    draft.at_least("rule:slant", length(45) - slant)
    problem = draft.problem()
    solution = solve(problem)
    assert_certified(problem, solution)
    assert float(slant.stated(solution.nearest)) == pytest.approx(45, abs=1e-9)


def test_two_fixed_lengths_in_one_seam_conflict() -> None:
    draft = Draft()
    draft.fix("front", 100)
    draft.fix("back", 101)
    draft.equal("seam:side", form(front=1, back=-1))
    problem = replace(draft.problem(), measures=())
    with pytest.raises(Conflict) as caught:
        solve(problem)
    assert {relation.id for relation in caught.value.relations} == {"fixed:front", "fixed:back", "seam:side"}
