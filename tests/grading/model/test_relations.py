"""Relations: which a pattern has, by the names of section 4 of the reference, and what their forms say."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from grading.document.requests import read_request
from grading.model import Model, Problem, Relation, Sense, pose
from tests.evaluation import true_value
from tests.patterns import GONE, changed, model_of, pouch, sheet


def posed(document: dict[str, Any], request: dict[str, Any] | None = None) -> tuple[Model, Problem]:
    model = model_of(document)
    return model, pose(model, read_request(request or {"scale": 1}))


def relation(document: dict[str, Any], name: str, request: dict[str, Any] | None = None) -> Relation:
    _, problem = posed(document, request)
    return next(item for item in problem.relations if item.id == name)


def value(document: dict[str, Any], name: str, **at: int) -> float:
    """The value of a relation's form at the base size, but for the dimensions given, in mm."""
    model, problem = posed(document)
    found = next(item for item in problem.relations if item.id == name)
    return float(true_value(found.form, {**model.draft.base, **{key: Fraction(size) for key, size in at.items()}}))


def test_the_pouch_has_these_relations_and_no_others() -> None:
    _, problem = posed(pouch())
    assert [item.id for item in problem.relations] == [
        "limits:width:least",
        "limits:width:most",
        "limits:height:least",
        "limits:pocket_width:least",
        "limits:pocket_height:least",
        *(f"outline:panel:{edge}" for edge in ("top", "right", "bottom", "left")),
        *(f"outline:pocket:{edge}" for edge in ("top", "right", "bottom", "left")),
        "seam:side",
        "seam:side_2",
        "seam:bottom",
        "notch:bottom:0",
        "covering:pocket_on_front:caught:left:from",
        "covering:pocket_on_front:caught:right",
        "covering:pocket_on_front:caught:right:from",
        "covering:pocket_on_front:clear:bottom",
        "contents:card:across",
        "contents:card:along",
        "rule:shape",
        "cloth:panel:main",
        "cloth:pocket:main",
    ]


def test_every_relation_says_where_it_stands_and_why() -> None:
    _, problem = posed(pouch(), {"set": {"width": 150}})
    for item in problem.relations:
        assert item.says and item.because and item.path
        assert item.id.split(":")[0] == item.origin.value


@pytest.mark.parametrize(
    ("name", "at", "wanted"),
    [
        ("limits:width:least", {"width": 100}, 20),
        ("limits:width:most", {"width": 100}, 100),
        ("limits:height:least", {"height": 7}, 7),
        ("outline:panel:top", {"width": 100}, 99),
        ("outline:panel:right", {"height": 70}, 69),
        ("seam:side", {"height": 70}, 0),
        ("notch:bottom:0", {"width": 100}, 0),
        ("covering:pocket_on_front:caught:right", {"width": 100, "pocket_width": 90}, -10),
        ("covering:pocket_on_front:caught:left:from", {"height": 100, "pocket_height": 60}, 100 - 30 - 60),
        ("covering:pocket_on_front:clear:bottom", {"height": 100, "pocket_height": 60}, 10),
        ("contents:card:across", {"pocket_width": 100}, 100 - 86 - 1),
        ("contents:card:along", {"pocket_height": 60}, 60 + 20 - 54),
        ("rule:shape", {"width": 100, "height": 70}, 130),
        ("cloth:panel:main", {"width": 100}, 1370 - 100 - 20),
    ],
)
def test_a_relation_says_what_the_reference_says(name: str, at: dict[str, int], wanted: float) -> None:
    assert value(pouch(), name, **at) == wanted


def test_a_slanted_edge_keeps_its_direction_across_and_along() -> None:
    document = sheet({"trapezoid": {"top": "width", "bottom": "width/2", "height": "height"}})
    assert value(document, "outline:sheet:right:across") == 30
    assert value(document, "outline:sheet:right:along") == 90


def test_an_arc_has_a_radius_of_a_step_at_least() -> None:
    document = sheet({"disc": {"radius": "width"}})
    assert value(document, "outline:sheet:rim", width=30) == 29


