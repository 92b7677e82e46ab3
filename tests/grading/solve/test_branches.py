"""Choice from stock against trying every combination."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from grading.errors import Conflict
from grading.form import dimension, hypotenuse
from grading.model.problem import Problem
from grading.model.relation import Origin
from grading.solve import solve
from tests.grading.solve.certificate import assert_certified
from tests.grading.solve.drafts import Draft, form


def test_zip_takes_the_nearer_of_two_lengths() -> None:
    draft = Draft()
    draft.from_stock("zip", 300, [250, 300, 350])
    draft.proportion("panel", 300)
    draft.equal("seam:zip", form(zip=1, panel=-1))
    problem = draft.problem({"panel": 330})
    solution = solve(problem)
    # By hand, in 300ths: (350 - 330)² + (350 - 300)² = 2900 against (300 - 330)² = 900.
    assert solution.stock == {"zip": 300}
    assert_certified(problem, solution)
    assert solution.multipliers.keys() == {"seam:zip", "stock:zip"}


def test_stock_follows_when_the_wish_is_far() -> None:
    draft = Draft()
    draft.from_stock("zip", 300, [250, 300, 350])
    draft.proportion("panel", 300)
    draft.equal("seam:zip", form(zip=1, panel=-1))
    assert solve(draft.problem({"panel": 352})).stock == {"zip": 350}


def test_tie_goes_to_the_first_in_the_list() -> None:
    draft = Draft()
    draft.from_stock("zip", 300, [280, 320])
    assert solve(draft.problem()).stock == {"zip": 280}


def test_tie_between_two_dimensions_goes_by_document_order() -> None:
    draft = Draft()
    draft.from_stock("first", 300, [300, 310])
    draft.from_stock("second", 300, [300, 310])
    draft.equal("rule:sum", form(-610, first=1, second=1), Origin.RULE)
    assert solve(draft.problem()).stock == {"first": 300, "second": 310}


def test_branch_that_cannot_hold_is_passed_over() -> None:
    draft = Draft()
    draft.from_stock("zip", 300, [250, 300, 350])
    draft.at_least("rule:longer", form(-301, zip=1))
    assert solve(draft.problem()).stock == {"zip": 350}


def test_stock_is_chosen_where_roots_take_part() -> None:
    draft = Draft()
    draft.from_stock("binding", 50, [40, 50, 60])
    draft.proportion("across", 36)
    draft.proportion("along", 48)
    slant = hypotenuse(dimension("across"), dimension("along"))
    draft.equal("seam:binding", dimension("binding") - slant, tolerance="1.5")
    problem = draft.problem()
    solution = solve(problem)
    # By hand: 60 costs (10/50)² and moves nothing; 50 would shorten the slant of 60 by a sixth, which costs 0.05.
    assert solution.stock == {"binding": 60}
    assert_certified(problem, solution)


def cost(problem: Problem, values: dict[str, Fraction]) -> Fraction:
    nearest = sum(weight * (values[name] - problem.wish[name]) ** 2 for name, weight in problem.weight.items())
    return nearest + sum(((values[c.dimension] - c.wish) / c.wish) ** 2 for c in problem.stock)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.integers(0, 10**6))
def test_choice_is_the_best_of_all_combinations(seed: int) -> None:
    random = Random(seed)
    draft = Draft()
    stocks = [f"s{index}" for index in range(random.randint(1, 3))]
    for name in stocks:
        draft.from_stock(name, random.randint(80, 200), sorted(random.sample(range(60, 260, 10), random.randint(1, 4))))
    names = [*stocks]
    for index in range(3):
        names.append(f"d{index}")
        draft.proportion(f"d{index}", random.randint(50, 200))
    for index in range(random.randint(1, 5)):
        some = random.sample(names, 2)
        row = form(random.randint(-100, 100), **{some[0]: 1, some[1]: random.choice([-1, 1])})
        if random.random() < 0.3:
            draft.equal(f"seam:{index}", row)
        else:
            draft.at_least(f"rule:{index}", row)
    problem = draft.problem()
    best: tuple[Fraction, tuple[int, ...]] | None = None
    for places in product(*(range(len(choice.values)) for choice in problem.stock)):
        tried = Draft(relations=list(draft.relations), base=draft.base, names=draft.names, unweighted=draft.unweighted)
        for choice, place in zip(problem.stock, places, strict=True):
            name = choice.dimension
            tried.equal(f"fixed:{name}", form(-choice.values[place], **{name: 1}), Origin.FIXED)
        try:
            values = dict(solve(tried.problem()).nearest)
        except Conflict:
            continue
        found = (cost(problem, values), places)
        best = found if best is None else min(best, found)
    try:
        solution = solve(problem)
    except Conflict:
        assert best is None
        return
    assert best is not None
    assert cost(problem, dict(solution.nearest)) == best[0]
    chosen = tuple(choice.values.index(solution.stock[choice.dimension]) for choice in problem.stock)
    assert chosen == best[1]
    assert_certified(problem, solution)
