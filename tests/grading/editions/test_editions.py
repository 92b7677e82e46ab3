"""Metric and imperial editions: separate, each checked on its own ruler, with hardware by its nominal sizes."""

from __future__ import annotations

import copy
from fractions import Fraction
from typing import Any

import pytest

from grading import other_edition
from grading.errors import DocumentFaults, RequestFaults, RulerOutOfReach
from grading.exact import read_length
from grading.pipeline import (
    check_document,
    compile_document,
    grade_document,
    grade_size,
    read_document,
    solution_map,
    solve_batch,
)
from grading.verify import judge, judge_map
from tests.conftest import DEMO_NAMES
from tests.patterns import changed, pouch

Json = dict[str, Any]
WEBBING = [
    {"metric": "20 mm", "imperial": "3/4 in"},
    {"metric": "25 mm", "imperial": "1 in"},
    {"metric": "38 mm", "imperial": "1 1/2 in"},
]
INCH = Fraction(254, 10)


def strapped(base: str = "25 mm", **dimension: Any) -> Json:
    """The pouch with a loop of webbing, as wide as its pocket's hem is deep."""
    document = changed(pouch(), "stock.webbing", WEBBING)
    document["dimensions"]["band"] = {"base": base, "sizing": "stock", "stock": "webbing"} | dimension
    document["findings"]["loop"] = {"webbing": {"width": "band", "length": "100 mm", "stock": "webbing"}}
    document["sizes"]["broad"] = {"set": {"band": "38 mm"}}
    document["steps"][3]["uses"].append("loop")
    return document


def graded(document: Json, size: str = "base", request: Json | None = None) -> Json:
    """A grade's document, after the verifier has found nothing wrong with it."""
    pattern = read_document(document)
    grade = grade_document(grade_size(pattern, request=request) if request else grade_size(pattern, size=size))
    assert [claim.says for claim in judge(document, grade).failing] == []
    return grade


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_imperial_edition_of_each_demo_pattern_joins_in_all_sizes(
    name: str, demo_documents: dict[str, Json]
) -> None:
    document = other_edition(demo_documents[name], "imperial")
    assert check_document(document).faults == ()
    pattern = read_document(document)
    for size in ("base", *document["sizes"]):
        grade = grade_document(grade_size(pattern, size=size))
        verdict = judge(document, grade)
        assert verdict.failing == () and len(verdict.claims) > 1000
        assert grade["ruler"] == "1/8 in"
        assert all(text.endswith(" in") for text in grade["stock"].values())
        measures = [row[side] for row in grade["cut_list"] for side in ("across", "along")]
        assert all((read_length(measure) / (INCH / 8)).denominator == 1 for measure in measures)


def test_hardware_is_the_same_by_its_metric_and_its_imperial_name() -> None:
    """25 mm and 1 in are one webbing; 1 in is 25.4 mm exactly (NBS Circular 572, addendum of January 1960)."""
    metric, imperial = strapped(), other_edition(strapped(), "imperial")
    assert graded(metric)["stock"]["band"] == "25 mm"
    assert graded(imperial)["stock"]["band"] == "1 in"
    assert graded(metric, request={"scale": 1, "ruler": "1/8 in"})["stock"]["band"] == "1 in"
    loop = next(row for row in graded(imperial)["findings"] if row["name"] == "loop")
    assert loop["width"] == "1 in"


def test_exact_conversion_would_make_a_false_conflict() -> None:
    """A band of exactly 25 mm lies on no mark of a ruler in inches, so that nothing as wide as it could be cut."""
    document = changed(strapped(), "pieces.pocket.lines", {
        "band": {"from": [0, "-band"], "to": ["pocket_width", "-band"]}
    }) | {"ruler": "1/8 in"}  # fmt: skip
    line = graded(document)["pieces"]["pocket"]["lines"]["band"]
    assert line["from"] == ["0 in", "-1 in"]
    with pytest.raises(RulerOutOfReach):
        grade_size(read_document(changed(document, "stock.webbing", ["20 mm", "25 mm"])), size="base")


def test_either_name_of_a_pair_may_be_asked_for() -> None:
    for document, text in ((strapped(), "38 mm"), (other_edition(strapped(), "imperial"), "1 1/2 in")):
        assert graded(document, "broad")["dimensions"]["band"] == {"asked": text, "nearest": text, "value": text}
        for asked in ("38 mm", "1 1/2 in"):
            grade = graded(document, request={"set": {"band": asked}, "others": "at base"})
            assert grade["stock"]["band"] == text
    with pytest.raises(RequestFaults, match="26 mm is not in stock"):
        grade_size(read_document(strapped()), request={"set": {"band": "26 mm"}})


