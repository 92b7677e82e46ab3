"""Prints: where a motif, or the piece that the print runs on from, wants each piece, by hand."""

from __future__ import annotations

from typing import Any

import pytest

from grading.verify import UnreadableInput
from tests.grading.verify.cloth.purse import Json, document, failing, laid, layout, layouts, mm, places, rectangle

PRINT: Json = {"usable_width": "1000 mm", "repeat": {"across": "90 mm", "along": "120 mm"}}
LAYERS = {"layers": [{"material": "main"}]}


def motif(x: Any, y: Any, **parts: Any) -> Json:
    return {"motif": {"point": [x, y]} | parts}


def one(piece: Json, at: tuple[float, float], main: Json | None = None, **entry: Any) -> set[str]:
    """What does not hold of one piece of 220 x 120 on the print."""
    size = (120, 220) if piece.get("grain") == "across" else (220, 120)
    return places([laid("A", "it", at, size, **entry)], document({"it": piece}, PRINT | (main or {})))


def test_a_motif_lies_on_the_repeat() -> None:
    # The middle (100, -50) lies 110 right of the corner of the cut piece and 60 above it: the corner lies at -110 and
    # -60, modulo 90 and 120: at 70 and 60.
    piece = rectangle("width", "height", **motif("width/2", "-height/2"))
    for x in (70, 160, 250):
        for y in (60, 180):
            assert one(piece, (x, y)) == set()
    for at in ((71, 60), (69, 60), (70, 61), (70, 59), (0, 0), (115, 60)):
        assert one(piece, at) == {"motif:main:A"}


def test_a_motif_lies_where_it_is_wanted_in_the_repeat() -> None:
    piece = rectangle("width", "height", **motif("width/2", "-height/2", on=["30 mm", "25 mm"]))
    assert one(piece, (10, 85)) == set()
    assert one(piece, (70, 60)) == {"motif:main:A"}


def test_a_print_that_repeats_one_way_holds_that_way_only() -> None:
    piece = rectangle("width", "height", **motif("width/2", "-height/2"))
    assert one(piece, (70, 33), {"repeat": {"across": "90 mm"}}) == set()
    assert one(piece, (71, 33), {"repeat": {"across": "90 mm"}}) == {"motif:main:A"}
    assert one(piece, (33, 60), {"repeat": {"along": "120 mm"}}) == set()
    assert one(piece, (33, 61), {"repeat": {"along": "120 mm"}}) == {"motif:main:A"}
    assert one(piece, (33, 33), {"repeat": {}}) == set()


def test_a_piece_with_a_motif_is_not_turned_aside_nor_laid_on_folded_cloth() -> None:
    piece = rectangle("width", "height", **motif("width/2", "-height/2"))
    aside = [laid("A", "it", (130, 70), (120, 220), turned=90)]
    assert "turned:main" in places(aside, document({"it": piece}, PRINT))
    sound = [laid("A", "it", (70, 60), (220, 120))]
    assert places(sound, document({"it": piece}, PRINT), style="folded") == set()


def test_upside_down_the_point_lies_from_the_other_corner() -> None:
    # 30 right of the left edge and 20 below the top: (40, 90) from the lower left corner of the cut piece; turned by
    # 180 it lies (180, 30) from the corner then nearest to (0, 0).
    piece = rectangle("width", "height", **motif(30, -20))
    assert one(piece, (50, 30)) == set()
    assert one(piece, (0, 90), turned=180) == set()
    assert one(piece, (50, 30), turned=180) == {"motif:main:A"}
    both = [laid("A", "it", (50, 30), (220, 120)), laid("A", "it", (360, 90), (220, 120), turned=180, copy=2)]
    pattern = document({"it": piece | {"uses": ["a", "b"]}}, PRINT)
    assert places(both, pattern) == {"turned:main"}


def test_mirrored_uses_lie_mirrored_with_their_point() -> None:
    # The point is 40 from the left edge of the cut piece; of the mirrored one from the right, 180 from the left.
    piece = rectangle("width", "height", uses=[{"name": "a", "mirrored": True}], **motif(30, -20))
    assert one(piece, (0, 30), mirrored=True) == set()
    assert one(piece, (50, 30), mirrored=True) == {"motif:main:A"}


