"""Whole grades of a bag with every kind of curve: all claims hold, and changed numbers are found."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from grading.errors import Conflict
from grading.pipeline import compile_document, conflict_document, grade_size, read_document, solution_map
from grading.verify import judge, judge_conflict, judge_map
from tests.grading.verify import pouch
from tests.mutations import Graded, failing, graded, is_rejected, single_mutants

Json = dict[str, Any]
BAG = Path(__file__).resolve().parents[2] / "curved_bag.json"


@pytest.fixture(scope="module")
def bag() -> Json:
    found: Json = json.loads(BAG.read_text(encoding="utf-8"))
    return found


@pytest.fixture(scope="module")
def base(bag: Json) -> Graded:
    return graded(bag, "base")


@pytest.mark.parametrize("size", ["base", "small", "wide"])
def test_every_claim_of_a_curved_bag_holds(bag: Json, size: str) -> None:
    verdict = judge(bag, json.loads(json.dumps(graded(bag, size).grade)))
    assert [claim.says for claim in verdict.failing] == []


def test_a_curved_bag_on_a_ruler_in_inches_holds(bag: Json) -> None:
    document = copy.deepcopy(bag)
    document["sizes"]["inches"] = {"scale": "9/8", "ruler": "1/16 in"}
    assert failing(document, graded(document, "inches").grade) == []


def test_changed_numbers_of_curved_pieces_are_found(bag: Json, base: Graded) -> None:
    # A sample of the 1100 numbers of the grade; when this was written all of them were found, of the size `wide` too.
    for mutant in single_mutants(base, sample=60):
        assert is_rejected(bag, mutant.grade), mutant.about


def changed(grade: Json, *path: str | int, to: Any) -> Json:
    result = copy.deepcopy(grade)
    place: Any = result
    for step in path[:-1]:
        place = place[step]
    assert place[path[-1]] != to
    place[path[-1]] = to
    return result


def test_each_kind_of_curved_number_is_judged_by_itself(bag: Json, base: Graded) -> None:
    pieces = base.grade["pieces"]

    def segment(piece: str, edge: str) -> Json:
        found: Json = pieces[piece]["edges"][edge]["segments"][0]
        return found

    front, body = pieces["purse_front"], pieces["body"]
    assert set(segment("purse_front", "mouth")) == {"to", "centre", "turns"}
    assert set(segment("purse_front", "left_corner")) == {"to", "centre", "turns", "axes"}
    assert set(segment("trim", "dip_left")) == {"to", "by"}
    chain = next(place for place, cut in enumerate(front["cut"]) if cut.get("through"))
    at = ("pieces", "purse_front")
    wrong: list[tuple[tuple[str | int, ...], Any]] = [
        ((*at, "edges", "mouth", "segments", 0, "turns"), "right"),
        ((*at, "edges", "left_corner", "segments", 0, "axes"), ["30 mm", "40 mm"]),
        ((*at, "edges", "left_corner", "segments", 0, "turns"), "left"),
        ((*at, "cut", chain, "through"), front["cut"][chain]["through"][:-1]),
        ((*at, "cut", chain, "through", 7), front["cut"][chain]["through"][8]),
        ((*at, "cut", chain, "edge"), "mouth"),
        (("pieces", "trim", "edges", "dip_left", "segments", 0, "by", 0, 0), "60 mm"),
        (("pieces", "body", "start"), ["0 mm", "0 mm"]),
        (("pieces", "body", "width"), body["height"]),
        (("pieces", "flounce", "edges", "inner", "segments", 0, "turns"), "right"),
        (("seams", "mouth", "to"), "170.00 mm"),
    ]
    for path, value in wrong:
        claims = failing(bag, changed(base.grade, *path, to=value))
        assert claims and all(claim.kind == "printed" for claim in claims), path


def test_the_lengths_of_curves_that_are_joined_are_printed_within_a_hundredth(bag: Json, base: Graded) -> None:
    # The mouth: chord 176, rise 14, radius (88² + 14²)/28.
    from math import asin

    radius = (88**2 + 14**2) / 28
    printed = base.grade["pieces"]["purse_front"]["edges"]["mouth"]["length"]
    assert float(printed.removesuffix(" mm")) == pytest.approx(2 * radius * asin(88 / radius), abs=0.006)


def test_the_solution_map_of_a_curved_bag_holds_and_tells_the_curved_equations(bag: Json) -> None:
    document = read_document(bag)
    found = json.loads(json.dumps(solution_map(document, compile_document(document))))
    assert judge_map(bag, found).holds
    # The corners of the purse are the same curves on both sides and cancel; mouth and frill follow other curves.
    assert sorted(found["curved"]) == ["notch:frill:0", "notch:mouth:0", "seam:frill", "seam:mouth"]
    for curved in (found["curved"][1:], [*found["curved"], "seam:purse"]):
        assert not judge_map(bag, found | {"curved": curved}).holds


def test_equal_areas_after_substitution_cancel(bag: Json) -> None:
    # The back has a corner dimension of its own, which a rule makes equal to the front's.
    document = copy.deepcopy(bag)
    document["dimensions"]["back_corner"] = {"base": 40, "sizing": "decided"}
    document["rules"] = {"corners": {"holds": "back_corner == purse_corner", "because": "they are sewn together"}}
    text = json.dumps(document["pieces"]["purse_back"]).replace("purse_corner", "back_corner")
    document["pieces"]["purse_back"] = json.loads(text)
    read = read_document(document)
    found = json.loads(json.dumps(solution_map(read, compile_document(read))))
    assert found["map"]["back_corner"] == {"purse_corner": "1"}
    assert "seam:purse" not in found["curved"]
    assert judge_map(document, found).holds
    assert not judge_map(document, found | {"curved": [*found["curved"], "seam:purse"]}).holds


def test_a_rise_of_more_than_half_the_chord_is_a_conflict_that_holds(bag: Json) -> None:
    document = copy.deepcopy(bag)
    document["sizes"]["deep"] = {"set": {"hollow": "90 mm", "purse_width": "100 mm", "dart": "10 mm"}}
    with pytest.raises(Conflict) as caught:
        grade_size(read_document(document), size="deep")
    conflict = json.loads(json.dumps(conflict_document(caught.value)))
    assert "outline:purse_front:mouth:half" in {relation["id"] for relation in conflict["relations"]}
    assert judge_conflict(document, conflict).holds


@pytest.mark.parametrize("name", ["hollow", "purse_corner", "trim_dip", "flounce_depth", "body_height", "dart"])
def test_a_size_in_which_a_curve_comes_to_nothing_is_judged_and_fails(bag: Json, base: Graded, name: str) -> None:
    assert failing(bag, changed(base.grade, "dimensions", name, "value", to="0 mm"))


@pytest.mark.parametrize("name", ["width", "corner", "band_length"])
def test_a_size_with_an_edge_of_no_length_is_judged_and_fails(name: str) -> None:
    claims = failing(pouch.pattern(), changed(pouch.grade(), "dimensions", name, "value", to="0 mm"))
    assert claims and any(claim.kind == "outline" for claim in claims)
