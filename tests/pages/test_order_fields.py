"""The order form's fields and answers without a browser: units, ends, what was typed, why a wish is refused.

Lengths are checked by arithmetic: an inch is 25.4 mm exactly (NBS Circular 572 addendum, 1960). The forms and problems
are made for these tests.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from api.pages.door import Refused
from api.pages.order import lengths
from api.pages.order.answer import refusal
from api.pages.order.fields import Fields, measured, read_fields
from api.pages.order.wish import wish_of

Json = dict[str, Any]


def form(**changes: Any) -> Json:
    """A form with one measure from 240 to 500 mm, one size, one option and one cloth in two colours."""
    width = {"description": "finished width", "least": "240 mm", "greatest": "500 mm"}
    properties = {
        "measures": {"properties": {"width": width}},
        "options": {"properties": {"sleeve": {"enum": ["with", "without"], "default": "with"}}},
    }
    return {
        "id": "00000000-0000-4000-8000-000000000000",
        "ruler": "1 mm",
        "schema": {"properties": properties},
        "defaults": {"size": "base", "measures": {"width": "360 mm"}, "cloths": {"main": "slate"}, "quantity": 1},
        "sizes": [{"name": "base", "measures": {"width": "360 mm", "height": "380 mm"}}],
        "cloths": {
            "main": [
                {"name": "slate", "says": "", "colours": ["#5c666d"]},
                {"name": "kelp", "says": "green", "colours": []},
            ]
        },
        "options": {"sleeve": {"with": "with a sleeve", "says": "at the back"}},
        "names": {"width": "finished width"},
        **changes,
    }


def typed(**values: str) -> dict[str, str]:
    return {name.replace("__", " "): value for name, value in values.items()}


@pytest.mark.parametrize(
    ("text", "unit", "millimetres"),
    [
        ("36", "cm", Fraction(360)),
        ("36,5", "cm", Fraction(365)),
        ("14 1/2", "in", Fraction("368.3")),
        ("14-1/2", "in", Fraction("368.3")),
        ("1/3", "in", Fraction(254, 30)),
        ("36 cm", "in", Fraction(360)),
        ('14 1/2"', "cm", Fraction("368.3")),
        ("1.2 m", "in", Fraction(1200)),
    ],
)
def test_a_length_is_read_exactly_as_it_was_typed(text: str, unit: str, millimetres: Fraction) -> None:
    assert lengths.read(text, unit) == millimetres


@pytest.mark.parametrize("text", ["", "tall", "0", "-3", "1/0", "3 4", "1e3", "36 elephants", "9" * 60, "１２"])
def test_what_is_no_length_above_nothing_is_none(text: str) -> None:
    assert lengths.read(text, "cm") is None


def test_the_ends_are_rounded_inwards_so_that_what_is_shown_can_be_had() -> None:
    for unit in lengths.UNITS:
        low, high = lengths.inner(Fraction(241), Fraction("499.5"), unit)
        assert 241 <= low < high <= Fraction("499.5")
        assert (low / lengths.STEPS[unit]).denominator == (high / lengths.STEPS[unit]).denominator == 1


def test_what_lies_within_less_than_a_step_is_shown_as_it_is() -> None:
    assert lengths.inner(Fraction("240.2"), Fraction("240.4"), "in") == (Fraction("240.2"), Fraction("240.4"))


def test_a_proposal_in_inches_lies_within_the_ends() -> None:
    least, greatest = Fraction(360), Fraction(363)
    shown = lengths.read(lengths.proposed(Fraction("360.1"), "in", least, greatest), "in")
    assert shown is not None
    assert least <= shown <= greatest


def test_the_usual_choice_stands_in_a_form_that_nobody_has_touched() -> None:
    fields = read_fields(form(), {})
    assert (fields.unit, fields.measures[0].typed, fields.measures[0].ends) == ("cm", "36", ("24 cm", "50 cm"))
    assert wish_of(form(), fields) == {
        "size": "base",
        "quantity": 1,
        "options": {"sleeve": "with"},
        "cloths": {"main": "slate"},
    }


def test_choices_are_told_in_the_words_of_the_pattern() -> None:
    fields = read_fields(form(), {})
    assert [choice.says for choice in fields.sizes] == ["base: 36 × 38 cm", "measures of your own"]
    assert [choice.says for choice in fields.options[0].choices] == ["with a sleeve", "without"]
    assert [choice.says for choice in fields.cloths[0].choices] == ["slate", "green"]


def test_a_measure_of_ones_own_is_sent_exactly() -> None:
    fields = read_fields(form(), typed(size="own", unit="in", typed_in="in", measure__width="14 1/2"))
    assert not fields.faulty
    assert wish_of(form(), fields)["measures"] == {"width": "368.3 mm"}
    third = read_fields(form(), typed(size="own", unit="in", typed_in="in", measure__width="10 1/3"))
    # 31/3 in × 25.4 mm = 787.4/3 mm
    assert wish_of(form(), third)["measures"] == {"width": "3937/15 mm"}


def test_a_bare_number_keeps_its_length_when_the_unit_is_changed() -> None:
    fields = read_fields(form(), typed(size="own", unit="mm", typed_in="cm", measure__width="36.5"))
    assert fields.measures[0].typed == "365"
    back = read_fields(form(), typed(size="own", unit="in", typed_in="mm", measure__width="368.3"))
    assert back.measures[0].typed == "14 1/2"


def test_a_measure_beyond_the_ends_is_told_with_both_numbers_and_what_can_be_had() -> None:
    measure = read_fields(form(), typed(size="own", unit="cm", typed_in="cm", measure__width="60")).measures[0]
    assert (measure.fault, measure.nearest) == ("60 cm cannot be made: not more than 50 cm.", "50")
    measure = read_fields(form(), typed(size="own", unit="in", typed_in="in", measure__width="9")).measures[0]
    assert (measure.fault, measure.nearest) == ("9 in cannot be made: not less than 9 1/2 in.", "9 1/2")


def test_a_measure_matters_only_where_measures_of_ones_own_are_chosen() -> None:
    assert read_fields(form(), typed(size="own", measure__width="60")).faulty
    assert not read_fields(form(), typed(size="base", measure__width="60")).faulty


@pytest.mark.parametrize("quantity", ["0", "-1", "1001", "two", "1.5", "", "٣"])
def test_how_many_is_a_whole_number_from_one_to_a_thousand(quantity: str) -> None:
    assert "whole number from 1 to 1000" in read_fields(form(), typed(quantity=quantity)).quantity_fault


def test_what_is_not_offered_becomes_what_is_usual() -> None:
    odd = typed(size="giant", unit="cubits", cloth__main="plaid", option__sleeve="maybe", beside="elephant")
    fields = read_fields(form(), odd)
    assert wish_of(form(), fields)["cloths"] == {"main": "slate"}
    assert wish_of(form(), fields)["options"] == {"sleeve": "with"}
    assert (wish_of(form(), fields)["size"], fields.unit, fields.beside) == ("base", "cm", "a4")


def test_sizes_that_were_tried_are_offered_in_place_of_a_range() -> None:
    tried = form()
    tried["schema"]["properties"]["measures"] = {"enum": [{"width": "300 mm"}, {"width": "330 mm"}]}
    fields = read_fields(tried, typed(size="tried 1", unit="cm"))
    assert [choice.says for choice in fields.sizes] == ["base: 36 × 38 cm", "30 cm", "33 cm"]
    assert wish_of(tried, fields)["measures"] == {"width": "330 mm"}


def test_measures_that_a_unit_cannot_write_are_told_as_about() -> None:
    # 360 / 25.4 = 14.17…, 381 / 25.4 = 15
    assert measured({"width": "360 mm", "height": "381 mm"}, "in") == "about 14.2 × 15.0 in"
    assert measured({"width": "254 mm"}, "in") == "10 in"


def own(text: str) -> Fields:
    return read_fields(form(), typed(size="own", unit="cm", typed_in="cm", measure__width=text))


def test_a_conflict_is_told_by_the_reasons_of_the_pattern_with_what_can_be_made() -> None:
    problem = {
        "title": "This size cannot be made",
        "relations": [
            {"id": "rule:a", "says": "width >= 300", "because": "the folder must fit", "path": "rules.a"},
            {"id": "rule:b", "says": "width >= 300", "because": "the folder must fit", "path": "rules.b"},
        ],
        "remedies": [
            {"change": "ask for width of 300 mm", "request": {"set": {"width": "300 mm"}}, "distance": 0.1},
            {"change": "ask for width of 600 mm", "request": {"set": {"width": "600 mm"}}, "distance": 0.2},
            {"change": "change the rule", "request": None, "distance": 0.3},
        ],
    }
    told = refusal(Refused(409, problem), own("25"))
    assert (told.problems, told.because) == (("This size cannot be made.",), ("the folder must fit",))
    # 600 mm is more than the form offers, and the pattern is not the customer's to change.
    assert [(way.sends, way.says) for way in told.ways] == [("width 30", "Take 30 cm for width")]


def test_faults_are_told_with_their_remedies() -> None:
    fault = {"path": "measures.width", "problem": "It is more than is offered.", "remedy": "ask for 240 to 500 mm"}
    told = refusal(Refused(422, {"faults": [fault]}), own("25"))
    assert told.problems == ("It is more than is offered. Ask for 240 to 500 mm.",)


@pytest.mark.parametrize("status", [429, 500, 503])
def test_a_busy_server_asks_for_patience(status: int) -> None:
    assert "try again in a moment" in refusal(Refused(status, {}), own("25")).problems[0]


def test_no_word_of_the_calculation_reaches_a_customer() -> None:
    told = refusal(Refused(409, {"title": "The grade is outdated", "detail": "solver relation"}), own("25"))
    assert told.problems == ("This cannot be made just now; the workshop can say why.",)