@pytest.mark.parametrize(
    ("fields", "at", "wanted", "is_exact"),
    [
        ({}, {"long": 110, "short": 100}, 10, True),
        ({"ease": "6 mm"}, {"long": 106, "short": 100}, 0, True),
        ({"ease": "-6 mm"}, {"long": 94, "short": 100}, 0, True),
        ({"ease": "6 mm", "eased": "to"}, {"long": 94, "short": 100}, 0, True),
        ({"ease": "2 %"}, {"long": 102, "short": 100}, 0, False),
        ({"ease": "2 %", "eased": "to"}, {"long": 100, "short": 102}, 0, False),
        ({"fullness": "3/2"}, {"long": 150, "short": 100}, 0, False),
        ({"fullness": 1.5, "eased": "to"}, {"long": 100, "short": 150}, 0, False),
    ],
)
def test_a_seam_joins_its_sides_with_their_ease(
    fields: dict[str, Any], at: dict[str, int], wanted: int, is_exact: bool
) -> None:
    document = two_strips(**fields)
    assert value(document, "seam:join", **at) == wanted
    found = relation(document, "seam:join")
    assert found.sense is Sense.EQUAL
    assert (found.tolerance is None) == is_exact
    assert is_exact or found.tolerance == Fraction(3, 2)


def two_strips(**seam: Any) -> dict[str, Any]:
    """A long and a short strip, sewn to each other with notches."""
    strip = {"layers": [{"material": "main"}], "notches": {"mark": {"edge": "top", "at": 40}}}
    return {
        "format": 1,
        "name": "Two strips",
        "dimensions": {"long": {"base": 100}, "short": {"base": 100}},
        "materials": {"main": {}},
        "pieces": {
            "one": {**strip, "outline": {"rectangle": ["long", 50]}},
            "two": {**strip, "outline": {"rectangle": ["short", 50]}},
        },
        "seams": {"join": {"join": ["one.top"], "to": ["two.top"], "notches": [["one.mark", "two.mark"]], **seam}},
    }


@pytest.mark.parametrize(
    ("fields", "wanted"),
    [
        # The mark lies 40 mm from the start of its edge: 40 along the join side, short - 40 = 60 along the other.
        ({}, {"notch:join:0": -20}),
        ({"ease": 0}, {"notch:join:0": -20}),
        ({"to": ["two.top forward"]}, {"notch:join:0": 0}),
        ({"fullness": "3/2"}, {"notch:join:0": 40 - 90}),
        ({"fullness": "3/2", "eased": "to"}, {"notch:join:0": 60 - 60}),
        ({"ease": "6 mm"}, {"notch:join:0:early": 6 + 1.5 - 20, "notch:join:0:late": 6 + 1.5 + 20}),
        ({"ease": "-6 mm"}, {"notch:join:0:early": 6 + 1.5 - 20, "notch:join:0:late": 6 + 1.5 + 20}),
    ],
)
def test_notches_meet_along_their_sides(fields: dict[str, Any], wanted: dict[str, float]) -> None:
    document = two_strips(**fields)
    _, problem = posed(document)
    assert {item.id for item in problem.relations if item.origin.value == "notch"} == set(wanted)
    assert {name: value(document, name) for name in wanted} == wanted


def test_the_ease_of_a_seam_is_put_on_the_ruler_and_that_is_reported() -> None:
    model = model_of({**two_strips(ease="6 mm"), "ruler": "5 mm"})
    assert [(item.path, item.before, item.after) for item in model.alterations] == [("seams.join.ease", 6, 5)]
    assert model.seams["join"].written_ease.constant == 6
    assert model.seams["join"].ease.constant == 5


def test_the_default_allowance_is_altered_once() -> None:
    model = model_of(pouch(), "1/8 in")
    found = [(item.path, item.before, item.after) for item in model.alterations if item.path == "allowance"]
    assert found == [("allowance", Fraction(10), Fraction(9525, 1000))]
    assert all("base" not in item.path and "limits" not in item.path for item in model.alterations)


def test_a_seam_round_a_curve_holds_within_its_tolerance() -> None:
    document = sheet({"disc": {"radius": "width"}})
    document["dimensions"]["band"] = {"base": 700, "sizing": "decided"}
    document["pieces"]["band"] = {"outline": {"rectangle": ["band", 40]}, "layers": [{"material": "main"}]}
    document["seams"] = {"round": {"join": ["sheet.rim"], "to": ["band.top"], "tolerance": "2 mm"}}
    found = relation(document, "seam:round")
    assert found.tolerance == 2
    assert value(document, "seam:round", width=100, band=600) == pytest.approx(628.3185307 - 600)


def test_what_is_fixed_asked_or_from_stock_becomes_a_relation_of_the_request() -> None:
    document = changed(pouch(), "dimensions.height.sizing", "fixed")
    document = changed(document, "dimensions.length", {"base": 110, "sizing": "stock", "stock": "zips"})
    _, problem = posed(document, {"scale": "1/2"})
    names = {item.id for item in problem.relations}
    assert "fixed:height" in names
    assert [choice.dimension for choice in problem.stock] == ["length"]
    assert problem.wish == {"width": 60, "height": 90, "pocket_height": 25, "length": 110}
    assert problem.weight == {"width": Fraction(1, 14400), "pocket_height": Fraction(1, 2500)}
    assert problem.reach == {"width": 8, "height": 1, "pocket_width": 8, "pocket_height": 8, "length": 0}
    _, problem = posed(document, {"set": {"height": 99, "length": "150 mm"}})
    names = {item.id for item in problem.relations}
    assert {"asked:height", "asked:length"} <= names
    assert "fixed:height" not in names and problem.stock == ()
    # Others follow what is set and in proportion; here that is nothing.
    assert problem.wish["width"] == 120


