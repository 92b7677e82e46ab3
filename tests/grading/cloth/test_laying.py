"""Pieces lie on the cloth once each, inside its width, apart, and turned only as its direction allows."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.errors import PieceDoesNotFit
from grading.exact import read_length
from grading.pipeline import grade_size, read_document
from tests.grading.cloth.laid import Json, bag, box_of, laid, layouts_of, length_of, pairs_of, rectangle

QUICK: Json = {"effort": "quick", "widths": []}
SIZES = st.lists(st.tuples(st.integers(20, 300), st.integers(20, 300)), min_size=1, max_size=8)
DIRECTIONS = ("any", "two-way", "one-way")


def pieces_of(sizes: list[tuple[int, int]]) -> dict[str, Json]:
    return {f"piece_{number}": rectangle(*size) for number, size in enumerate(sizes)}


@given(sizes=SIZES, width=st.integers(300, 800), gap=st.integers(0, 5), direction=st.sampled_from(DIRECTIONS))
@settings(max_examples=20)
def test_every_piece_lies_once_inside_the_width_and_a_gap_apart(
    sizes: list[tuple[int, int]], width: int, gap: int, direction: str
) -> None:
    document = bag(pieces_of(sizes), {"usable_width": f"{width} mm", "direction": direction})
    layout = laid(document, {**QUICK, "gap": f"{gap} mm"})
    assert [piece["piece"] for piece in sorted(layout["pieces"], key=lambda piece: piece["piece"])] == sorted(
        document["pieces"]
    )
    for piece in layout["pieces"]:
        across, along = sizes[int(piece["piece"].removeprefix("piece_"))]
        assert piece["turned"] in ({0, 90} if direction == "any" else {0})
        asked = (f"{across} mm", f"{along} mm")
        assert (piece["across"], piece["along"]) == (asked if piece["turned"] == 0 else asked[::-1])
    boxes = [box_of(piece) for piece in layout["pieces"]]
    assert all(box.left >= 0 and box.low >= 0 and box.right <= width for box in boxes)
    assert all(one.apart(other, Fraction(gap)) for one, other in pairs_of(boxes))
    assert length_of(layout) == max(box.high for box in boxes)
    assert read_length(layout["least"]["length"]) <= length_of(layout)


@given(sizes=SIZES, width=st.integers(300, 800), seed=st.integers(0, 3))
@settings(max_examples=10)
def test_more_freedom_to_turn_never_takes_more_cloth(sizes: list[tuple[int, int]], width: int, seed: int) -> None:
    document = bag(pieces_of(sizes), {"usable_width": f"{width} mm"})
    lengths = [
        length_of(laid(document, {**QUICK, "seed": seed, "cloths": {"main": {"direction": direction}}}))
        for direction in DIRECTIONS
    ]
    assert lengths == sorted(lengths)


@given(sizes=SIZES, first=st.integers(300, 700), more=st.lists(st.integers(1, 400), min_size=1, max_size=3))
@settings(max_examples=10)
def test_wider_cloth_never_takes_more_length(sizes: list[tuple[int, int]], first: int, more: list[int]) -> None:
    widths = sorted({first, *(first + extra for extra in more)})
    document = bag(pieces_of(sizes), {"usable_width": f"{first + more[0]} mm"})
    layout = laid(document, {**QUICK, "widths": [f"{width} mm" for width in widths]})
    lengths = [read_length(other["length"]) for other in layout["widths"]]
    assert lengths == sorted(lengths, reverse=True)
    assert length_of(layout) == lengths[widths.index(first + more[0])]


def test_one_way_cloth_keeps_every_piece_upright() -> None:
    shapes = {
        "upright": rectangle(100, 200, up="top"),
        "on_its_head": rectangle(100, 150, up="bottom"),
        "lying": rectangle(130, 90, grain="across", up="left"),
        "lying_the_other_way": rectangle(120, 80, grain="across", up="right"),
        "up_at_its_side": rectangle(70, 60, up="left"),
    }
    layout = laid(bag(shapes, {"direction": "one-way"}), QUICK)
    turned = {piece["piece"]: piece["turned"] for piece in layout["pieces"]}
    assert turned == {
        "upright": 0,
        "on_its_head": 180,
        "lying": 0,
        "lying_the_other_way": 180,
        "up_at_its_side": 0,
    }
    lying = next(piece for piece in layout["pieces"] if piece["piece"] == "lying")
    assert (lying["across"], lying["along"]) == ("90 mm", "130 mm")


def test_a_named_edge_is_up_by_the_way_it_runs() -> None:
    mouth = {
        "outline": {
            "start": [0, 0],
            "edges": [
                {"name": "foot", "to": [100, 0]},
                {"name": "right", "to": [100, -60]},
                {"name": "mouth", "to": [0, -60]},
                {"name": "left", "to": [0, 0]},
            ],
        },
        "edges": {edge: {"fate": "raw"} for edge in ("foot", "right", "mouth", "left")},
        "layers": [{"material": "main"}],
        "up": "mouth",
    }
    layout = laid(bag({"pouch": mouth}, {"direction": "one-way"}), QUICK)
    assert layout["pieces"][0]["turned"] == 180


def test_only_pieces_that_fit_when_turned_are_turned_where_they_must_be() -> None:
    narrow = QUICK | {"cloths": {"main": {"usable_width": "800 mm"}}}
    layout = laid(bag({"band": rectangle(900, 80), "patch": rectangle(300, 300)}), narrow)
    band = next(piece for piece in layout["pieces"] if piece["piece"] == "band")
    assert (band["turned"], band["across"], band["along"]) == (90, "80 mm", "900 mm")


def refused(document: Json, settings: Json | None = None) -> PieceDoesNotFit:
    with pytest.raises(PieceDoesNotFit) as error:
        layouts_of(document, settings)
    return error.value


def test_a_piece_wider_than_its_cloth_is_named_with_both_numbers_and_what_would_help() -> None:
    document = bag({"band": rectangle(900, 80)}, {"usable_width": "1000 mm", "direction": "two-way"})
    error = refused(document, {"cloths": {"main": {"usable_width": "800 mm"}}})
    assert (error.cloth, error.letter, error.piece, error.layer) == ("main", "A", "band", "main")
    assert (error.needs, error.width) == ("900 mm", "800 mm")
    told = "; ".join(error.remedies)
    assert "turned" in told and "80 mm" in told and "900 mm usable" in told and "split" in told


def test_a_piece_wider_than_folded_cloth_is_told_to_be_laid_single() -> None:
    document = bag({"sheet": rectangle(700, 700)}, {"direction": "one-way"})
    error = refused(document, {"style": "folded"})
    assert (error.needs, error.width) == ("700 mm", "500 mm")
    assert any("scissors" in remedy for remedy in error.remedies)


def test_the_wider_cloth_that_is_advised_is_wide_enough() -> None:
    cloth = {"direction": "one-way", "shrinkage": {"across": "3 %"}}
    document = bag({"sheet": rectangle(900, 700)}, cloth)
    settings = {"edge": "10 mm", "cloths": {"main": {"usable_width": "900 mm"}}}
    advice = next(remedy for remedy in refused(document, settings).remedies if "usable width" in remedy)
    assert "949 mm" in advice  # (900 + 20) / 0.97 = 948.45
    wide: Any = {**settings, "cloths": {"main": {"usable_width": "949 mm"}}}
    assert laid(document, wide)["pieces"]


def test_the_same_settings_give_the_same_layout() -> None:
    document = bag(pieces_of([(210, 90), (180, 130), (77, 201), (240, 240), (90, 60)]))
    assert laid(document) == laid(document)


def test_all_layers_of_one_cloth_are_laid_together(demo_documents: dict[str, Json]) -> None:
    document = demo_documents["market_tote"]
    grade = grade_size(read_document(document), size="base")
    rows = [row for row in grade.cut_list if row.material == "main"]
    layout = laid(document, QUICK)
    assert len(layout["pieces"]) == sum(row.count + row.mirrored for row in rows)
    copies = {(piece["letter"], piece["layer"], piece["copy"]) for piece in layout["pieces"]}
    assert len(copies) == len(layout["pieces"])


def test_mirrored_pieces_are_counted_after_the_plain_ones() -> None:
    strap = rectangle(60, 300, uses=["left", {"name": "right", "mirrored": True}])
    layout = laid(bag({"strap": strap}), QUICK)
    assert [(piece["copy"], piece["mirrored"]) for piece in layout["pieces"]] == [(1, False), (2, True)]
