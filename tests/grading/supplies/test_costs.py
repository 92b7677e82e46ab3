"""Cloth from layouts, and money: what is bought, what it costs, what has no price."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import pytest

from grading.document import read_pattern
from grading.errors import DocumentFaults
from tests.grading.supplies.bags import RAW, row_of, supplied, with_findings
from tests.patterns import GONE, changed

Json = dict[str, Any]


def price(amount: str, per: str, currency: str = "EUR") -> Json:
    return {"amount": amount, "currency": currency, "per": per}


def priced() -> Json:
    return with_findings(
        {
            "handle": {"webbing": {"width": "25 mm", "length": "620 mm"}, "count": 2, "price": price("1.85", "1 m")},
            "elastic": {"elastic": {"width": "20 mm", "length": "310 mm"}, "price": price("0.99", "50 cm")},
            "zip": {
                "zip": {"length": "180 mm", "exposed": "12 mm", "stock": "zips", "shortened": True},
                "count": 3,
                "price": price("2.335", "each"),
            },
            "chain": {
                "zip": {"length": "180 mm", "exposed": "12 mm", "stock": "zips", "shortened": True, "sliders": 2},
                "price": price("3", "1 m"),
            },
            "hook": {"hardware": {"what": "hook"}, "count": 2, "price": price("4.50", "each", "GBP")},
            "stud": {"hardware": {"what": "press stud"}},
        }
    )


def test_things_cost_what_is_bought_of_them() -> None:
    supplies = supplied(priced())
    costs = {row["name"]: row.get("cost") for row in supplies["rows"]}
    assert costs == {
        "handle": {"currency": "EUR", "amount": "2.41"},  # 1.3 m × 1.85 = 2.405, half up
        "elastic": {"currency": "EUR", "amount": "0.79"},  # 40 cm of 0.99 for 50 cm = 0.792
        "zip": {"currency": "EUR", "amount": "7.01"},  # 3 × 2.335 = 7.005, half up
        "chain": {"currency": "EUR", "amount": "0.60"},  # 200 mm of stock at 3 a metre
        "chain slider": None,
        "hook": {"currency": "GBP", "amount": "9.00"},
        "stud": None,
    }
    assert supplies["unpriced"] == ["chain slider", "stud"]
    assert supplies["cost"] == [{"currency": "EUR", "amount": "10.81"}, {"currency": "GBP", "amount": "9.00"}]


@pytest.mark.parametrize("amount", ["0.005", "1.115", "2.675", "10.004", "0.0049", "12", "0"])
@pytest.mark.parametrize("count", [1, 3, 7])
def test_money_is_rounded_as_the_decimal_library_rounds_it(amount: str, count: int) -> None:
    hook = {"hardware": {"what": "hook"}, "count": count, "price": price(amount, "each")}
    expected = (Decimal(amount) * count).quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert row_of(supplied(with_findings({"hook": hook})), "hook")["cost"]["amount"] == str(expected)


@pytest.mark.parametrize(
    ("change", "value", "path"),
    [
        ("findings.handle.price.per", GONE, "findings.handle.price.per"),
        ("findings.handle.price.currency", GONE, "findings.handle.price.currency"),
        ("findings.handle.price.amount", GONE, "findings.handle.price.amount"),
        ("findings.handle.price.per", "0 m", "findings.handle.price.per"),
        ("findings.handle.price.per", "each", "findings.handle"),
        ("findings.hook.price.per", "1 m", "findings.hook"),
        ("findings.handle.price.currency", "eur", "findings.handle.price.currency"),
        ("findings.handle.price.currency", "EURO", "findings.handle.price.currency"),
        ("findings.handle.price.amount", 1.85, "findings.handle.price.amount"),
        ("findings.handle.price.amount", "-1", "findings.handle.price.amount"),
        ("findings.handle.price.amount", "1,85", "findings.handle.price.amount"),
        ("findings.handle.price.amount", "1e3", "findings.handle.price.amount"),
        ("findings.zip.zip.sliders", 0, "findings.zip.zip.sliders"),
    ],
)
def test_a_price_without_its_unit_and_other_half_prices_are_refused(change: str, value: Any, path: str) -> None:
    with pytest.raises(DocumentFaults) as caught:
        read_pattern(changed(priced(), change, value))
    assert any(fault.path.startswith(path.rpartition(".")[0]) for fault in caught.value.faults)
    assert all(fault.remedy for fault in caught.value.faults)


def test_a_binding_that_is_cut_has_the_price_of_its_cloth() -> None:
    document = priced()
    document["pieces"]["strip"]["edges"]["bottom"] = {**RAW, "fate": "bound"}
    document["findings"]["edge"] = {
        "binding": {"width": "40 mm", "along": ["one.bottom", "other.bottom"], "material": "main"},
        "price": price("1", "1 m"),
    }
    with pytest.raises(DocumentFaults) as caught:
        read_pattern(document)
    assert [fault.path for fault in caught.value.faults] == ["findings.edge"]


LAYOUTS: Json = {
    "cloths": {
        "main": {
            "usable_width": "1370 mm",
            "buy": {
                "needed": "1287 mm",
                "spare": "65 mm",
                "unit": "100 mm",
                "length": "1400 mm",
                "waste": "12.5 %",
                "cost": {"amount": "20.30", "currency": "EUR"},
            },
        },
        "board": {"usable_width": "500 mm", "buy": {"sheets": 2, "waste": "40.0 %"}},
    },
    "without": [{"material": "ribbon", "says": "a ribbon"}],
}


def with_cloth() -> Json:
    document = priced()
    document["materials"]["main"] |= {"says": "canvas", "usable_width": "1370 mm"}
    document["materials"]["board"] = {"kind": "film", "sheet": ["500 mm", "700 mm"]}
    return document


def test_cloth_is_listed_from_its_layout_before_all_else() -> None:
    supplies = supplied(with_cloth(), layouts=LAYOUTS)
    assert [row["name"] for row in supplies["rows"]][:3] == ["main", "board", "handle"]
    row = row_of(supplies, "main")
    assert (row["kind"], row["width"], row["total"], row["waste"]) == ("cloth", "1370 mm", "1287 mm", "113 mm")
    assert row["buy"] == {"what": "main (canvas), at least 1370 mm usable width", "length": "1.4 m"}
    assert supplies["cost"][0] == {"currency": "EUR", "amount": "31.11"}
    assert supplies["unpriced"] == ["board", "chain slider", "stud"]
    sheets = row_of(supplies, "board")
    assert (sheets["kind"], sheets["count"], sheets["total"]) == ("sheet", 2, None)
    assert sheets["buy"] == {"what": "board, sheets of 500 mm × 700 mm", "count": 2}
    assert any(text.startswith("ribbon (a ribbon) is not in this list") for text in supplies["says"])
    assert not any(text.startswith("Cloth is not in this list") for text in supplies["says"])


def test_without_layouts_the_list_says_that_cloth_is_not_in_it() -> None:
    assert any(text.startswith("Cloth is not in this list") for text in supplied(priced())["says"])
