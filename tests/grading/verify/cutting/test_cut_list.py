"""The cut list: layers, folds, strips, bindings and templates, by hand calculation."""

from __future__ import annotations

from fractions import Fraction
from math import pi, sqrt
from typing import Any

import pytest

from grading.verify.cutting.cut_list import Row, letter_of
from grading.verify.document.pattern import Pattern
from grading.verify.relations.relation_list import all_relations
from tests.grading.verify.drafts import drawn, expected, panel, value


def rows(pattern: Pattern) -> dict[tuple[str, str], Row]:
    builder = expected(pattern)
    builder.pieces()
    return {(row.piece, row.layer): row for row in builder.rows()}


def one(piece: dict[str, Any], layer: str = "main", **parts: Any) -> Row:
    return rows(drawn(pieces={"it": piece}, **parts))["it", layer]


def sides(size: Any) -> tuple[float, float]:
    assert all(low == high for low, high in size)
    return float(size[0][0]), float(size[1][0])


def test_layers_are_cut_rough_trimmed_and_inset() -> None:
    layers = [
        {"material": "main", "oversize": 25},
        {"material": "foam", "inset": 3},
        {"material": "lining", "count": 2},
    ]
    piece = panel(layers=layers, uses=["left", {"name": "right", "mirrored": True}])
    quilted, foam, lining = (one(piece, layer) for layer in ("main", "foam", "lining"))
    assert (sides(quilted.size), sides(quilted.trim), sides(quilted.finished)) == ((270, 170), (220, 120), (200, 100))
    assert (sides(foam.size), foam.trim, foam.allowance) == ((194, 94), None, "none")
    assert (sides(lining.size), lining.count, lining.mirrored) == ((220, 120), 2, 2)


def test_across_and_along_change_places_with_the_grain() -> None:
    assert sides(one(panel(grain="across")).size) == (120, 220)


def test_on_the_fold_half_is_cut_across_the_grain() -> None:
    row = one(panel(on_fold=True))
    assert (sides(row.size), sides(row.on_fold)) == ((220, 120), (110, 120))
    assert sides(one(panel(on_fold=True, grain="across")).on_fold) == (60, 220)


def test_allowances_of_each_side_are_in_the_cut() -> None:
    edges = {"top": {"allowance": 40, "fate": "hemmed twice"}, "bottom": {"fate": "folded"}, "left": {"allowance": 5}}
    assert sides(one(panel(edges=edges)).size) == (215, 140)


@pytest.mark.parametrize(
    ("length", "strips"),
    [(980, None), (981, (2, 1021, 1)), (1960, (2, 2000, 1)), (1961, (3, 2021, 2))],
)
def test_long_strips_are_joined_from_widths_of_cloth(length: int, strips: tuple[int, int, int] | None) -> None:
    # 1000 mm of cloth, 10 mm joins; the strip is as long as stitched + 2 x 10: ceil((L - 20)/(1000 - 20)).
    row = one(panel({"rectangle": [length, 50]}, strip=True))
    found = row.strips and (row.strips.count, row.strips.total[0], row.strips.joins)
    assert found == strips


def test_slanting_pieces_are_templates_with_their_true_box_raised_to_the_ruler() -> None:
    row = one(panel({"trapezoid": {"top": "w", "bottom": 100, "height": "h"}}))
    # Sides of slope 50 : 100; the corner at the top runs out by a (1 + sin)/cos, with tan = 1/2.
    sine, cosine = 1 / sqrt(5), 2 / sqrt(5)
    width = 200 + 2 * 10 * (1 + sine) / cosine
    assert row.kind == "template"
    assert width < sides(row.size)[0] < width + 1
    assert sides(row.size)[1] == 120
    assert one(panel(grain="bias")).kind == "template"
    assert sides(one(panel(grain="bias")).size) == (220, 120)


def test_a_binding_cut_from_cloth_is_a_row_of_its_own() -> None:
    pieces = {"it": panel({"disc": {"radius": 60}}, edges={"rim": {"fate": "bound"}})}
    tape = {"binding": {"width": "40 mm", "along": ["it.rim"], "join": 100, "material": "lining"}, "count": 2}
    step = {"text": "Bind the rim with {tape.length}.", "action": "bind", "binds": ["tape"]}
    pattern = drawn(pieces=pieces, findings={"tape": tape}, steps=[step])
    row = rows(pattern)["tape", "strip"]
    # 2 pi 60 + 100 = 476.99, raised to 477.
    assert 476 < 120 * pi + 100 < 477
    assert (sides(row.size), row.letter, row.grain, row.count, row.step) == ((477, 40), "B", "bias", 2, 1)
    assert expected(pattern).steps() == ["Bind the rim with 477 mm."]
    assert sides(rows(pattern)["it", "main"].size) == (120, 120)


def test_elastic_is_shorter_by_its_stretch_and_a_shortened_zip_is_bought_longer() -> None:
    findings = {
        "elastic": {"elastic": {"width": 10, "length": "w", "stretch": "3/2", "ends": {"by": 15}}},
        "zip": {"zip": {"length": "w", "exposed": 20, "stock": "zips", "shortened": True}},
        "ring": {"hardware": {"what": "ring", "width": 25}, "says": "two a side"},
    }
    pattern = drawn(pieces={"it": panel()}, findings=findings, stock={"zips": [180, 220, 250]})
    builder = expected(pattern)
    elastic, zipped, ring = (builder.finding(finding) for finding in pattern.findings.values())
    # 200 / 1.5 + 2 x 15 = 163.3, raised.
    assert (elastic["length"], elastic["stock"]) == ("164 mm", None)
    assert (zipped["length"], zipped["width"], zipped["stock"]) == ("200 mm", "20 mm", "220 mm")
    assert (ring["length"], ring["says"]) == (None, "ring: two a side")
    assert builder.stock({}) == {"zip": "220 mm"}
    longest = next(item for item in all_relations(pattern, {}) if item.name == "finding:zip:longest")
    assert value(pattern, longest.form) == 50


def test_cloth_is_wide_enough_for_the_first_cut() -> None:
    layers = [{"material": "main", "oversize": 25}]
    for piece, room in (
        (panel(layers=layers), 730),
        (panel(layers=layers, on_fold=True), 865),
        (panel(grain="bias"), 780),
    ):
        pattern = drawn(pieces={"it": piece})
        (cloth,) = (item for item in all_relations(pattern, {}) if item.kind == "cloth")
        assert value(pattern, cloth.form) == room
    assert not [item for item in all_relations(drawn(pieces={"it": panel(strip=True)}), {}) if item.kind == "cloth"]


def test_letters_go_on_after_z() -> None:
    assert [letter_of(index) for index in (0, 25, 26, 27, 51, 52, 701, 702)] == [
        "A",
        "Z",
        "AA",
        "AB",
        "AZ",
        "BA",
        "ZZ",
        "AAA",
    ]


def test_what_the_ruler_changes_is_listed_once() -> None:
    pattern = drawn(
        {"scale": 1, "ruler": "1/8 in"},
        pieces={"it": panel({"rectangle": ["w - 10", "h - 10"]}), "other": panel(edges={"top": {"allowance": "1 in"}})},
    )
    changed = Fraction(254, 80) * 3
    assert list(pattern.expressions.altered) == [
        ("allowance", 10, changed),
        ("pieces.it.outline.rectangle.0", 10, changed),
        ("pieces.it.outline.rectangle.1", 10, changed),
    ]
