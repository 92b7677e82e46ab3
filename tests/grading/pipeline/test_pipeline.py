"""The whole way from a document to a grade, and what stands in its way."""

from __future__ import annotations

import copy
import random
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

import grading
from grading.errors import Conflict, DocumentFaults, RequestFaults, RulerOutOfReach, SizewrightError, Stopped
from grading.pipeline import Prepared, check_document, compile_document, grade_document, grade_size, read_document
from grading.verify import judge
from tests.conftest import DEMO_NAMES
from tests.patterns import changed, pouch, sheet

Json = dict[str, Any]


def relations_of(refused: Conflict | RulerOutOfReach) -> set[str]:
    return {relation.id for relation in refused.relations}


def test_the_public_surface_is_loaded_when_it_is_first_used() -> None:
    for name in grading.__all__:
        assert getattr(grading, name) is not None
    assert sorted(dir(grading)) == sorted(grading.__all__)
    with pytest.raises(AttributeError, match="nothing_of_the_kind"):
        _ = grading.nothing_of_the_kind


def test_the_pouch_is_sound() -> None:
    assert check_document(pouch()).faults == ()


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_demo_patterns_are_sound(name: str, demo_documents: dict[str, Json]) -> None:
    check = check_document(demo_documents[name])
    assert check.faults == ()
    assert check.relations > 100 and check.claims > 400


def test_contradictory_rules_are_named_and_no_others() -> None:
    document = changed(pouch(), "rules", {
        "tall": {"holds": "height >= 100", "because": "a book goes in"},
        "low": {"holds": "height <= 80", "because": "it goes under the seat"},
        "wide": {"holds": "width >= 100", "because": "a hand goes in"},
    })  # fmt: skip
    with pytest.raises(Conflict) as refused:
        grade_size(read_document(document), size="base")
    assert relations_of(refused.value) == {"rule:tall", "rule:low"}
    assert {relation.because for relation in refused.value.relations} == {"a book goes in", "it goes under the seat"}
    (fault,) = check_document(document).faults
    assert fault.path == "rules.tall"
    assert "height >= 100" in fault.problem and "height <= 80" in fault.problem


def test_equations_that_exclude_each_other_are_refused_whatever_the_size() -> None:
    document = changed(pouch(), "rules", {
        "square": {"holds": "width == height", "because": "it is square"},
        "long": {"holds": "width == height + 20", "because": "it is long"},
    })  # fmt: skip
    with pytest.raises(Conflict) as refused:
        read_document(document)
    assert relations_of(refused.value) == {"rule:square", "rule:long"}
    assert not check_document(document).sound


def test_a_size_that_drives_a_length_below_nothing_is_a_conflict() -> None:
    document = changed(pouch(), "dimensions.rest", {"base": 20, "sizing": "decided"})
    document = changed(document, "rules.rest", {"holds": "rest == width - 100", "because": "what is left"})
    pattern = read_document(document)
    with pytest.raises(Conflict) as refused:
        grade_size(pattern, request={"set": {"width": "90 mm"}})
    assert relations_of(refused.value) == {"asked:width", "rule:rest", "limits:rest:least"}


def test_a_size_beyond_the_limits_is_a_conflict_with_the_limit() -> None:
    with pytest.raises(Conflict) as refused:
        grade_size(read_document(pouch()), request={"set": {"width": "300 mm"}})
    assert relations_of(refused.value) == {"asked:width", "limits:width:most"}


def chained(*sides: tuple[str, str]) -> Json:
    """Strips whose lengths are decided by the seams between them alone."""
    names = sorted({name for pair in sides for name in pair})
    strip = {edge: {"fate": "raw"} for edge in ("right", "bottom", "left")}
    return {
        "format": 1,
        "name": "Strips",
        "dimensions": {name: {"base": 100, "sizing": "decided"} for name in names},
        "materials": {"main": {}},
        "pieces": {
            f"piece_{name}": {"outline": {"rectangle": [name, 40]}, "edges": strip, "layers": [{"material": "main"}]}
            for name in names
        },
        "seams": {
            f"seam_{number}": {"join": [f"piece_{one}.top"], "to": [f"piece_{two}.top"], "kind": "topstitched"}
            for number, (one, two) in enumerate(sides)
        },
    }


