"""The verifier turns down what is wrong: a seeded sample of the mutants of the demo grades.

`python -m tests.benchmarks mutations` runs all of them.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests import mutations
from tests.conftest import DEMO_NAMES
from tests.mutations import Graded

CURVED_BAG = Path(__file__).parents[1] / "grading" / "curved_bag.json"
SIZES = ("base", "mini", "large")
Documents = dict[str, dict[str, Any]]


@pytest.fixture(scope="module")
def demo_grades(demo_documents: Documents) -> dict[tuple[str, str], Graded]:
    return {
        (name, size): mutations.graded(document, size) for name, document in demo_documents.items() for size in SIZES
    }


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_grade_as_made_is_accepted(name: str, size: str, demo_grades: dict[tuple[str, str], Graded]) -> None:
    made = demo_grades[name, size]
    assert mutations.failing(made.document, made.grade) == []
    assert len(mutations.number_places(made.grade)) > 600


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_any_number_changed_by_one_step_is_rejected(
    name: str, size: str, demo_grades: dict[tuple[str, str], Graded]
) -> None:
    made = demo_grades[name, size]
    mutants = list(mutations.single_mutants(made, sample=12))
    assert len(mutants) == 12
    assert all(mutant.grade != made.grade for mutant in mutants)
    assert [mutant.about for mutant in mutants if not mutations.is_rejected(made.document, mutant.grade)] == []


@pytest.mark.parametrize(
    ("name", "size", "sample"),
    [("market_tote", "mini", 50), ("allotment_tool_roll", "large", 16), ("ferry_day_pack", "base", 10)],
)
def test_a_dimension_moved_with_all_that_follows_is_rejected_exactly_when_something_is_broken(
    name: str, size: str, sample: int, demo_grades: dict[tuple[str, str], Graded]
) -> None:
    made = demo_grades[name, size]
    spoiled = 0
    for mutant in mutations.moved_mutants(made, sample=sample):
        claims = mutations.failing(made.document, mutant.grade)
        assert claims is not None
        assert mutations.named_relations(claims) == mutant.breaks, mutant.about
        assert bool(claims) == mutant.spoils, mutant.about
        spoiled += mutant.spoils
    assert spoiled > 0


@pytest.mark.parametrize("size", ["mini", "large"])
@pytest.mark.parametrize("name", ["market_tote", "allotment_tool_roll"])
def test_every_relation_broken_for_want_of_one_in_the_solver_is_named(
    name: str, size: str, demo_grades: dict[tuple[str, str], Graded]
) -> None:
    made = demo_grades[name, size]
    breaking = 0
    for turn, mutant in enumerate(mutations.withheld_mutants(made, sample=1000)):
        # Where nothing is broken, the verifier has nothing to name: every sixth of these will do here.
        if mutant.breaks or turn % 6 == 0:
            assert mutations.misses(made.document, mutant) == frozenset(), mutant.about
        if mutant.breaks:
            assert mutations.is_rejected(made.document, mutant.grade), mutant.about
            breaking += 1
    assert breaking >= 2


@pytest.mark.parametrize("size", ["mini", "large"])
def test_the_same_holds_of_a_sample_of_the_largest_pattern(
    size: str, demo_grades: dict[tuple[str, str], Graded]
) -> None:
    made = demo_grades["ferry_day_pack", size]
    for mutant in mutations.withheld_mutants(made, sample=6):
        assert mutations.misses(made.document, mutant) == frozenset(), mutant.about


def test_a_change_of_nothing_is_no_mutant_and_is_accepted(demo_grades: dict[tuple[str, str], Graded]) -> None:
    made = demo_grades["market_tote", "base"]
    place = mutations.number_places(made.grade)[0]
    same = mutations.changed_number(mutations.changed_number(made.grade, place, made.step), place, -made.step)
    assert same == made.grade


@pytest.fixture(scope="module")
def curved() -> Graded:
    return mutations.graded(json.loads(CURVED_BAG.read_text(encoding="utf-8")), "small")


def test_a_curved_bag_with_a_number_changed_by_one_step_is_rejected(curved: Graded) -> None:
    mutants = list(mutations.single_mutants(curved, sample=30))
    assert [mutant.about for mutant in mutants if not mutations.is_rejected(curved.document, mutant.grade)] == []


def test_a_curved_bag_with_a_dimension_moved_is_rejected_exactly_when_something_is_broken(curved: Graded) -> None:
    spoiled = 0
    for mutant in mutations.moved_mutants(curved, sample=12):
        claims = mutations.failing(curved.document, mutant.grade)
        assert claims is not None
        assert mutations.named_relations(claims) == mutant.breaks, mutant.about
        assert bool(claims) == mutant.spoils, mutant.about
        spoiled += mutant.spoils
    assert spoiled > 0


def test_every_relation_of_a_curved_bag_that_is_broken_for_want_of_one_is_named(curved: Graded) -> None:
    withheld = list(mutations.withheld_mutants(curved, sample=40))
    assert [mutant.about for mutant in withheld if mutations.misses(curved.document, mutant)] == []
    assert any(mutant.breaks for mutant in withheld)
