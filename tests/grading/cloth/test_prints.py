"""Motifs lie where they are said to, and prints run on from piece to piece as they are sewn."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.errors import DocumentFaults, LayoutFaults
from grading.exact import read_length
from grading.pipeline import read_document
from tests.grading.cloth.laid import Json, bag, box_of, laid, layouts_of, length_of, rectangle
from tests.patterns import changed

QUICK: Json = {"effort": "quick", "widths": []}
PRINT: Json = {"usable_width": "1000 mm", "direction": "one-way", "repeat": {"across": "160 mm", "along": "120 mm"}}


def off_print(position: Fraction, wanted: Fraction, repeat: str) -> Fraction:
    return (position - wanted) % read_length(repeat)


@given(
    width=st.integers(41, 300),
    height=st.integers(41, 300),
    on=st.tuples(st.integers(0, 159), st.integers(0, 119)),
    up=st.sampled_from(["top", "bottom"]),
)
@settings(max_examples=12)
def test_a_motif_point_lies_on_its_place_of_the_print(width: int, height: int, on: tuple[int, int], up: str) -> None:
    motif = {"point": [20, -30], "on": [f"{on[0]} mm", f"{on[1]} mm"]}
    pieces = {"flag": rectangle(width, height, motif=motif, up=up, uses=["one", "two"])}
    layout = laid(bag(pieces, PRINT), QUICK)
    for piece in layout["pieces"]:
        box = box_of(piece)
        # right way up the drawing's (20, -30) is 20 from the left and 30 from the top; on its head the other ends
        x, y = (box.left + 20, box.high - 30) if up == "top" else (box.right - 20, box.low + 30)
        assert off_print(x, Fraction(on[0]), "160 mm") == 0
        assert off_print(y, Fraction(on[1]), "120 mm") == 0


def test_the_print_shrinks_with_its_cloth() -> None:
    cloth = PRINT | {"shrinkage": {"across": "2 %", "along": "3 %"}}
    motif = {"point": [0, 0], "on": ["80 mm", "60 mm"]}
    layout = laid(bag({"flag": rectangle(300, 200, motif=motif, uses=["one", "two", "three"])}, cloth), QUICK)
    assert layout["repeat"] == {"across": "156.8 mm", "along": "116.4 mm"}
    assert layout["grid"] == "0.2 mm"
    for piece in layout["pieces"]:
        box = box_of(piece)
        assert off_print(box.left, Fraction("78.4"), "156.8 mm") == 0
        assert off_print(box.high, Fraction("58.2"), "116.4 mm") == 0
    needed = read_length(layout["buy"]["needed"])
    exact = length_of(layout) / Fraction(97, 100) + 120  # a repeat more: shops cut anywhere in the print
    assert exact <= needed < exact + 1
    assert layout["buy"]["repeats"] == -(-needed // 120)


def test_mirrored_pieces_show_the_motif_at_the_mirrored_point() -> None:
    uses = ["left", {"name": "right", "mirrored": True}]
    pieces = {"strap": rectangle(60, 300, uses=uses, motif={"point": [20, -50], "on": ["10 mm", "0 mm"]})}
    for piece in laid(bag(pieces, PRINT), QUICK)["pieces"]:
        box = box_of(piece)
        x = box.right - 20 if piece["mirrored"] else box.left + 20
        assert off_print(x, Fraction(10), "160 mm") == 0
        assert off_print(box.high - 50, Fraction(0), "120 mm") == 0


def test_a_repeat_along_alone_leaves_the_place_across_free() -> None:
    cloth = PRINT | {"repeat": {"along": "100 mm"}}
    pieces = {"a": rectangle(330, 80, motif={"point": [0, -80]}), "b": rectangle(330, 80), "c": rectangle(330, 80)}
    layout = laid(bag(pieces, cloth), QUICK)
    assert layout["repeat"] == {"along": "100 mm"}
    assert length_of(layout) == 80


def panels(**seam: object) -> Json:
    """A front and a back, sewn side to side, both of the print."""
    document = bag(
        {
            "front": rectangle(230, 300, edges={"right": {}}, motif={"point": [0, 0], "on": ["30 mm", "0 mm"]}),
            "back": rectangle(170, 300, edges={"left": {}}),
        },
        PRINT,
        seams={"side": {"join": ["front.right"], "to": ["back.left"], **seam}},
        allowance="0 mm",
    )
    for piece in document["pieces"].values():
        for edge in ("top", "right", "bottom", "left"):
            piece["edges"].setdefault(edge, {"fate": "raw"})
    return document


def test_a_print_runs_on_across_a_side_seam() -> None:
    pieces = {piece["piece"]: box_of(piece) for piece in laid(panels(match=True), QUICK)["pieces"]}
    front, back = pieces["front"], pieces["back"]
    assert off_print(front.left, Fraction(30), "160 mm") == 0
    assert off_print(back.left, front.right, "160 mm") == 0
    assert off_print(back.high, front.high, "120 mm") == 0


def test_without_a_motif_the_first_piece_lies_on_the_corner_of_the_repeat() -> None:
    document = panels(match=True)
    del document["pieces"]["front"]["motif"]
    pieces = {piece["piece"]: box_of(piece) for piece in laid(document, QUICK)["pieces"]}
    assert off_print(pieces["front"].left, Fraction(0), "160 mm") == 0
    assert off_print(pieces["back"].left, Fraction(230), "160 mm") == 0


def test_a_matched_pocket_shows_the_print_of_what_it_lies_on() -> None:
    document = bag(
        {
            "front": rectangle(400, 300, motif={"point": [200, -150], "on": ["80 mm", "60 mm"]}),
            "pocket": rectangle(150, 120),
        },
        PRINT,
        coverings={
            "on_front": {"piece": "pocket", "over": "front", "clear": {"left": "70 mm", "top": "90 mm"}, "match": True}
        },
    )
    pieces = {piece["piece"]: box_of(piece) for piece in laid(document, QUICK)["pieces"]}
    assert off_print(pieces["pocket"].left, pieces["front"].left + 70, "160 mm") == 0
    assert off_print(pieces["pocket"].high, pieces["front"].high - 90, "120 mm") == 0


def faults_of(document: Json) -> str:
    with pytest.raises(LayoutFaults) as refused:
        layouts_of(document, QUICK)
    return "; ".join(str(fault) for fault in refused.value.faults)


def test_two_motifs_that_a_match_cannot_bring_together_are_told_with_the_distance() -> None:
    motif = {"point": [0, 0], "on": ["0 mm", "0 mm"]}
    told = faults_of(changed(panels(match=True), "pieces.back.motif", motif))
    # the back's left edge lies 230 + 30 = 260 = 100 modulo 160 from the corner: 60 from the next one
    assert "seams.side.match" in told and "60 mm apart across" in told and "160 mm" in told


def test_edges_on_the_same_side_cannot_match() -> None:
    document = panels(match=True)
    document["seams"]["side"] |= {"to": ["back.right"]}
    assert "opposite sides" in faults_of(document)


def test_a_match_needs_a_common_printed_material() -> None:
    plain = {"plain": {"usable_width": "900 mm"}}
    document = panels(match=True)
    document["materials"] |= plain
    document["pieces"]["back"]["layers"] = [{"material": "plain"}]
    assert "no common material with a repeat" in faults_of(document)


def test_pieces_that_lie_different_ways_cannot_match() -> None:
    document = changed(panels(match=True), "pieces.back.up", "bottom")
    assert "different ways" in faults_of(document)


@pytest.mark.parametrize(
    ("path", "value", "where", "what"),
    [
        ("pieces.front.strip", True, "pieces.front.motif", "joined from strips"),
        ("pieces.front.grain", "bias", "pieces.front.motif", "on the bias"),
        ("pieces.front.motif.layers", ["lining"], "pieces.front.motif.layers.0", "no layer"),
        ("materials.main.repeat", {}, "pieces.front.motif", "no material of this piece has a repeat"),
        ("materials.main.repeat.across", "1200 mm", "materials.main.repeat.across", "1200 mm"),
        ("materials.main.repeat.along", "0 mm", "materials.main.repeat.along", "0 mm"),
        ("materials.main.usable_width", "0 mm", "materials.main.usable_width", "0 mm"),
        ("pieces.front.on_border", "right", "pieces.front.on_border", "border"),
        ("seams.side.to", [{"edge": "back.left", "to": "100 mm"}], "seams.side.match", "whole edge"),
    ],
)
def test_what_cannot_be_of_a_print_is_a_fault_of_the_document(path: str, value: object, where: str, what: str) -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_document(changed(panels(match=True), path, value))
    assert any(fault.path == where and what in fault.problem for fault in refused.value.faults)


def test_a_motif_that_leaves_no_room_on_a_narrow_cloth_is_told() -> None:
    pieces = {"flag": rectangle(900, 200, motif={"point": [0, 0], "on": ["150 mm", "0 mm"]})}
    told = faults_of(bag(pieces, PRINT))
    assert "pieces.flag.motif" in told and "1050 mm" in told and "1000 mm" in told


def test_printed_cloth_is_cut_with_scissors_whatever_is_set() -> None:
    pieces = {"flag": rectangle(300, 200, motif={"point": [0, 0]})}
    for style in ("folded", "rotary"):
        assert laid(bag(pieces, PRINT), QUICK | {"style": style})["style"] == "scissors"


BORDERED: Json = {"usable_width": "1000 mm", "border": "right", "direction": "two-way"}


@pytest.mark.parametrize(
    ("border", "edge", "turned"),
    [("left", "top", 180), ("left", "bottom", 0), ("right", "top", 0), ("right", "bottom", 180)],
)
def test_a_border_edge_lies_on_the_border(border: str, edge: str, turned: int) -> None:
    pieces = {
        "skirt": rectangle(300, 200, grain="across", on_border=edge, uses=["front", "back"]),
        "patch": rectangle(90, 90),
    }
    layout = laid(bag(pieces, BORDERED | {"border": border}), QUICK | {"edge": "5 mm"})
    skirts = [piece for piece in layout["pieces"] if piece["piece"] == "skirt"]
    assert {piece["turned"] for piece in skirts} == {turned}
    assert {box_of(piece).left for piece in skirts} == {5 if border == "left" else 995 - 200}


def test_a_border_at_the_right_leaves_motifs_on_the_print_that_counts_from_the_left() -> None:
    pieces = {
        "skirt": rectangle(300, 200, grain="across", on_border="top"),
        "patch": rectangle(90, 90, motif={"point": [10, -10], "on": ["30 mm", "0 mm"]}, uses=["one", "two"]),
    }
    # 900 mm is tried first: what moves with the border by 100 mm would leave a print of 160 mm
    layout = laid(bag(pieces, BORDERED | {"repeat": {"across": "160 mm"}}), {"effort": "quick", "widths": ["900 mm"]})
    patches = [box_of(piece) for piece in layout["pieces"] if piece["piece"] == "patch"]
    assert [off_print(box.left + 10, Fraction(30), "160 mm") for box in patches] == [0, 0]


def test_an_edge_across_the_grain_cannot_lie_on_a_border() -> None:
    told = faults_of(bag({"skirt": rectangle(300, 200, on_border="top")}, BORDERED))
    assert "pieces.skirt.on_border" in told and "runs across main" in told


def test_a_border_and_a_one_way_print_must_agree() -> None:
    skirt = rectangle(300, 200, grain="across", on_border="top", up="right")
    cloth = BORDERED | {"direction": "one-way"}
    assert "upside down" in faults_of(bag({"skirt": skirt}, cloth))
    assert laid(bag({"skirt": skirt}, cloth | {"border": "left"}), QUICK)["pieces"][0]["turned"] == 180
