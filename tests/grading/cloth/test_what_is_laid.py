"""Strips, bias blocks, folded cloth: what of the cut list is laid, and as what."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.cloth.bias import least_square, strip_block
from grading.errors import PieceDoesNotFit
from grading.exact import read_length
from tests.grading.cloth.laid import Json, bag, box_of, laid, layouts_of, length_of, rectangle

QUICK: Json = {"effort": "quick", "widths": []}
MEASURES = st.integers(1, 4000).map(Fraction)


def test_a_strip_longer_than_the_cloth_is_joined_from_whole_widths_and_the_rest() -> None:
    band = rectangle(2500, 60, strip=True, uses=["one", "two"])
    layout = laid(bag({"band": band}), QUICK)
    # three strips, two joins of twice the 10 mm allowance: 2540 in all
    lengths = [piece["across"] for piece in sorted(layout["pieces"], key=lambda piece: piece["copy"])]
    assert lengths == ["1000 mm", "1000 mm", "540 mm"] * 2
    assert {piece["kind"] for piece in layout["pieces"]} == {"strip"}
    assert [piece["copy"] for piece in layout["pieces"]] == [1, 2, 3, 4, 5, 6]
    assert length_of(layout) == 6 * 60  # the two rests of 540 do not lie side by side


def test_strips_are_counted_for_the_width_that_is_laid() -> None:
    band = rectangle(960, 60, strip=True)
    assert [piece["kind"] for piece in laid(bag({"band": band}), QUICK)["pieces"]] == ["piece"]
    pieces = laid(bag({"band": band}), QUICK | {"edge": "30 mm"})["pieces"]
    assert [piece["across"] for piece in pieces] == ["940 mm", "40 mm"]


def test_a_bias_piece_lies_in_the_square_about_it() -> None:
    layout = laid(bag({"tie": rectangle(300, 100, grain="bias")}), QUICK)
    side = read_length(layout["pieces"][0]["across"])
    assert layout["pieces"][0]["along"] == layout["pieces"][0]["across"]
    assert side - 1 < 400 / sqrt(2) <= side


def bound(length: int, width: int, count: int = 1, **material: object) -> Json:
    """A pattern with a bias binding of this length (the width of its one piece, bound at its top) and width."""
    sheet = rectangle(length, 50, strip=True)
    sheet["layers"] = [{"material": "other"}]
    sheet["edges"]["top"] = {"fate": "bound"}
    return bag(
        {"sheet": sheet},
        material,
        findings={
            "edge": {"binding": {"width": f"{width} mm", "along": ["sheet.top"], "material": "main"}, "count": count}
        },
    ) | {"materials": {"main": {"usable_width": "1000 mm", **material}, "other": {}}}


def test_a_bias_binding_is_one_block_that_its_strips_fit() -> None:
    layout = laid(bound(1800, 40), QUICK)
    (block,) = layout["pieces"]
    assert (block["kind"], block["layer"], block["turned"]) == ("block", "strip", 0)
    strips = block["bias"]["strips"]
    centre = read_length(block["bias"]["centre"])
    joins = 2 * 10 * sqrt(2)  # each join takes twice the allowance, measured along a strip at 45 degrees
    assert abs(strips * float(centre) - (1800 + joins * (strips - 1))) < 0.1
    across, along = read_length(block["across"]), read_length(block["along"])
    assert 0 <= float(across) - float(centre) / sqrt(2) < 1
    assert 0 <= float(along) - (float(centre) / sqrt(2) + strips * 40 * sqrt(2)) < 1.01


@given(total=MEASURES, width=st.integers(10, 120).map(Fraction), allowance=st.sampled_from([Fraction(0), Fraction(6)]))
def test_more_strips_make_a_narrower_block_for_long_bindings(
    total: Fraction, width: Fraction, allowance: Fraction
) -> None:
    blocks = [strip_block(total + 200, width, allowance, strips, Fraction(1)) for strips in range(1, 12)]
    assert all(one.across >= other.across for one, other in pairwise(blocks))
    for block in blocks:
        cloth = float(block.across * block.along)
        assert cloth >= float((total + 200) * width)


@given(total=MEASURES, width=MEASURES, allowance=st.integers(0, 20).map(Fraction), grid=st.sampled_from([1, 2, 5]))
def test_the_square_of_a_continuous_strip_is_the_least(
    total: Fraction, width: Fraction, allowance: Fraction, grid: int
) -> None:
    side = least_square(total, width, allowance, Fraction(grid))
    assert side % grid == 0
    assert (side - 2 * allowance) ** 2 >= total * width and side >= 2 * allowance
    smaller = side - grid
    assert smaller < 2 * allowance or (smaller - 2 * allowance) ** 2 < total * width


def test_a_continuous_binding_takes_one_square() -> None:
    layout = laid(bound(1800, 40, count=2), QUICK | {"bias": "continuous"})
    (block,) = layout["pieces"]
    side = int(read_length(block["across"]))
    assert block["along"] == block["across"]
    assert (side - 20) ** 2 >= 2 * 1800 * 40 > (side - 21) ** 2
    assert block["bias"] == {"strips": 1, "centre": "3600 mm", "width": "40 mm"}


def test_a_binding_that_no_block_gives_is_refused_with_what_would_help() -> None:
    with pytest.raises(PieceDoesNotFit) as refused:
        layouts_of(bound(1800, 700), QUICK | {"bias": "continuous", "cloths": {"main": {"usable_width": "900 mm"}}})
    assert (refused.value.piece, refused.value.width) == ("edge", "900 mm")
    assert "strips" in str(refused.value)


FOLDED: Json = QUICK | {"style": "folded"}


def test_folded_cloth_gives_two_pieces_at_a_time() -> None:
    left = rectangle(200, 300, uses=["left", {"name": "right", "mirrored": True}, "spare"])
    layout = laid(bag({"left": left}), FOLDED)
    assert layout["width"] == "500 mm"
    assert [(piece["copy"], piece["mirrored"], piece.get("pair", False)) for piece in layout["pieces"]] == [
        (1, False, True),
        (2, False, False),
    ]


def test_rectangles_are_cut_in_pairs_from_folded_cloth_whatever_its_direction() -> None:
    for direction in ("two-way", "one-way"):
        panel = rectangle(200, 300, uses=["front", "back"], up="top")
        layout = laid(bag({"panel": panel}, {"direction": direction}), FOLDED)
        assert [piece.get("pair") for piece in layout["pieces"]] == [True]
        assert layout["buy"]["waste"] == "60.0 %"  # 2 × 200 × 300 of 2 × 500 × 300


def test_what_is_not_symmetric_is_cut_singly_from_folded_cloth() -> None:
    flap = {
        "outline": {"trapezoid": {"top": 200, "bottom": 100, "height": 80, "lean": 30}},
        "edges": {edge: {"allowance": 0, "fate": "raw"} for edge in ("top", "right", "bottom", "left")},
        "layers": [{"material": "main"}],
        "uses": ["one", "two"],
    }
    layout = laid(bag({"flap": flap}), FOLDED)
    assert [piece.get("pair") for piece in layout["pieces"]] == [None, None]


def test_a_piece_on_the_fold_lies_at_the_fold_with_half_its_width() -> None:
    pieces = {"skirt": rectangle(600, 300, on_fold=True), "patch": rectangle(100, 100)}
    folded = next(piece for piece in laid(bag(pieces), FOLDED)["pieces"] if piece["piece"] == "skirt")
    assert (folded["x"], folded["across"], folded["on_fold"]) == ("0 mm", "300 mm", True)
    opened = next(piece for piece in laid(bag(pieces), QUICK)["pieces"] if piece["piece"] == "skirt")
    assert (opened["across"], opened.get("on_fold")) == ("600 mm", None)


def test_a_long_strip_lies_on_the_fold_of_folded_cloth() -> None:
    layout = laid(bag({"band": rectangle(1600, 60, strip=True)}), FOLDED)
    strips = [(box_of(piece).left, piece["across"], piece["on_fold"], piece["kind"]) for piece in layout["pieces"]]
    assert strips == [(0, "500 mm", True, "strip"), (0, "310 mm", True, "strip")]