def test_across_the_grain_the_left_of_the_drawing_lies_towards_the_end_of_the_cloth() -> None:
    # Along the cloth lies x, its left towards greater y: 30 from the left of 200 is 180 from the lower end of 220 cut.
    # Across lies y: 20 below the top is 100 - 20 + 10 = 90 from the bottom, which lies on the left at 0.
    piece = rectangle("width", "height", grain="across", **motif(30, -20))
    assert one(piece, (0, 60)) == set()
    assert one(piece, (0, 59)) == {"motif:main:A"}
    # Mirrored, left and right of the cloth are changed over: 120 - 90 = 30 from the left.
    mirrored = piece | {"uses": [{"name": "a", "mirrored": True}]}
    assert one(mirrored, (60, 60), mirrored=True) == set()


def test_a_washed_print_has_a_smaller_repeat_and_the_grid_follows_it() -> None:
    # 90 x 0.98 = 88.2 across: the grid is the greatest common part of 1, 88.2 and 120: 0.2 mm.
    piece = rectangle("width", "height", **motif("width/2", "-height/2"))
    shrinkage = {"shrinkage": {"across": "2 %"}}
    assert one(piece, (66.4, 60), shrinkage) == set()
    assert one(piece, (66.2, 60), shrinkage) == {"motif:main:A"}
    assert "inside:main" in one(piece, (66.3, 60), shrinkage)
    # On the 30th mm as bought, 29.4 as washed.
    on = rectangle("width", "height", **motif("width/2", "-height/2", on=["30 mm", 0]))
    assert one(on, (7.6, 60), shrinkage) == set()


def test_a_place_off_the_grid_is_put_on_the_nearest_mark() -> None:
    piece = rectangle("width", "height", **motif("200/3", "-height/2"))
    # 66.67 + 10 from the left: the corner lies at -76.67 = 13.33, on 13.
    assert one(piece, (13, 60)) == set()
    for x in (14, 12):
        assert one(piece, (x, 60)) == {"motif:main:A"}
    tie = rectangle("width", "height", **motif(66.5, "-height/2"))
    # 13.5 exactly: ties go upwards.
    assert one(tie, (14, 60)) == set()
    assert one(tie, (13, 60)) == {"motif:main:A"}


def test_layers_cut_larger_or_smaller_have_the_drawing_in_their_middle() -> None:
    middle = motif("width/2", "-height/2")
    for layer, size in (({"oversize": 25}, (270, 170)), ({"inset": 3}, (194, 94))):
        piece = rectangle("width", "height", **middle) | {"layers": [{"material": "main"} | layer]}
        at = (-size[0] / 2 % 90, -size[1] / 2 % 120)
        pattern = document({"it": piece}, PRINT)
        assert places([laid("A", "it", at, size)], pattern) == set()
        assert places([laid("A", "it", (at[0] + 1, at[1]), size)], pattern) == {"motif:main:A"}


def test_a_layer_that_shrinks_is_larger_about_its_middle_before() -> None:
    # Taken in by 20 % across: 220/0.8 = 275 are cut, and the point 70 left of the middle lies 70/0.8 = 87.5 left of it:
    # 137.5 - 87.5 = 50 from the left edge.
    layers = [{"material": "main", "shrinks": {"across": "20 %"}}]
    piece = rectangle("width", "height", **motif(30, "-height/2")) | {"layers": layers}
    pattern = document({"it": piece}, PRINT)
    assert places([laid("A", "it", (40, 60), (275, 120))], pattern) == set()
    assert places([laid("A", "it", (41, 60), (275, 120))], pattern) == {"motif:main:A"}


def test_a_motif_is_in_the_layers_that_it_names() -> None:
    layers = [{"material": "main"}, {"material": "main", "name": "under"}]
    piece = rectangle("width", "height", layers=layers, **motif("width/2", "-height/2", layers=["under"]))
    at = [laid("A", "it", (0, 0), (220, 120)), laid("A", "it", (340, 60), (220, 120), layer="under")]
    pattern = document({"it": piece}, PRINT)
    assert places(at, pattern) == set()
    assert places([at[0] | {"layer": "under"}, at[1] | {"layer": "main"}], pattern) == {"motif:main:A"}