def test_the_verifier_knows_which_of_a_pair_counts() -> None:
    document = other_edition(strapped(), "imperial")
    grade = graded(document)
    grade["stock"]["band"] = "25 mm"
    assert "stock:band:listed" in {claim.about for claim in judge(document, grade).failing}


def test_a_batch_and_a_map_take_the_values_of_their_ruler() -> None:
    document = other_edition(strapped(), "imperial")
    pattern = read_document(document)
    prepared = compile_document(pattern)
    answer = solve_batch(prepared, {"columns": ["width", "band"], "rows": [["5 in", "1 in"], ["4 in", "3/4 in"]]})
    band = answer.dimensions.index("band")
    assert [round(float(row[band]), 9) for row in answer.values] == [25.4, 19.05]
    assert judge_map(document, solution_map(pattern, prepared)).failing == ()


def test_a_shortened_zip_is_bought_by_its_name_in_inches() -> None:
    document = strapped()
    document["stock"]["zips"] = [
        {"metric": "100 mm", "imperial": "4 in"},
        {"metric": "150 mm", "imperial": "6 in"},
    ]
    document["findings"]["slide"] = {
        "zip": {"length": "pocket_width", "exposed": "10 mm", "stock": "zips", "shortened": True}
    }
    for edge in ("top", "right", "bottom", "left"):
        document["pieces"].setdefault("tape", {
            "outline": {"rectangle": ["pocket_width", "10 mm"]}, "edges": {}, "layers": [{"material": "main"}]
        })["edges"][edge] = {"fate": "raw"}  # fmt: skip
    document["steps"][3]["uses"].append("slide")
    pattern = read_document(other_edition(document, "imperial"))
    assert grade_document(grade_size(pattern, size="base"))["stock"]["slide"] == "6 in"
    assert grade_document(grade_size(read_document(document), size="base"))["stock"]["slide"] == "150 mm"


@pytest.mark.parametrize(
    "values",
    [
        [{"metric": "25 mm", "imperial": "1 in"}, {"metric": "32 mm", "imperial": "1 in"}],
        [{"metric": "32 mm", "imperial": "1 in"}, {"metric": "25 mm", "imperial": "1 1/4 in"}],
        [{"metric": "25 mm"}],
        [],
    ],
)
def test_a_stock_list_rises_in_both_systems(values: list[Json]) -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_document(changed(strapped(), "stock.webbing", values))
    assert any(fault.path.startswith("stock.webbing") for fault in refused.value.faults)


def test_the_other_edition_changes_the_ruler_and_starts_anew_as_a_draft() -> None:
    document = strapped() | {
        "ruler": "1 mm",
        "edition": {"state": "published", "licence": "personal use", "errata": [{"says": "cut two"}]},
    }
    document["sizes"]["fine"] = {"scale": 1, "ruler": "0.5 mm"}
    before = copy.deepcopy(document)
    other = other_edition(document, "imperial")
    assert document == before
    assert other["edition"] == {"system": "imperial", "state": "drafted", "licence": "personal use"}
    assert other["ruler"] == "1/8 in"
    assert other["sizes"]["fine"] == {"scale": 1}
    same = {key for key in document if document[key] == other[key]}
    assert {"ruler", "edition", "sizes"} == document.keys() - same
    assert other_edition(document, "metric") == document
    assert other_edition(other, "imperial") == other
    assert other_edition(other, "metric")["ruler"] == "1 mm"


@pytest.mark.parametrize(
    ("edition", "state"),
    [
        (None, "calculated, not yet sewn"),
        ({}, "calculated, not yet sewn"),
        ({"state": "drafted"}, "calculated, not yet sewn"),
        ({"state": "sewn"}, "sewn"),
        ({"state": "in testing"}, "in testing"),
        ({"state": "published"}, "published"),
    ],
)
def test_a_grade_tells_whether_its_edition_was_ever_sewn(edition: Json | None, state: str) -> None:
    document = pouch() if edition is None else pouch() | {"edition": edition}
    grade = graded(document)
    assert grade["state"] == state
    grade["state"] = "published" if state != "published" else "sewn"
    assert [claim.about for claim in judge(document, grade).failing] == ["printed:state"]


def test_errata_are_of_a_size_or_of_all() -> None:
    errata = [{"says": "cut the pocket twice"}, {"size": "wide", "says": "hem of 20 mm", "since": "2 May"}]
    graded(pouch() | {"edition": {"errata": errata}}, "wide")
    errata.append({"size": "huge", "says": "nothing is right"})
    with pytest.raises(DocumentFaults) as refused:
        read_document(pouch() | {"edition": {"errata": errata}})
    assert [fault.path for fault in refused.value.faults] == ["edition.errata.2.size"]
