"""Conflicts: that they cannot hold and that none can be spared, judged by z3 and by SciPy's HiGHS."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from grading.errors import Conflict
from grading.form import Form, dimension, hypotenuse, length
from grading.model.problem import Problem
from grading.model.relation import Origin, Relation
from grading.solve import solve
from grading.solve.conflict import spared
from tests.grading.solve.conflicts import assert_irreducible, assert_shown, can_hold_by_z3
from tests.grading.solve.drafts import Draft, form


def conflict_of(problem: Problem) -> set[str]:
    with pytest.raises(Conflict) as caught:
        solve(problem)
    ids = [relation.id for relation in caught.value.relations]
    assert len(ids) == len(set(ids))
    if any(relation.form.roots for relation in problem.relations if relation.id in ids):
        assert not caught.value.certificate
    else:
        assert_shown(problem, ids, caught.value.certificate)
    return set(ids)


def pocket_draft() -> Draft:
    draft = Draft()
    draft.proportion("panel", 200)
    draft.proportion("pocket", 150)
    draft.proportion("depth", 20)
    draft.at_least("rule:fits", form(-10, panel=1, pocket=-1, depth=-2))
    draft.at_least("contents:book", form(-190, pocket=1))
    return draft


def test_book_too_large_for_the_panel_is_named_with_the_limit() -> None:
    draft = pocket_draft()
    draft.at_least("limits:panel:most", form(180, panel=-1), Origin.LIMITS)
    problem = draft.problem()
    ids = conflict_of(problem)
    assert ids == {"rule:fits", "contents:book", "limits:panel:most", "limits:depth:least"}
    assert_irreducible(problem, ids)


def test_limits_of_one_dimension_that_cross_conflict() -> None:
    draft = Draft()
    draft.proportion("panel", 200, 150)
    draft.at_least("limits:panel:most", form(140, panel=-1), Origin.LIMITS)
    assert conflict_of(draft.problem()) == {"limits:panel:least", "limits:panel:most"}


def test_relation_of_constants_that_fails_conflicts_alone() -> None:
    draft = Draft()
    draft.proportion("panel", 200)
    draft.at_least("cloth:strip", form(-1))
    assert conflict_of(draft.problem()) == {"cloth:strip"}


def test_asked_size_conflicts_with_seams_through_pi() -> None:
    draft = Draft()
    draft.proportion("radius", 50)
    draft.proportion("ring", 300)
    draft.equal("asked:ring", form(-300, ring=1), Origin.ASKED)
    draft.equal("seam:ring", dimension("ring") - dimension("radius").times(2).times_pi())
    draft.at_least("rule:wide", form(-48, radius=1))
    problem = draft.problem()
    ids = conflict_of(problem)
    assert ids == {"asked:ring", "seam:ring", "rule:wide"}
    assert_irreducible(problem, ids)


def test_zip_that_is_not_sold_long_enough_is_named_by_its_stock() -> None:
    draft = Draft()
    draft.from_stock("zip", 300, [200, 250, 300])
    draft.proportion("panel", 300)
    draft.equal("seam:zip", form(zip=1, panel=-1))
    draft.at_least("contents:laptop", form(-310, panel=1))
    problem = draft.problem()
    ids = conflict_of(problem)
    assert ids == {"stock:zip", "seam:zip", "contents:laptop"}
    assert_irreducible(problem, ids)


def test_gap_between_two_stock_values_is_a_conflict_with_both_sides() -> None:
    draft = Draft()
    draft.from_stock("zip", 300, [200, 250, 300])
    draft.proportion("panel", 300)
    draft.equal("seam:zip", form(zip=1, panel=-1))
    draft.at_least("rule:least", form(-255, panel=1))
    draft.at_least("rule:most", form(295, panel=-1))
    problem = draft.problem()
    ids = conflict_of(problem)
    assert ids == {"stock:zip", "seam:zip", "rule:least", "rule:most"}
    assert_irreducible(problem, ids)


def test_two_stocks_that_never_meet_conflict() -> None:
    draft = Draft()
    draft.from_stock("zip", 300, [200, 300, 400])
    draft.from_stock("webbing", 30, [20, 25, 38])
    draft.equal("rule:ten", form(zip=1, webbing=-10), Origin.RULE)
    draft.at_least("rule:not the short one", form(-210, zip=1))
    problem = draft.problem()
    ids = conflict_of(problem)
    assert ids == {"stock:zip", "stock:webbing", "rule:ten", "rule:not the short one"}
    assert_irreducible(problem, ids)


def test_conflict_through_merged_roots_names_what_makes_the_edges_equal() -> None:
    draft = Draft()
    for name in ("across", "along"):
        draft.proportion(name, 40)
        draft.decide(f"other_{name}")
        draft.equal(f"covering:{name}", form(**{name: 1, f"other_{name}": -1}), Origin.COVERING)
    draft.proportion("top", 100)
    draft.proportion("foot", 100)
    one = hypotenuse(dimension("across"), dimension("along"))
    other = hypotenuse(dimension("other_across"), dimension("other_along"))
    draft.equal("seam:round", dimension("top") + one - dimension("foot") - other, tolerance="1.5")
    draft.at_least("rule:longer", form(-5, top=1, foot=-1))
    assert conflict_of(draft.problem()) == {
        "covering:across",
        "covering:along",
        "seam:round",
        "rule:longer",
    }


def test_slant_that_cannot_be_so_short_conflicts() -> None:
    draft = Draft()
    draft.proportion("across", 30)
    draft.proportion("along", 40)
    slant = hypotenuse(dimension("across"), dimension("along"))
    draft.at_least("rule:short", length(45) - slant)
    draft.at_least("rule:across", form(-30, across=1))
    draft.at_least("rule:along", form(-40, along=1))
    assert conflict_of(draft.problem()) == {"rule:short", "rule:across", "rule:along"}


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.integers(0, 10**6))
def test_random_conflicts_are_irreducible(seed: int) -> None:
    random = Random(seed)
    draft = Draft()
    names = [f"d{index}" for index in range(random.randint(2, 6))]
    for name in names:
        if random.random() < 0.15:
            draft.from_stock(name, 100, sorted(random.sample(range(50, 150, 7), 3)))
        else:
            draft.proportion(name, random.randint(50, 150), random.randint(0, 60))
            draft.at_least(f"limits:{name}:most", form(random.randint(90, 160), **{name: -1}), Origin.LIMITS)
    for index in range(random.randint(4, 12)):
        row = form(
            random.randint(-60, 60),
            **{name: random.choice([-2, -1, 1, 2]) for name in random.sample(names, random.randint(1, 2))},
        )
        if random.random() < 0.4:
            draft.equal(f"seam:{index}", row)
        else:
            draft.at_least(f"rule:{index}", row)
    problem = draft.problem()
    every = {relation.id for relation in problem.relations}
    every |= {f"stock:{choice.dimension}" for choice in problem.stock}
    try:
        solve(problem)
    except Conflict as conflict:
        ids = [relation.id for relation in conflict.relations]
        assert_irreducible(problem, ids)
        assert_shown(problem, ids, conflict.certificate)
    else:
        assert can_hold_by_z3(problem, every)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(st.integers(0, 10**6))
def test_feasibility_agrees_with_scipy(seed: int) -> None:
    random = Random(seed)
    draft = Draft()
    names = [f"d{index}" for index in range(4)]
    for name in names:
        draft.proportion(name, 100, 10)
    for index in range(6):
        some = random.sample(names, 2)
        draft.at_least(f"rule:{index}", form(random.randint(-30, 30), **{n: random.choice([-2, -1, 1]) for n in some}))
    problem = draft.problem()
    matrix = np.array([[-float(r.form.plain.get(name, 0)) for name in names] for r in problem.relations])
    right = np.array([float(r.form.constant) for r in problem.relations])
    result = linprog(np.zeros(4), A_ub=matrix, b_ub=right, bounds=(None, None), method="highs")
    try:
        solve(problem)
    except Conflict:
        assert result.status == 2
    else:
        assert result.status == 0


def test_conflict_found_by_halving_is_the_one_that_is_there() -> None:
    guilty = {3, 17, 40}
    relations = [_relation(number) for number in range(64)]

    def cannot_hold(some: object) -> bool:
        return guilty <= {int(relation.id) for relation in some}  # type: ignore[attr-defined]

    assert {int(relation.id) for relation in spared(relations, cannot_hold)} == guilty


def _relation(number: int) -> Relation:
    draft = Draft()
    draft.equal(str(number), Form())
    return draft.relations[0]