SIDES = {
    "left": rectangle("width", "height", **motif("width/2", "-height/2")),
    "right": rectangle(150, "height"),
}
SEAM = {"middle": {"join": ["left.right"], "to": ["right.left"], "match": True}}


def side_by_side(at: tuple[float, float], other: tuple[float, float], seams: Json, pieces: Json = SIDES) -> set[str]:
    entries = [laid("A", "left", at, (220, 120)), laid("B", "right", other, (170, 120))]
    return places(entries, document(pieces, PRINT, seams=seams))


def test_a_print_runs_on_across_a_seam() -> None:
    # The right piece's stitching line lies on that of the left one: its cut edge 200 right of the left one's cut edge,
    # at the same height. 70 + 200 = 270 = 0 modulo 90.
    assert side_by_side((70, 60), (360, 60), SEAM) == set()
    assert side_by_side((70, 60), (450, 180), SEAM) == set()
    assert side_by_side((70, 60), (361, 60), SEAM) == {"motif:main:B"}
    assert side_by_side((70, 60), (360, 61), SEAM) == {"motif:main:B"}
    assert side_by_side((70, 60), (361, 63), {"middle": SEAM["middle"] | {"match": False}}) == set()
    # The other way about it is the same seam.
    turned = {"middle": {"join": ["right.left"], "to": ["left.right"], "match": True}}
    assert side_by_side((70, 60), (360, 60), turned) == set()


def test_without_a_motif_the_first_piece_has_its_drawing_on_the_repeat() -> None:
    pieces = {"left": rectangle("width", "height"), "right": rectangle(150, "height")}
    # (0, 0) of the left piece is its upper left corner: (10, 110) from the cut corner; at 80 and 10.
    assert side_by_side((80, 10), (370, 10), SEAM, pieces) == set()
    assert side_by_side((81, 10), (371, 10), SEAM, pieces) == {"motif:main:A", "motif:main:B"}


def test_a_piece_that_would_lie_in_two_places_is_a_fault() -> None:
    pieces = SIDES | {"right": rectangle(150, "height", **motif(0, 0))}
    assert side_by_side((70, 60), (360, 60), SEAM, pieces) == {"motif:main:A", "motif:main:B"}
    agreeing = SIDES | {"right": rectangle(150, "height", **motif(80, "-height/2"))}
    # (80, -50) of the right piece lies 180 = 2 x 90 right of the middle of the left one.
    assert side_by_side((70, 60), (360, 60), SEAM, agreeing) == set()


def test_pieces_that_the_print_runs_across_lie_the_same_way_up() -> None:
    entries = [laid("A", "left", (70, 60), (220, 120)), laid("B", "right", (360, 60), (170, 120), turned=180)]
    found = places(entries, document(SIDES, PRINT, seams=SEAM))
    assert found == {"turned:main", "motif:main:A", "motif:main:B"}


@pytest.mark.parametrize(
    "seam",
    [
        {"join": ["left.right"], "to": ["right.right"]},
        {"join": ["left.right"], "to": ["right.top"]},
        {"join": ["left.right", "left.bottom"], "to": ["right.left"]},
        {"join": [{"edge": "left.right", "to": 20}], "to": ["right.left"]},
    ],
)
def test_a_print_runs_on_across_whole_straight_edges_only(seam: Json) -> None:
    with pytest.raises(UnreadableInput):
        side_by_side((70, 60), (360, 60), {"middle": seam | {"match": True}})


def test_a_mirrored_use_carries_the_print_on_as_it_is_seen() -> None:
    # One drawing for both halves: the mirrored one is seen to the left of the plain one, sewn along its own left edge.
    piece = rectangle("width", "height", uses=["plain", {"name": "other", "mirrored": True}], **motif(0, "-height/2"))
    seams = {"middle": {"join": ["plain.left"], "to": [{"edge": "other.left", "direction": "forward"}], "match": True}}
    # (0, -50) is 10 from the left edge of the plain cut piece, and 210 from that of the mirrored one: at 80 and 60.
    entries = [laid("A", "it", (80, 60), (220, 120)), laid("A", "it", (330, 60), (220, 120), copy=2, mirrored=True)]
    pattern = document({"it": piece}, PRINT, seams=seams)
    assert places(entries, pattern) == set()
    assert places([entries[0], entries[1] | {"x": "331 mm"}], pattern) == {"motif:main:A"}


