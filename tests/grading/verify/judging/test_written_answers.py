"""The maps and conflicts that grading writes for the demo patterns: accepted as written, turned down when changed."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

import pytest

from grading.errors import Conflict
from grading.pipeline import compile_document, conflict_document, grade_size, read_document, resolved, solution_map
from grading.pipeline import find_request as request_of
from grading.verify import judge_conflict, judge_map
from tests.conftest import DEMO_NAMES
from tests.grading.verify import pouch
from tests.grading.verify.judging.test_solution_map import MAP

Json = dict[str, Any]
# How far a coefficient is changed; nothing of a bag is sewn to less than this.
LITTLE = Fraction(1, 1000)


def map_of(document: Json, options: Mapping[str, str] | None = None) -> Json:
    pattern = read_document(document)
    chosen = dict(options or {})
    _, request = request_of(pattern, request={"scale": 1, "options": chosen})
    return solution_map(pattern, compile_document(resolved(pattern, request)), chosen)


def map_mutants(solution: Json) -> Iterator[tuple[str, Json]]:
    """Each coefficient of a map more by a little, and each left out."""
    for title, row in solution["map"].items():
        for key, value in row.items():
            more, less = copy.deepcopy(solution), copy.deepcopy(solution)
            more["map"][title][key] = str(Fraction(value) + LITTLE)
            del less["map"][title][key]
            yield f"{title}: {key} changed", more
            yield f"{title}: {key} left out", less


def missed_of(document: Json, solution: Json) -> tuple[list[str], int]:
    mutants = list(map_mutants(solution))
    return [about for about, mutant in mutants if judge_map(document, mutant).holds], len(mutants)


@pytest.mark.parametrize(("name", "fewest"), [*zip(DEMO_NAMES, (14, 22, 66), strict=True)])
def test_every_changed_coefficient_of_a_demo_map_is_found(
    name: str, fewest: int, demo_documents: dict[str, Json], record_property: Any
) -> None:
    document = demo_documents[name]
    solution = map_of(document)
    assert judge_map(document, solution).failing == ()
    assert solution["map"] and not set(solution["map"]) & set(solution["free"])
    missed, count = missed_of(document, solution)
    record_property("mutants", count)
    assert missed == []
    assert count >= fewest


def test_every_changed_coefficient_of_a_map_worked_out_by_hand_is_found() -> None:
    missed, count = missed_of(pouch.pattern(), MAP)
    assert (missed, count) == ([], 8)


def test_the_map_that_grading_writes_is_the_one_worked_out_by_hand() -> None:
    document = pouch.pattern()
    document["findings"]["loop"]["count"] = 2
    written = map_of(document)
    assert {name: {key: Fraction(value) for key, value in row.items()} for name, row in written["map"].items()} == {
        name: {key: Fraction(value) for key, value in row.items()} for name, row in MAP["map"].items()
    }
    assert sorted(written["free"]) == sorted(MAP["free"])


def test_each_choice_of_options_has_its_own_map(demo_documents: dict[str, Json]) -> None:
    document = demo_documents["market_tote"]
    bare = map_of(document, {"sleeve": "without"})
    assert judge_map(document, bare).failing == ()
    assert not judge_map(document, {**bare, "options": {"sleeve": "with"}}).holds


TOO_WIDE = {"set": {"width": "600 mm"}}
NEVER_HELD = {"hold": [{"object": ["500 mm", "350 mm", "300 mm"]}], "within": {"box": [400, 500, 350], "turned": "any"}}


@pytest.mark.parametrize("request_", [TOO_WIDE, NEVER_HELD], ids=["too wide", "too large for its box"])
def test_a_conflict_is_accepted_as_written_and_no_branch_holds_changed(
    request_: Json, demo_documents: dict[str, Json]
) -> None:
    document = demo_documents["market_tote"]
    with pytest.raises(Conflict) as raised:
        grade_size(read_document(document), request=request_)
    conflict = conflict_document(raised.value)
    assert judge_conflict(document, conflict).failing == ()
    for index, branch in enumerate(conflict["certificate"]):
        for title in branch["multipliers"]:
            changed = copy.deepcopy(conflict)
            del changed["certificate"][index]["multipliers"][title]
            assert [claim.about for claim in judge_conflict(document, changed).failing] == [f"conflict:branch {index}"]
        changed = copy.deepcopy(conflict)
        del changed["certificate"][index]
        assert [claim.about for claim in judge_conflict(document, changed).failing] == ["conflict:cover"]