def test_dimensions_that_only_decide_each_other_are_told_of() -> None:
    document = chained(("a", "b"), ("b", "c"), ("c", "a"))
    with pytest.raises(DocumentFaults) as refused:
        grade_size(read_document(document), size="base")
    assert {fault.path for fault in refused.value.faults} <= {f"dimensions.{name}" for name in "abc"}
    assert all("nothing decides" in fault.problem for fault in refused.value.faults)
    assert not check_document(document).sound


def test_a_round_of_seams_that_grows_on_itself_is_a_conflict() -> None:
    document = chained(("a", "b"), ("b", "c"), ("c", "a"))
    document["seams"]["seam_2"]["ease"] = "5 mm"
    with pytest.raises(Conflict) as refused:
        grade_size(read_document(document), size="base")
    assert relations_of(refused.value) == {"seam:seam_0", "seam:seam_1", "seam:seam_2"}


def test_a_round_of_seams_is_decided_by_one_measure() -> None:
    document = chained(("a", "b"), ("b", "c"), ("c", "a"))
    document["dimensions"]["a"] = {"base": 100}
    grade = grade_size(read_document(document), request={"scale": "3/2"})
    assert grade.values == {"a": 150, "b": 150, "c": 150}


def test_a_ruler_too_coarse_for_a_join_says_which_join_and_which_ruler_will_do() -> None:
    document = sheet({"disc": {"radius": "radius"}}, {"radius": 100})
    document["dimensions"]["band"] = {"base": 628, "sizing": "decided"}
    document["pieces"]["band"] = {"outline": {"rectangle": ["band", 40]}, "layers": [{"material": "main"}]}
    document["seams"] = {"round": {"join": ["sheet.rim"], "to": ["band.top"], "tolerance": "0.3 mm"}}
    fine = grade_size(read_document(document), size="base")
    assert abs(float(fine.values["band"]) - 6.283185307 * float(fine.values["radius"])) <= 0.3
    with pytest.raises(RulerOutOfReach) as refused:
        grade_size(read_document({**document, "ruler": "50 mm"}), size="base")
    assert "seam:round" in relations_of(refused.value)
    assert refused.value.remedy and "50 mm" in refused.value.ruler


@pytest.mark.parametrize(
    ("size", "request_", "path"),
    [
        (None, None, "request"),
        ("base", {"scale": 1}, "request"),
        ("huge", None, "size"),
        (None, {}, "request"),
        (None, {"scale": "much"}, "request.scale"),
        (None, {"set": {"girth": 3}}, "request.set.girth"),
        (None, {"set": {"pocket_width": 3}}, "request.set.pocket_width"),
        (None, {"set": {"width": "wide"}}, "request.set.width"),
        (None, {"set": {"width": 0}}, "request.set.width"),
        (None, {"set": {"width": "1000 m"}}, "request.set.width"),
        (None, {"set": {"width": 100}, "shape": "round"}, "request.shape"),
    ],
)
def test_a_request_that_cannot_be_asked_says_where(size: str | None, request_: Json | None, path: str) -> None:
    with pytest.raises(RequestFaults) as refused:
        grade_size(read_document(pouch()), size=size, request=request_)
    assert [fault.path for fault in refused.value.faults] == [path]


def test_the_base_size_has_a_name_and_a_request_written_out_has_none() -> None:
    pattern = read_document(pouch())
    assert grade_document(grade_size(pattern, size="base"))["size"] == {"name": "base", "request": {"scale": 1}}
    grade = grade_document(grade_size(pattern, request={"scale": 1}))
    assert grade["size"] == {"name": None, "request": {"scale": 1}}


def test_a_prepared_pattern_gives_the_same_grade(demo_prepared: Callable[[str], Prepared]) -> None:
    prepared = demo_prepared("market_tote")
    pattern = prepared.model.pattern
    anew = grade_document(grade_size(pattern, size="large"))
    assert grade_document(grade_size(pattern, size="large", prepared=prepared)) == anew
    other = compile_document(read_document(pouch()))
    assert grade_document(grade_size(pattern, size="large", prepared=other)) == anew


