"""Prices, worked out by hand for an invented bag, and the laws that every price keeps."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.document import read_pattern
from grading.errors import DocumentFaults, RequestFaults
from grading.price import currency_of, write_price
from tests.grading.price.bag import GRADE, amounts, priced, shop, with_rule

Json = dict[str, Any]


def test_the_price_of_a_bag_comes_out_as_reckoned_by_hand() -> None:
    assert amounts(priced()) == {
        "main": 756,  # 287 + 15 mm is 400 mm bought: 0.4 × 18.90
        "lining": 196,  # 140 + 7 mm is 200 mm bought: 0.2 × 9.80
        "board": 520,
        "handle": 96,  # 330 mm is 400 mm bought: 0.4 × 2.40
        "hook": 130,  # 2 × 0.65
        "cut": 1000,  # 20 min of 30.00
        "sew": 2995,  # 50 + 3 × 330/100 = 59.9 min of 30.00
        "spoiled": 171,  # 3 % of 56.93 is 1.7079
        "packaging": 85,
        "postage": 499,
        "margin": 1983,  # 25 % of the price: a third of 59.49, without the postage
        "fees": 236,  # (0.02 × 1.19 × 84.31 + 0.30) / (1 - 0.0238) = 2.36286
        "tax": 1647,  # 19 % of 86.67 is 16.4673
    }
    assert priced().total == 10314
    # 2 % of 103.14 and 0.30 are 2.36, as the line of fees says.


def test_a_price_is_written_with_its_sums() -> None:
    written = write_price(priced())
    assert (written["before_tax"], written["tax"], written["total"]) == (8667, 1647, 10314)
    assert written["text"] == "103.14 EUR"
    assert written["minutes"] == "79.9"
    assert sum(line["amount"] for line in written["lines"]) == written["total"]
    assert written["measures"] == {"width": "120 mm", "height": "90 mm"}


def test_several_bags_are_bought_for_at_once() -> None:
    found = amounts(priced(size="base", quantity=3))
    assert found["main"] == 1890  # 3 × 302 mm is 1 m bought, not 3 × 400 mm
    assert found["handle"] == 240  # 3 × 330 mm is 1 m bought
    assert (found["hook"], found["board"], found["cut"]) == (390, 1560, 3000)
    assert (found["packaging"], found["postage"]) == (255, 499)


def test_a_chosen_cloth_has_its_own_price() -> None:
    found = priced(size="base", cloths={"main": "print"})
    assert amounts(found)["main"] == 840  # 0.4 × 21.00
    assert {line.name: line.says for line in found.lines}["main"] == "main (print): 0.4 m at 21.00 EUR for 1 m"


def test_a_size_asked_by_name_may_take_its_own_time() -> None:
    mini = {**GRADE, "size": {"name": "mini", "request": {}}}
    assert amounts(priced(grade=mini))["sew"] == 2250  # 45 min of 30.00


def test_a_markup_is_of_what_it_costs() -> None:
    found = amounts(priced(with_rule(margin=None, markup="25 %")))
    assert found["margin"] == 1487  # 25 % of 59.49 is 14.8725


def test_without_more_a_price_is_materials_and_work() -> None:
    bare = with_rule(also=None, spoiled=None, margin=None, fees=None, tax=None)
    assert priced(bare).total == 756 + 196 + 520 + 96 + 130 + 1000 + 2995
    assert priced(bare).tax == 0


def test_a_rounded_total_is_a_multiple_and_the_tax_is_in_it() -> None:
    found = priced(with_rule(round_to=500))
    assert found.total == 10500  # 103.14 lies nearer to 105 than to 100
    assert found.tax == 1676  # 105.00 × 19/119 is 16.7647
    assert amounts(found)["rounding"] == 10500 - 1676 - 8667


@pytest.mark.parametrize(
    ("currency", "hour", "total"),
    [("JPY", "3000", 1000), ("KWD", "9.000", 3000), ("CLF", "1.2000", 4000), ("EUR", "30.00", 1000)],
)
def test_money_is_counted_in_the_minor_units_of_its_currency(currency: str, hour: str, total: int) -> None:
    document = with_rule(currency=currency, hour=hour, minutes={"cut": 20}, also=None)
    free = {"amount": "0", "currency": currency}
    for material in document["materials"].values():
        material["price"] |= free
    for finding in document["findings"].values():
        finding["price"] |= free
    document["order"]["cloths"]["main"][1]["material"]["price"] |= free
    document["order"]["price"]["fees"] = "0 %"
    assert amounts(priced(document))["cut"] == total


# ISO 4217, table A.1 as published on 28 March 2014 (datasets/currency-codes on GitHub, data/codes-all.csv).
WITHOUT_MINOR_UNIT = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UYI VND VUV XAF XOF XPF"
IN_THOUSANDTHS = "BHD IQD JOD KWD LYD OMR TND"
IN_HUNDREDTHS = "EUR USD GBP CHF SEK NOK DKK PLN CZK HUF CAD AUD NZD INR CNY BRL MXN ZAR MGA IRR TWD COP IDR"


@pytest.mark.parametrize(("codes", "digits"), [(WITHOUT_MINOR_UNIT, 0), (IN_THOUSANDTHS, 3), (IN_HUNDREDTHS, 2)])
def test_minor_units_are_those_of_the_published_table(codes: str, digits: int) -> None:
    assert {currency_of(code).digits for code in codes.split()} == {digits}


@pytest.mark.parametrize("amount", ["0.005", "1.115", "2.675", "10.004", "0.0049", "12", "0", "-0.004"])
def test_amounts_are_rounded_as_the_decimal_library_rounds_them(amount: str) -> None:
    expected = int(Decimal(amount).quantize(Decimal("0.01"), ROUND_HALF_UP) * 100)
    assert currency_of("EUR").minor(Fraction(amount)) == expected


shares = st.integers(0, 400).map(lambda tenths: f"{tenths / 10} %")


@given(
    quantity=st.integers(1, 40),
    spoiled=shares,
    margin=shares,
    fee=st.integers(0, 100).map(lambda tenths: f"{tenths / 10} %"),
    rate=st.integers(0, 27).map(lambda percent: f"{percent} %"),
    round_to=st.one_of(st.none(), st.sampled_from([1, 5, 50, 99, 100, 1000])),
)
def test_lines_add_up_fees_are_covered_and_tax_is_its_rate(
    quantity: int, spoiled: str, margin: str, fee: str, rate: str, round_to: int | None
) -> None:
    tax = {"says": "tax", "rate": rate}
    document = with_rule(spoiled=spoiled, margin=margin, fees=fee, tax=tax, round_to=round_to)
    price = priced(document, size="base", quantity=quantity)
    written = write_price(price)
    assert sum(line["amount"] for line in written["lines"]) == written["total"]
    assert written["before_tax"] + written["tax"] == written["total"]
    share = Fraction(rate.removesuffix(" %")) / 100
    before = Fraction(written["before_tax"])
    assert abs(before * share - written["tax"]) <= (1 if round_to else Fraction(1, 2))
    if round_to:
        assert written["total"] % round_to == 0
    taken = Fraction(fee.removesuffix(" %")) / 100 * (written["total"] - amounts(price).get("rounding", 0))
    assert abs(taken - amounts(price).get("fees", 0)) <= 2 + (round_to or 0)


def test_more_bags_never_cost_less_and_never_more_than_as_many_single_orders() -> None:
    totals = [priced(size="base", quantity=count).total for count in range(1, 12)]
    assert totals == sorted(totals)
    assert all(total <= totals[0] * count for count, total in enumerate(totals, start=1))


def test_the_same_documents_give_the_same_price() -> None:
    assert write_price(priced()) == write_price(priced())


@pytest.mark.parametrize(("section", "name"), [("materials", "lining"), ("findings", "handle"), ("findings", "hook")])
def test_what_is_bought_without_a_price_is_named(section: str, name: str) -> None:
    document = shop()
    del document[section][name]["price"]
    with pytest.raises(RequestFaults) as refused:
        priced(document)
    assert [fault.path for fault in refused.value.faults] == [f"{section}.{name}.price"]
    assert "amount of 0" in refused.value.faults[0].remedy


def test_a_pattern_without_a_price_rule_says_so() -> None:
    document = shop()
    del document["order"]["price"]
    with pytest.raises(RequestFaults) as refused:
        priced(document)
    assert [fault.path for fault in refused.value.faults] == ["order.price"]


BROKEN = [
    ({"currency": "euro"}, "order.price.currency"),
    ({"currency": "USD"}, "materials.main.price.currency"),
    ({"hour": "30,00"}, "order.price.hour"),
    ({"hour": 30}, "order.price.hour"),
    ({"minutes": {"sew": -1}}, "order.price.minutes.sew"),
    ({"minutes": {"sew": {"sizes": {"giant": 1}}}}, "order.price.minutes.sew.sizes.giant"),
    (
        {"minutes": {"sew": {"by_length": [{"of": "girth", "per": 10, "minutes": 1}]}}},
        "order.price.minutes.sew.by_length.0.of",
    ),
    (
        {"minutes": {"sew": {"by_length": [{"of": "pi*width", "per": 10, "minutes": 1}]}}},
        "order.price.minutes.sew.by_length.0.of",
    ),
    (
        {"minutes": {"sew": {"by_length": [{"of": "width", "per": 0, "minutes": 1}]}}},
        "order.price.minutes.sew.by_length.0.per",
    ),
    ({"markup": "10 %"}, "order.price"),
    ({"margin": "100 %"}, "order.price.margin"),
    ({"spoiled": "3"}, "order.price.spoiled"),
    ({"fees": "90 %"}, "order.price"),
    ({"tax": {"rate": "19 %"}}, "order.price.tax.says"),
    ({"round_to": 0}, "order.price.round_to"),
    ({"valid_days": 366}, "order.price.valid_days"),
    ({"discount": "5 %"}, "order.price.discount"),
]


@pytest.mark.parametrize(("change", "path"), BROKEN)
def test_a_price_rule_with_faults_is_refused_where_they_are(change: Json, path: str) -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_pattern(with_rule(**change))
    assert path in [fault.path for fault in refused.value.faults]
    assert all(fault.remedy for fault in refused.value.faults)