def test_a_print_runs_on_from_a_piece_to_one_that_is_laid_over_it() -> None:
    pieces = {
        "front": rectangle("width", "height", **motif("width/2", "-height/2")),
        "pocket": rectangle(80, 60),
    }
    lies: Json = {"piece": "pocket", "over": "front", "clear": {"left": 40, "bottom": 0}, "match": True}
    # The pocket's cut corner lies 40 right of that of the front, at its height: 70 + 40 = 110 = 20, and 60.
    entries = [laid("A", "front", (70, 60), (220, 120)), laid("B", "pocket", (380, 60), (100, 80))]
    pattern = document(pieces, PRINT, coverings={"on": lies})
    assert places(entries, pattern) == set()
    assert places([entries[0], entries[1] | {"x": "381 mm"}], pattern) == {"motif:main:B"}
    for wrong in ({"face": "down"}, {"takes_up": {"across": 5}}):
        with pytest.raises(UnreadableInput):
            places(entries, document(pieces, PRINT, coverings={"on": lies | wrong}))


def test_one_repeat_more_is_bought_where_a_motif_counts() -> None:
    # 180 mm are laid; with a repeat of 120 more they are 300 (3 repeats), 15 to spare, 400 to buy.
    piece = rectangle("width", "height", **motif("width/2", "-height/2"))
    cloth = layout(
        [laid("A", "it", (70, 60), (220, 120))],
        usable_width="1000 mm",
        washed_width="1000 mm",
        width="1000 mm",
        repeat={"across": "90 mm", "along": "120 mm"},
        length="180 mm",
        # The first place along is 60: 60 + 120.
        least={"length": "180 mm", "certificate": {"kind": "longest", "item": 0}},
        above="as short as can be",
        shortest=True,
        offcuts=[],
        buy={
            "needed": "300 mm",
            "repeats": 3,
            "spare": "15 mm",
            "unit": "100 mm",
            "length": "400 mm",
            "waste": "85.3 %",
        },
    )
    pattern = document({"it": piece}, PRINT)
    assert failing(layouts(cloth), pattern) == set()
    for key, value in (("repeats", 2), ("needed", "180 mm")):
        assert f"printed:cloths.main.buy.{key}" in failing(
            layouts(cloth | {"buy": cloth["buy"] | {key: value}}), pattern
        )
    plain = document({"it": rectangle("width", "height")}, PRINT)
    assert "printed:cloths.main.buy.repeats" in failing(layouts(cloth), plain)


def test_template_pieces_have_the_drawing_in_the_middle_of_their_box() -> None:
    # A disc of radius 60 with 10 of allowance is cut from 140 x 140; its middle is (0, 0).
    disc = {"outline": {"disc": {"radius": 60}}} | LAYERS | motif(0, 0)
    assert places([laid("A", "it", (20, 50), (140, 140))], document({"it": disc}, PRINT)) == set()
    # A right-angled triangle 200 x 100 with its square corner at (0, 0): cut lines 10 outside.
    lines = [{"name": "up", "to": [0, 100]}, {"name": "down", "to": [200, 0]}, {"name": "floor", "to": [0, 0]}]
    corner = {"outline": {"start": [0, 0], "edges": lines}} | LAYERS | motif(0, 0)
    pattern = document({"it": corner}, PRINT)
    # The moved slanting line meets the wall's at 100 + (10 x sqrt(5) + 10)/2 = 116.18; its pointed end, which would run
    # out to 242.36, is cut off at 200 + 10/sqrt(5) = 204.47. Of 214.47 x 126.18, raised to 215 x 127, half of 0.53 and
    # 0.82 lie before it: (0, 0) is 10.26 and 10.41 in.
    at = [laid("A", "it", (80, 110), (215, 127))]
    assert places(at, pattern) == set()
    assert places([at[0] | {"x": mm(79)}], pattern) == {"motif:main:A"}
