"""Graded sizes: every relation holds at the printed dimensions, and the same request gives the same grade."""

from __future__ import annotations

import json
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st

from grading.errors import Conflict, RulerOutOfReach
from grading.model import pose
from grading.pipeline import Prepared, find_request, grade_document, grade_size
from grading.verify import judge
from tests.conftest import DEMO_NAMES
from tests.evaluation import broken, off_the_ruler, out_of_reach

Documents = dict[str, dict[str, Any]]
PreparedDemo = Callable[[str], Prepared]
RULERS = ("1 mm", "5 mm", "1/8 in", "1/16 in")


def check_size(prepared: Prepared, request: dict[str, Any]) -> None:
    """Grade, and evaluate every relation, measure and reach anew at the printed dimensions."""
    pattern = prepared.model.pattern
    grade = grade_size(pattern, request=request, prepared=prepared)
    problem, solution = grade.problem, grade.solution
    assert broken(problem, solution.stock, solution.printed) == frozenset()
    assert off_the_ruler(problem, solution.printed) == []
    assert out_of_reach(problem, solution.nearest, solution.printed) == []


@pytest.mark.parametrize("size", ["base", "mini", "large"])
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_relation_holds_at_the_printed_dimensions(name: str, size: str, demo_prepared: PreparedDemo) -> None:
    prepared = demo_prepared(name)
    _, request = find_request(prepared.model.pattern, size)
    check_size(prepared, request.model_dump(mode="json", by_alias=True, exclude_none=True))


@pytest.mark.parametrize("ruler", RULERS)
def test_every_relation_of_the_tote_holds_on_every_ruler(ruler: str, demo_prepared: PreparedDemo) -> None:
    pattern = demo_prepared("market_tote").model.pattern
    grade = grade_size(pattern, request={"scale": "4/5", "ruler": ruler})
    assert broken(grade.problem, grade.solution.stock, grade.solution.printed) == frozenset()
    assert off_the_ruler(grade.problem, grade.solution.printed) == []


@seed(1903)
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(per_mille=st.integers(700, 1300))
def test_the_tote_in_any_size_holds_and_is_verified(
    per_mille: int, demo_prepared: PreparedDemo, demo_documents: Documents
) -> None:
    prepared = demo_prepared("market_tote")
    request = {"scale": f"{per_mille}/1000"}
    check_size(prepared, request)
    grade = grade_size(prepared.model.pattern, request=request, prepared=prepared)
    verdict = judge(demo_documents["market_tote"], json.loads(json.dumps(grade_document(grade))))
    assert verdict.holds, [claim.says for claim in verdict.failing]


@seed(1904)
@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    sizes=st.fixed_dictionaries(
        {}, optional={"width": st.integers(220, 520), "height": st.integers(240, 560), "depth": st.integers(70, 190)}
    ).filter(bool),
    others=st.sampled_from(["in proportion", "at base"]),
)
def test_a_tote_of_asked_measures_is_verified_or_told_what_stands_against_it(
    sizes: dict[str, int], others: str, demo_prepared: PreparedDemo, demo_documents: Documents
) -> None:
    prepared = demo_prepared("market_tote")
    request = {"set": {name: f"{size} mm" for name, size in sizes.items()}, "others": others}
    try:
        grade = grade_size(prepared.model.pattern, request=request, prepared=prepared)
    except (Conflict, RulerOutOfReach) as refused:
        assert refused.relations
        assert all(relation.says and relation.because and relation.path for relation in refused.relations)
        return
    assert broken(grade.problem, grade.solution.stock, grade.solution.printed) == frozenset()
    assert judge(demo_documents["market_tote"], json.loads(json.dumps(grade_document(grade)))).holds


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_same_request_gives_the_same_grade(
    name: str, demo_documents: Documents, demo_prepared: PreparedDemo
) -> None:
    once = grade_size(demo_prepared(name).model.pattern, size="mini", prepared=demo_prepared(name))
    again = grade_size(demo_prepared(name).model.pattern, size="mini")
    assert json.dumps(grade_document(once)) == json.dumps(grade_document(again))


def test_a_larger_wish_gives_no_smaller_tote(demo_prepared: PreparedDemo) -> None:
    prepared = demo_prepared("market_tote")
    before = Fraction(0)
    for per_cent in range(70, 131, 10):
        request = {"scale": f"{per_cent}/100"}
        grade = grade_size(prepared.model.pattern, request=request, prepared=prepared)
        assert grade.solution.nearest["width"] >= before
        before = grade.solution.nearest["width"]


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_stock_is_chosen_from_stock(name: str, demo_prepared: PreparedDemo) -> None:
    prepared = demo_prepared(name)
    _, request = find_request(prepared.model.pattern, "mini")
    problem = pose(prepared.model, request)
    grade = grade_size(prepared.model.pattern, size="mini", prepared=prepared)
    for choice in problem.stock:
        assert grade.solution.stock[choice.dimension] in choice.values
        assert grade.solution.printed[choice.dimension] == grade.solution.stock[choice.dimension]
