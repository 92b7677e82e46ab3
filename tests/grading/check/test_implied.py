"""Rules that never bind and limits that no size can reach. Judged from outside by z3 over the rationals."""

from __future__ import annotations

from fractions import Fraction

import pytest
import z3

from grading.exact import PI40
from grading.form import Form
from grading.model.findings import stock_values
from tests.conftest import DEMO_NAMES
from tests.grading.check.sound import Json, places, pouch, said, told
from tests.patterns import changed, model_of


def ruled(holds: str) -> Json:
    """The pouch with one more rule."""
    return changed(pouch(), "rules.more", {"holds": holds, "because": "it is so"})


def z3_says_that_it_follows(document: Json, rule: str) -> bool:
    """Whether no point keeps all other relations of a model, and the range of its stock, and breaks this rule.

    Forms with roots are left out, and pi is the rational with which sizes are calculated.
    """
    model, solver = model_of(document), z3.Solver()
    for relation in model.relations:
        if not relation.form.roots:
            left = term(relation.form)
            holds = left == 0 if relation.is_equation else left >= 0
            solver.add(z3.Not(holds) if relation.id == f"rule:{rule}" else holds)
    for name, dimension in model.pattern.dimensions.items():
        if dimension.stock is not None:
            values = stock_values(model.draft, dimension.stock)
            solver.add(z3.Real(name) >= z3.RealVal(str(values[0])), z3.Real(name) <= z3.RealVal(str(values[-1])))
    return bool(solver.check() == z3.unsat)


def term(form: Form) -> z3.ArithRef:
    """A form without roots for z3."""
    total = z3.RealVal(0)
    for factor, terms in ((Fraction(1), form.plain), (PI40, form.pi)):
        for name, value in terms.items():
            number = z3.RealVal(str(value * factor))
            total += number * z3.Real(name) if name else number
    return total


@pytest.mark.parametrize(
    "holds",
    [
        "width >= 90",  # the limits begin at 100
        "2*width + height >= 280",  # 2 × 100 + 80
        "pocket_width == width",  # the covering says so
        "pocket_width >= 100",
        "height <= 2*width + 1",  # another rule says more
        "height >= pocket_height",  # the pocket lies inside
        "pocket_width <= 200",
        "width >= 150",
        "height >= 90",
        "height <= 2*width",  # another rule says the same
        "pocket_width == height + 30",
    ],
)
def test_a_rule_is_remarked_on_exactly_where_z3_says_that_it_follows(holds: str) -> None:
    document = ruled(holds)
    restates = holds in {"pocket_width <= 200", "pocket_width >= 100"}  # what a limit says, with the reason for it
    follows = z3_says_that_it_follows(document, "more")
    assert ("rules.more" in places(document, "rule_follows")) == (follows and not restates)


def test_the_reasons_are_told() -> None:
    note = told(ruled("2*width + height >= 200"), "rule_follows")
    assert note.is_remark
    assert "width is at least 100 mm" in note.problem
    assert "height is at least 80 mm" in note.problem


def test_of_two_rules_that_say_the_same_the_later_one_is_named() -> None:
    assert places(ruled("height <= 2*width"), "rule_follows") == ["rules.more"]


def test_a_rule_about_numbers_only_is_remarked_on() -> None:
    assert places(ruled("2*30 >= 50"), "rule_follows") == ["rules.more"]


def test_a_rule_that_gives_a_reason_for_a_limit_may_stay() -> None:
    assert said(ruled("width >= 100")) == []


def test_a_rule_over_a_fixed_dimension_binds_where_a_size_sets_it() -> None:
    document = changed(ruled("strip >= 30"), "dimensions.strip", {"base": 40, "sizing": "fixed"})
    assert places(changed(document, "steps.0.text", "Hem {strip}."), "rule_follows") == []


def test_a_limit_that_no_size_can_reach_is_told_with_what_can() -> None:
    document = changed(pouch(), "dimensions.width.limits", [80, 200])
    note = told(document, "limit_out_of_reach")
    assert (note.path, note.is_remark) == ("dimensions.width.limits", True)
    assert all(number in note.problem for number in ("80 mm", "87 mm"))  # the card is 86 wide and 1 thick
    assert "card" in note.problem
    assert said(changed(pouch(), "dimensions.width.limits", [87, 200])) == []


def test_a_greatest_limit_is_looked_at_too() -> None:
    document = changed(pouch(), "dimensions.height.limits", [80, 500])
    note = told(document, "limit_out_of_reach")
    assert all(number in note.problem for number in ("500 mm", "400 mm"))  # twice the greatest width


def test_stock_keeps_to_its_range() -> None:
    document = changed(pouch(), "dimensions.pocket_height", {"base": 50, "sizing": "stock", "stock": "tapes"})
    document["stock"] = {"tapes": ["40 mm", "50 mm"]}
    document["rules"]["low"] = {"holds": "pocket_height <= 60", "because": "so that it stays low"}
    note = told(document, "rule_follows")
    assert "pocket_height is from stock" in note.problem


REASONS = {"foamed_corner", "flap_covers", "hand_in_place"}
"""Rules of the demo patterns that give the reason for a limit."""


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_of_the_demo_patterns_only_reasons_for_limits_follow(name: str, demo_documents: dict[str, Json]) -> None:
    document = demo_documents[name]
    follow = {rule for rule in document["rules"] if z3_says_that_it_follows(document, rule)}
    assert follow == REASONS & {*document["rules"]}


def test_a_rule_planted_into_a_large_pattern_is_found(demo_documents: dict[str, Json]) -> None:
    rule = {"holds": "front_pocket_width >= 150", "because": "it holds a wallet"}
    document = changed(demo_documents["ferry_day_pack"], "rules.more", rule)
    assert z3_says_that_it_follows(document, "more")
    assert places(document, "rule_follows") == ["rules.more"]
