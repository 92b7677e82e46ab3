"""What a pattern says of its cloths, prints, stitches and prices: read, refused, and counted where it matters."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from grading.verify import UnreadableInput
from grading.verify.document.materials import Price, Repeat, amount_or_none
from grading.verify.relations.relation_list import all_relations
from tests.grading.verify.drafts import MATERIALS, drawn, panel, value

PRICE = {"amount": "12.50", "currency": "EUR", "per": "1 m"}


def material(**parts: Any) -> Any:
    return drawn(pieces={"it": panel()}, materials={"main": {"says": "canvas"} | parts}).head.materials["main"]


def test_all_that_is_said_of_a_cloth_is_read() -> None:
    found = material(
        usable_width="1100 mm",
        direction="one-way",
        repeat={"along": "120 mm"},
        shrinkage={"across": "2 %"},
        thickness="0.5 mm",
        loose="0.9 mm",
        border="left",
        sold_by="25 cm",
        price=PRICE,
    )
    assert (found.usable_width, found.washed_width, found.direction) == (1100, 1078, "one-way")
    assert (found.repeat, found.shrinkage) == (Repeat(None, Fraction(120)), (Fraction(1, 50), 0))
    assert (found.border, found.sold_by) == ("left", 250)
    assert found.price == Price(Fraction(25, 2), "EUR", Fraction(1000))
    assert material(repeat={}).repeat is None
    assert material(sheet=["600 mm", "400 mm"], price=PRICE | {"per": "sheet"}).price.per is None


def test_cloth_that_is_not_washed_does_not_shrink() -> None:
    shrinkage = {"across": "10 %", "along": "10 %"}
    assert material(usable_width="1000 mm", shrinkage=shrinkage).washed_width == 900
    assert material(usable_width="1000 mm", shrinkage=shrinkage, washed=False).washed_width == 1000
    assert material(usable_width="1000 mm", shrinkage=shrinkage, washed=True).washed_width == 900


@pytest.mark.parametrize(
    "parts",
    [
        {"washed": "yes"},
        {"loose": "0.4 mm", "thickness": "0.5 mm"},
        {"sold_by": "0 mm"},
        {"sheet": ["600 mm", "400 mm"], "usable_width": "600 mm"},
        {"sheet": ["600 mm", "0 mm"]},
        {"sheet": ["600 mm"]},
        {"border": "top"},
        {"repeat": {"across": "0 mm"}},
        {"repeat": {"aslant": "9 mm"}},
        {"shrinkage": {"across": "100 %"}},
        {"shrinkage": {"across": "-1 %"}},
        {"price": {"amount": "1.00", "currency": "EUR"}},
        {"price": PRICE | {"amount": 12.5}},
        {"price": PRICE | {"amount": "-1"}},
        {"price": PRICE | {"amount": "1,50"}},
        {"price": PRICE | {"amount": "1.23456"}},
        {"price": PRICE | {"currency": "eur"}},
        {"price": PRICE | {"currency": "EURO"}},
        {"price": PRICE | {"per": "0 m"}},
        {"price": PRICE | {"per": "each"}},
    ],
)
def test_cloth_that_cannot_be_is_refused(parts: dict[str, Any]) -> None:
    with pytest.raises(UnreadableInput) as refused:
        material(**parts)
    assert refused.value.path.startswith("materials.main")


def test_pieces_are_cut_from_the_washed_width() -> None:
    # 1000 mm x 0.95 = 950; the panel takes 220 of them.
    materials = MATERIALS | {"main": {"says": "canvas", "usable_width": "1000 mm", "shrinkage": {"across": "5 %"}}}
    pattern = drawn(pieces={"it": panel()}, materials=materials)
    (cloth,) = (item for item in all_relations(pattern, {}) if item.kind == "cloth")
    assert value(pattern, cloth.form) == 730


@pytest.mark.parametrize(
    "parts",
    [
        {"motif": {}},
        {"motif": {"point": [1]}},
        {"motif": {"point": ["pi*w", 0]}},
        {"motif": {"point": [0, 0], "layers": ["silk"]}},
        {"motif": {"point": [0, 0], "on": ["w", 0]}},
        {"motif": {"point": [0, 0], "size": 1}},
        {"on_border": "rim"},
        {"on_border": 1},
    ],
)
def test_motifs_and_borders_that_cannot_be_are_refused(parts: dict[str, Any]) -> None:
    with pytest.raises(UnreadableInput) as refused:
        drawn(pieces={"it": panel(**parts)})
    assert refused.value.path.startswith(f"pieces.it.{next(iter(parts))}")


def test_the_point_of_a_motif_is_never_put_on_the_ruler() -> None:
    piece = panel(motif={"point": ["w - 10", 0.3]})
    pattern = drawn({"scale": 1, "ruler": "1/8 in"}, pieces={"it": piece})
    motif = pattern.pieces["it"].motif
    assert motif is not None
    assert [value(pattern, form) for form in motif.point] == [190, Fraction(3, 10)]
    assert not [path for path, _, _ in pattern.expressions.altered if "motif" in path]


SEAM = {"join": ["it.top"], "to": ["it.bottom"]}


def test_a_seam_is_sewn_in_the_class_of_stitch_that_it_names() -> None:
    pattern = drawn(pieces={"it": panel()}, seams={"plain": SEAM, "chain": SEAM | {"stitch": "401"}})
    assert [seam.stitch for seam in pattern.seams.values()] == ["301", "401"]


@pytest.mark.parametrize("parts", [{"stitch": 301}, {"stitch": "31"}, {"stitch": "901"}, {"match": "yes"}])
def test_stitches_and_matches_that_cannot_be_are_refused(parts: dict[str, Any]) -> None:
    with pytest.raises(UnreadableInput):
        drawn(pieces={"it": panel()}, seams={"plain": SEAM | parts})


@pytest.mark.parametrize("sliders", [0, 11, "two", 1.5])
def test_sliders_are_counted_from_one_to_ten(sliders: Any) -> None:
    zipped = {"zip": {"length": "w", "exposed": 20, "stock": "zips", "shortened": True, "sliders": sliders}}
    with pytest.raises(UnreadableInput):
        drawn(pieces={"it": panel()}, findings={"zip": zipped}, stock={"zips": [220]})


@pytest.mark.parametrize(
    ("text", "amount"),
    [("12.50", Fraction(25, 2)), ("0", 0), ("1.2345", Fraction(2469, 2000)), ("", None), (1, None), ("1e3", None)],
)
def test_amounts_are_plain_decimals(text: Any, amount: Any) -> None:
    assert amount_or_none(text) == amount