def test_others_follow_the_mean_of_what_is_set() -> None:
    document = changed(pouch(), "dimensions.flap", {"base": 40})
    _, problem = posed(document, {"set": {"height": 99, "pocket_height": 60}})
    assert problem.wish == {
        "width": 120 * (Fraction(99, 90) + Fraction(60, 50)) / 2,
        "height": 99,
        "pocket_height": 60,
        "flap": 40 * (Fraction(99, 90) + Fraction(60, 50)) / 2,
    }


def test_others_stay_at_their_base_where_that_is_asked() -> None:
    _, problem = posed(pouch(), {"set": {"height": 99}, "others": "at base"})
    assert problem.wish == {"width": 120, "height": 99, "pocket_height": 50}


def test_a_piece_on_the_fold_takes_half_the_width_of_cloth() -> None:
    document = changed(sheet({"rectangle": ["width", "height"]}, on_fold=True), "materials.main.usable_width", 100)
    assert value(document, "cloth:sheet:main") == 100 - 140 / 2


@pytest.mark.parametrize(
    ("fields", "wanted"),
    [
        ({}, 1000 - 140),
        ({"grain": "across"}, 1000 - 110),
        ({"layers": [{"material": "main", "oversize": "25 mm"}]}, 1000 - 140 - 50),
        ({"layers": [{"material": "main", "inset": "3 mm"}]}, 1000 - 120 + 6),
        ({"edges": {"right": {"allowance": "30 mm"}}}, 1000 - 120 - 40),
        ({"edges": {"right": {"fate": "folded"}}}, 1000 - 120 - 10),
        ({"grain": "bias", "edges": {"top": {"allowance": "30 mm"}}}, 1000 - 120 - 60),
    ],
)
def test_a_piece_fits_across_its_cloth_as_it_is_cut(fields: dict[str, Any], wanted: int) -> None:
    document = changed(sheet({"rectangle": ["width", "height"]}, **fields), "materials.main.usable_width", 1000)
    assert value(document, "cloth:sheet:main") == wanted


def test_a_strip_may_be_wider_than_its_cloth() -> None:
    document = changed(sheet({"rectangle": ["width", 50]}, strip=True), "materials.main.usable_width", 100)
    assert not [item for item in posed(document)[1].relations if item.origin.value == "cloth"]


def test_contents_of_the_bag_fit_its_inside() -> None:
    document = changed(pouch(), "inside", ["width", "height", "width/4"])
    document = changed(
        document,
        "contents.box",
        {"in": "bag", "object": [100, 95, 25], "ease": 5, "stands_out": "20 mm"},
    )
    assert value(document, "contents:box:across") == 120 - 105
    assert value(document, "contents:box:along") == 90 + 20 - 95 - 5
    assert value(document, "contents:box:deep") == 30 - 30


def test_an_opening_lets_a_hand_pass() -> None:
    document = changed(pouch(), "contents.hand", {"opening": "width - 10", "least": "100 mm"})
    assert value(document, "contents:hand") == 10


def test_a_shortened_zip_is_no_longer_than_the_longest_in_stock() -> None:
    zip_finding = {"zip": {"length": "width - 10", "exposed": 20, "stock": "zips", "shortened": True}}
    document = changed(pouch(), "findings.fly", zip_finding)
    assert value(document, "finding:fly:longest") == 150 - 110
    assert value(document, "finding:fly:length") == 109


def test_rules_between_constants_are_no_relations_where_they_hold() -> None:
    document = changed(pouch(), "rules.shape.holds", "3 >= 2")
    assert "rule:shape" not in {item.id for item in posed(document)[1].relations}
    document = changed(pouch(), "rules.shape.holds", "3 <= 2")
    assert "rule:shape" in {item.id for item in posed(document)[1].relations}


def test_lists_that_are_absent_ask_for_nothing() -> None:
    document = pouch()
    for key in ("seams", "coverings", "contents", "findings", "rules", "sizes", "steps", "stock"):
        document = changed(document, key, GONE)
    assert {item.origin.value for item in posed(document)[1].relations} == {"limits", "outline", "cloth"}
