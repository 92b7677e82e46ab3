"""Zips, webbing, elastic, binding and hardware as they are bought."""

from __future__ import annotations

from typing import Any

import pytest

from grading.exact import read_length
from grading.pipeline import grade_document, grade_size, other_edition, read_document
from tests.conftest import DEMO_NAMES
from tests.grading.supplies.bags import band, row_of, supplied, with_findings
from tests.patterns import changed

Json = dict[str, Any]


def zipped(length: Json, finding: Json) -> Json:
    return changed(with_findings({"zip": finding}), "dimensions.zip_length", length)


COIL = {"zip": {"length": "zip_length", "exposed": "12 mm", "stock": "zips", "shortened": True}, "count": 2}
METAL = {"zip": {"length": "zip_length", "exposed": "10 mm", "stock": "zips"}}
FROM_STOCK = {"base": 200, "sizing": "stock", "stock": "zips"}


def test_a_zip_that_may_be_shortened_is_bought_at_the_next_stock_length() -> None:
    row = row_of(supplied(zipped({"base": 180, "sizing": "fixed"}, COIL)), "zip")
    assert row["buy"] == {"what": "zip of 200 mm", "length": "200 mm", "count": 2}
    assert (row["each"], row["total"], row["waste"]) == ("180 mm", "360 mm", "40 mm")
    assert "to be shortened to 180 mm" in row["says"]


def test_a_zip_of_just_a_stock_length_is_not_cut() -> None:
    row = row_of(supplied(zipped({"base": 200, "sizing": "fixed"}, COIL)), "zip")
    assert (row["buy"]["length"], row["waste"]) == ("200 mm", "0 mm")
    assert "shortened" not in row["says"]


@pytest.mark.parametrize(("base", "length"), [(200, "200 mm"), (160, "150 mm"), (240, "250 mm")])
def test_a_metal_zip_is_not_shortened(base: int, length: str) -> None:
    row = row_of(supplied(zipped({**FROM_STOCK, "base": base}, METAL)), "zip")
    assert (row["each"], row["buy"]["length"], row["waste"]) == (length, length, None)
    assert "must not be shortened" in row["says"]


def test_a_zip_has_one_slider_on_it_and_more_are_bought() -> None:
    sliders = changed(COIL, "zip.sliders", 2)
    supplies = supplied(zipped({"base": 180, "sizing": "fixed"}, sliders))
    assert [row["name"] for row in supplies["rows"]] == ["zip", "zip slider"]
    row = row_of(supplies, "zip slider")
    assert (row["kind"], row["count"], row["buy"]["count"]) == ("slider", 4, 2)
    assert not [row for row in supplied(zipped(FROM_STOCK, METAL))["rows"] if row["kind"] == "slider"]


def test_webbing_of_one_width_is_bought_in_one_length() -> None:
    findings = {
        "handle": {"webbing": {"width": "25 mm", "length": "620 mm", "ends": {"by": "40 mm"}}, "count": 2},
        "ring": {"hardware": {"what": "D ring", "width": "25 mm"}},
        "loop": {"webbing": {"width": "25 mm", "length": "60 mm"}, "count": 3},
        "narrow": {"webbing": {"width": "20 mm", "length": "100 mm"}},
    }
    supplies = supplied(with_findings(findings))
    assert [row["name"] for row in supplies["rows"]] == ["handle", "ring", "narrow"]
    row = row_of(supplies, "handle")
    assert (row["findings"], row["count"], row["each"]) == (["handle", "loop"], 5, None)
    assert (row["total"], row["buy"]["length"], row["waste"]) == ("1580 mm", "1.6 m", "20 mm")
    assert row_of(supplies, "narrow")["buy"]["length"] == "10 cm"


def test_things_of_different_prices_are_different_things() -> None:
    findings = {
        "handle": {"webbing": {"width": "25 mm", "length": "620 mm"}},
        "loop": {
            "webbing": {"width": "25 mm", "length": "60 mm"},
            "price": {"amount": "2", "currency": "EUR", "per": "1 m"},
        },
        "hook": {"hardware": {"what": "hook"}, "price": {"amount": "2", "currency": "EUR", "per": "each"}},
        "hook_2": {"hardware": {"what": "hook"}, "price": {"amount": "2.00", "currency": "EUR", "per": "each"}},
    }
    rows = supplied(with_findings(findings))["rows"]
    assert [row["findings"] for row in rows] == [["handle"], ["loop"], ["hook", "hook_2"]]


def test_elastic_is_cut_for_its_stretch() -> None:
    elastic = {"elastic": {"width": "20 mm", "length": "300 mm", "stretch": "5/4", "ends": {"by": "15 mm"}}}
    row = row_of(supplied(with_findings({"strap": elastic})), "strap")
    assert (row["total"], row["buy"]["length"], row["waste"]) == ("270 mm", "30 cm", "30 mm")
    assert "stretched to 1.25 times its length" in row["says"]


def test_hardware_of_one_kind_is_counted_together() -> None:
    findings = {
        "ring": {"hardware": {"what": "D ring", "width": "25 mm"}, "count": 2},
        "wide": {"hardware": {"what": "D ring", "width": "38 mm"}},
        "more": {"hardware": {"what": "D ring", "width": "25 mm"}, "count": 3},
    }
    supplies = supplied(with_findings(findings))
    assert [(row["name"], row["count"], row["buy"]["count"]) for row in supplies["rows"]] == [
        ("ring", 5, 5),
        ("wide", 1, 1),
    ]
    assert row_of(supplies, "ring")["buy"]["what"] == "D ring, 25 mm"


