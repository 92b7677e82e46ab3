"""What is bought: the washed length unshrunk, what is spare, in the lengths that a shop sells, at its price."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.cloth.purchase import money
from grading.errors import DocumentFaults
from grading.exact import read_length
from grading.pipeline import read_document
from tests.grading.cloth.laid import Json, bag, laid, rectangle

QUICK: Json = {"effort": "quick", "widths": []}
PRICE = {"amount": "18.90", "currency": "EUR", "per": "1 m"}


def test_cloth_is_bought_for_what_it_is_before_washing() -> None:
    cloth = {"usable_width": "1000 mm", "shrinkage": {"along": "4 %", "across": "10 %"}, "price": PRICE}
    layout = laid(bag({"panel": rectangle(900, 500)}, cloth), QUICK | {"spare": "0 %"})
    assert (layout["usable_width"], layout["washed_width"], layout["width"]) == ("1000 mm", "900 mm", "900 mm")
    buy = layout["buy"]
    assert buy["needed"] == "521 mm"  # 500 / 0.96 = 520.83, on the ruler
    assert (buy["unit"], buy["length"], buy["waste"]) == ("100 mm", "600 mm", "0.0 %")
    assert buy["cost"] == {"amount": "11.34", "currency": "EUR"}  # 0.6 × 18.90


def test_cloth_that_is_not_washed_does_not_shrink() -> None:
    cloth = {"usable_width": "900 mm", "shrinkage": {"along": "4 %", "across": "10 %"}, "washed": False}
    layout = laid(bag({"panel": rectangle(900, 500)}, cloth), QUICK)
    assert (layout["washed_width"], layout["buy"]["needed"]) == ("900 mm", "500 mm")


def test_what_a_washed_sample_shows_counts_in_place_of_what_was_written() -> None:
    cloth = {"shrinkage": {"along": "10 %", "across": "10 %"}}
    tested = {"cloths": {"main": {"tested": {"along": "5 %", "across": "2 %"}}}}
    layout = laid(bag({"panel": rectangle(900, 380)}, cloth), QUICK | tested)
    assert (layout["washed_width"], layout["buy"]["needed"]) == ("980 mm", "400 mm")


@pytest.mark.parametrize(
    ("spare", "sold_by", "length"),
    [
        ("0 %", "100 mm", "500 mm"),
        ("5 %", "100 mm", "600 mm"),
        ("5 %", "25 mm", "525 mm"),
        ("5 %", "1 m", "1000 mm"),
    ],
)
def test_a_shop_sells_whole_units(spare: str, sold_by: str, length: str) -> None:
    layout = laid(bag({"panel": rectangle(900, 500)}, {"sold_by": sold_by}), QUICK | {"spare": spare})
    assert layout["buy"]["length"] == length


def test_on_inches_cloth_is_sold_by_the_eighth_of_a_yard() -> None:
    document = bag(
        {"panel": rectangle(20, 10)}, {"usable_width": "44 in"}, unit="in", ruler="1/8 in", allowance="1/4 in"
    )
    layout = laid(document, QUICK)
    assert (layout["length"], layout["buy"]["needed"], layout["buy"]["unit"]) == ("10 in", "10 in", "4 1/2 in")
    assert layout["buy"]["length"] == "13 1/2 in"


@given(cents=st.integers(0, 10**6), part=st.fractions(0, 1).filter(lambda part: part < 1))
def test_money_is_rounded_half_up(cents: int, part: Fraction) -> None:
    amount = money((cents + part) / 100)
    assert amount == Decimal(cents + (part >= Fraction(1, 2))) / 100
    assert amount.as_tuple().exponent == -2


@pytest.mark.parametrize(
    ("price", "path", "what"),
    [
        ({"amount": "14.50", "currency": "EUR"}, "materials.main.price", "how much it is for"),
        ({"amount": "a lot", "currency": "EUR", "per": "1 m"}, "materials.main.price.amount", "no amount"),
        ({"amount": "14.50", "currency": "euro", "per": "1 m"}, "materials.main.price.currency", "no currency"),
        ({"amount": "14.50", "currency": "EUR", "per": "each"}, "materials.main.price.per", "no price"),
        ({"amount": "14.50", "currency": "EUR", "per": "0 m"}, "materials.main.price.per", "no price"),
        ({"amount": "14.50", "currency": "EUR", "per": "sheet"}, "materials.main", "not for what is sold"),
    ],
)
def test_a_price_says_what_it_is_for(price: Json, path: str, what: str) -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_document(bag({"panel": rectangle(900, 500)}, {"price": price}))
    assert any(fault.path == path and what in fault.problem and fault.remedy for fault in refused.value.faults)


def test_cloth_sold_in_two_ways_is_a_fault() -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_document(bag({"panel": rectangle(90, 50)}, {"sheet": ["300 mm", "200 mm"]}))
    assert [fault.path for fault in refused.value.faults] == ["materials.main"]


def test_loose_cloth_is_no_thinner_than_stitched() -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_document(bag({"panel": rectangle(90, 50)}, {"thickness": "1 mm", "loose": "0.8 mm"}))
    assert [fault.path for fault in refused.value.faults] == ["materials.main.loose"]


def test_half_of_the_cloth_at_most_is_lost_in_the_wash() -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_document(bag({"panel": rectangle(90, 50)}, {"shrinkage": {"along": "60 %"}}))
    assert [fault.path for fault in refused.value.faults] == ["materials.main.shrinkage.along"]


def test_folded_cloth_is_paid_for_in_both_layers() -> None:
    panel = rectangle(500, 400, uses=["front", "back"])
    layout = laid(bag({"panel": panel}, {"price": PRICE}), QUICK | {"style": "folded", "spare": "0 %"})
    assert (layout["buy"]["waste"], layout["buy"]["length"]) == ("0.0 %", "400 mm")
    assert layout["buy"]["cost"]["amount"] == "7.56"


def test_sheets_are_counted_and_paid_for() -> None:
    sheet = {"usable_width": None, "sheet": ["400 mm", "300 mm"], "price": PRICE | {"amount": "5.20", "per": "sheet"}}
    document = bag({"base": rectangle(350, 200, uses=["one", "two", "three"])})
    document["materials"]["main"] = {key: value for key, value in sheet.items() if value is not None}
    layout = laid(document, QUICK)
    assert layout["sheets"] == 3
    assert [piece["sheet"] for piece in layout["pieces"]] == [0, 1, 2]
    assert (layout["length"], layout["least"]["length"]) == ("900 mm", "600 mm")
    assert layout["buy"] == {
        "sheets": 3,
        "waste": "41.7 %",
        "cost": {"amount": "15.60", "currency": "EUR"},
    }
    assert layout["fat_quarters"] is None and layout["widths"] == []


def test_shrinking_sheets_are_smaller_when_cut() -> None:
    document = bag({"base": rectangle(190, 140)})
    document["materials"]["main"] = {"sheet": ["200 mm", "150 mm"], "shrinkage": {"along": "5 %", "across": "5 %"}}
    layout = laid(document, QUICK)
    assert (layout["width"], layout["length"]) == ("190 mm", "142 mm")
    assert read_length(layout["pieces"][0]["along"]) == 140