def test_who_asks_to_stop_is_obeyed(demo_prepared: Callable[[str], Prepared]) -> None:
    prepared = demo_prepared("ferry_day_pack")
    with pytest.raises(Stopped):
        grade_size(prepared.model.pattern, size="mini", prepared=prepared, stop=lambda: True)


def test_what_is_altered_for_the_ruler_is_in_the_grade() -> None:
    grade = grade_document(grade_size(read_document(pouch()), request={"scale": 1, "ruler": "1/8 in"}))
    altered = {entry["path"]: (entry["from"], entry["to"]) for entry in grade["altered"]}
    assert altered["allowance"] == ("10 mm", "3/8 in")
    assert altered["pieces.panel.edges.top.allowance"] == ("25 mm", "1 in")
    assert grade["pieces"]["panel"]["edges"]["right"]["allowance"] == "3/8 in"
    assert judge(pouch(), grade).holds


def test_counts_are_printed_as_whole_numbers() -> None:
    document = changed(pouch(), "dimensions.pleats", {"base": 3, "kind": "count"})
    grade = grade_document(grade_size(read_document(document), request={"scale": "4/5"}))
    assert grade["dimensions"]["pleats"] == {"asked": None, "nearest": "3", "value": "3"}
    assert judge(document, grade).holds


# What nobody wrote on purpose: documents with parts taken out, doubled, exchanged or replaced.

STRANGE: list[Any] = [
    None, True, 0, -1, 1.5, 10**30, "", "width", "width - 2*width", "0 mm", "1/0 in", "9**9**9", "front.right", [], {},
    [None], {"": ""}, "pi*width", "sqrt(width**2 - 4*height**2)", ["front.right", "front.left"], float("nan"),
    "x" * 600, "1e999", "\x00", "é",
]  # fmt: skip


def places(value: Any) -> list[tuple[Any, Any]]:
    """Every container with every key or place in it."""
    found = []
    items = value.items() if isinstance(value, dict) else enumerate(value if isinstance(value, list) else ())
    for key, item in items:
        found.append((value, key))
        found += places(item)
    return found


def spoil(document: Json, chance: random.Random) -> None:
    container, key = chance.choice(places(document))
    way = chance.randrange(5)
    if way == 0:
        del container[key]
    elif way == 1:
        container[key] = chance.choice(STRANGE)
    elif way == 2:
        other, name = chance.choice(places(document))
        container[key] = copy.deepcopy(other[name])
    elif way == 3 and isinstance(container, dict):
        container[chance.choice(["width", "front", "says", "top", "π", "new"])] = container.pop(key)
    else:
        container[key] = [container[key]]


@pytest.mark.parametrize("start", range(6))
def test_a_check_never_breaks_down_however_wrong_the_draft(start: int) -> None:
    for number in range(60):
        chance = random.Random(1000 * start + number)
        document = pouch()
        for _ in range(chance.randrange(1, 4)):
            spoil(document, chance)
        check = check_document(document)
        assert check.faults or check.relations


@pytest.mark.parametrize("start", range(3))
def test_what_can_be_graded_after_damage_is_told_by_the_verifier_as_by_the_check(start: int) -> None:
    for number in range(25):
        chance = random.Random(77_000 + 1000 * start + number)
        document = pouch()
        spoil(document, chance)
        try:
            grade = grade_size(read_document(document), size="base")
        except SizewrightError:
            continue
        verdict = judge(document, grade_document(grade))
        proven = all(claim.holds for claim in grading.pipeline.prove(grade))
        assert verdict.holds == proven, (start, number, [claim.says for claim in verdict.failing][:3])


def test_a_thousand_pieces_are_numbered_on() -> None:
    document = sheet({"rectangle": ["width", "height"]})
    piece = document["pieces"]["sheet"]
    document["pieces"] = {f"sheet_{number}": piece for number in range(30)}
    grade = grade_size(read_document(document), size="base")
    letters = [drawn.piece.letter for drawn in grade.pieces.values()]
    assert letters[0] == "A" and letters[25:28] == ["Z", "AA", "AB"]
    assert grade.values["width"] == Fraction(120)