def test_the_unit_that_a_shop_sells_by_can_be_set() -> None:
    findings = {"handle": {"webbing": {"width": "25 mm", "length": "1010 mm"}}}
    document = with_findings(findings)
    assert row_of(supplied(document), "handle")["buy"]["length"] == "1.1 m"
    assert row_of(supplied(document, {"unit": "0.5 m"}), "handle")["buy"]["length"] == "1.5 m"


def window(edges: list[str], **binding: Any) -> Json:
    """A pane of 100 × 80 mm, bound along these edges."""
    document = with_findings({"edge": {"binding": {"width": "30 mm", "along": edges, **binding}}})
    document["pieces"]["pane"] = {
        "outline": {"rectangle": ["100 mm", "80 mm"]},
        "edges": {
            edge: {"fate": "bound" if f"pane.{edge}" in edges else "raw", "allowance": 0}
            for edge in ("top", "right", "bottom", "left")
        },
        "layers": [{"material": "main"}],
    }
    return document


ROUND = ["pane.top", "pane.right", "pane.bottom", "pane.left"]


@pytest.mark.parametrize(
    ("edges", "corners", "total"),
    [
        (ROUND, 4, "460 mm"),
        (ROUND[:3], 2, "330 mm"),
        (ROUND[:2], 1, "205 mm"),
        ([ROUND[0], ROUND[2]], 0, "200 mm"),
    ],
)
def test_mitred_corners_take_more_of_a_binding_that_is_bought(edges: list[str], corners: int, total: str) -> None:
    document = window(edges, cut_on="bought")
    assert row_of(supplied(document), "edge")["total"] == total
    without = row_of(supplied(document, {"corner": 0}), "edge")
    assert read_length(total) - read_length(without["total"]) == corners * 25


def test_a_rounded_corner_is_not_mitred() -> None:
    document = window(ROUND, cut_on="bought")
    document["pieces"]["pane"] |= {
        "outline": {"rounded_rectangle": {"width": "100 mm", "height": "80 mm", "corners": {"top_left": "20 mm"}}},
        "edges": {edge: {"fate": "bound", "allowance": 0} for edge in ("top", "right", "bottom", "left", "top_left")},
    }
    document["findings"]["edge"]["binding"]["along"] = [*ROUND, "pane.top_left"]
    row = row_of(supplied(document), "edge")
    assert "25 mm for each of 3 mitred corners" in row["says"]


@pytest.mark.parametrize(("join", "told"), [("120 mm", "is for the join and for them"), ("60 mm", "is less than that")])
def test_a_binding_that_is_cut_from_cloth_buys_nothing(join: str, told: str) -> None:
    supplies = supplied(window(ROUND, material="main", cut_on="straight", join=join))
    row = row_of(supplies, "edge")
    assert row["buy"] == {"what": "nothing, since it is cut from the main"}
    assert (row["waste"], read_length(row["total"])) == (None, 360 + read_length(join))
    assert row["says"] == f"4 mitred corners take 100 mm; the {join} that it has over its edges {told}"
    assert "edge" not in supplies["unpriced"]


@pytest.mark.parametrize("name", DEMO_NAMES)
@pytest.mark.parametrize("size", ["mini", "base", "large"])
def test_totals_are_the_sums_of_the_parts_and_no_finding_is_without_a_row(
    name: str, size: str, demo_documents: dict[str, Json]
) -> None:
    grade = grade_document(grade_size(read_document(demo_documents[name]), size=size))
    found = {finding["name"]: finding for finding in grade["findings"]}
    supplies = supplied(demo_documents[name], {"corner": 0}, size=size)
    named = [finding for row in supplies["rows"] for finding in row["findings"]]
    assert sorted(named) == sorted(found)
    for row in supplies["rows"]:
        parts = [found[name] for name in row["findings"]]
        assert row["count"] == sum(part["count"] for part in parts)
        if row["total"] is None:
            continue
        total = sum(part["count"] * read_length(part["length"]) for part in parts)
        assert read_length(row["total"]) == total
        if row["waste"] is not None and row["kind"] != "zip":
            bought = read_length(row["buy"]["length"])
            assert bought - total == read_length(row["waste"]) < 100
            assert bought % 100 == 0


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_an_edition_in_inches_buys_by_the_eighth_of_a_yard(name: str, demo_documents: dict[str, Json]) -> None:
    supplies = supplied(other_edition(demo_documents[name], "imperial"))
    eighth = read_length("1/8 yd")
    lengths = [row["buy"]["length"] for row in supplies["rows"] if row["kind"] in ("webbing", "elastic")]
    lengths += [thread["used"] for thread in supplies["thread"]]
    for length in lengths:
        assert length.endswith(" yd")
        assert read_length(length) % eighth == 0
    assert supplies["settings"]["unit"] == "1/8 yd"
    assert all("mm" not in (row["total"] or "") for row in supplies["rows"])


def test_every_step_that_needs_a_thing_is_named() -> None:
    document = zipped({"base": 180, "sizing": "fixed"}, {**COIL, "count": 1})
    document["pieces"]["strip"]["edges"]["bottom"] = {}
    document["seams"]["set"] = {"join": ["one.bottom"], "to": ["zip.top"], "kind": "zip"}
    document["dimensions"]["length"]["base"] = "180 mm"
    document["steps"] = [
        {"text": "Sew.", "action": "sew", "makes": ["top"]},
        {"text": "Set the zip.", "action": "sew", "makes": ["set"]},
        {"text": "Open it.", "action": "turn", "uses": ["zip"]},
    ]
    assert row_of(supplied(document), "zip")["steps"] == [2, 3]


def test_the_band_of_these_tests_is_sewn_over_its_whole_length() -> None:
    (thread,) = supplied(band("730 mm"))["thread"]
    assert (thread["seams"], thread["length"]) == (["top"], "73 cm")
