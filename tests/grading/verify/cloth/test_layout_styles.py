"""Folded cloth, rotary cutting, sheets, borders and bias binding, laid by hand."""

from __future__ import annotations

from math import ceil, sqrt
from typing import Any

import pytest

from grading.verify import UnreadableInput
from tests.grading.verify.cloth.purse import (
    Json,
    document,
    failing,
    laid,
    layout,
    layouts,
    mm,
    places,
    purse,
    rectangle,
    replaced,
)

FOLDED: dict[str, Any] = {"style": "folded"}


def folded(pieces: Json, entries: list[Json], usable_width: str = "600 mm") -> set[str]:
    """What does not hold of places on cloth that is folded to half of its usable width."""
    return places(entries, document(pieces, {"usable_width": usable_width}), **FOLDED)


def test_on_folded_cloth_pieces_lie_in_pairs() -> None:
    pairs = {"it": rectangle("width", "height", uses=["a", "b", "c"])}
    entries = [laid("A", "it", (0, 0), (220, 120), pair=True), laid("A", "it", (0, 120), (220, 120), copy=2)]
    assert folded(pairs, entries) == set()
    assert folded(pairs, entries[:1]) == {"laid:main"}
    assert folded(pairs, [entries[1] | {"copy": 1}, entries[0] | {"copy": 2}]) == {"laid:main"}
    assert folded(pairs, [replaced(entries[0], ("x",), "81 mm"), entries[1]]) == {"inside:main"}
    assert folded(pairs, [replaced(entries[0], ("x",), "80 mm"), entries[1]]) == set()


def test_a_piece_that_is_not_its_own_mirror_image_pairs_with_a_mirrored_one_only() -> None:
    lean = {"trapezoid": {"top": "width", "bottom": "width", "height": "height", "lean": 30}}
    uses = ["a", "b", {"name": "c", "mirrored": True}, {"name": "d", "mirrored": True}, {"name": "e", "mirrored": True}]
    piece = {"it": {"outline": lean, "uses": uses, "layers": [{"material": "main"}]}}
    # A side moved out by 10 goes 10 x sqrt(1 + 0.09) further, and 3 more over the allowance of the end it leans to.
    across = ceil(230 + 2 * (10 * sqrt(1.09) + 3))
    assert across == 257
    size = (across, 120)
    entries = [
        laid("A", "it", (0, 0), size, pair=True),
        laid("A", "it", (0, 120), size, pair=True, copy=2),
        laid("A", "it", (0, 240), size, mirrored=True, copy=3),
    ]
    assert folded(piece, entries) == set()
    assert folded(piece, [*entries[:2], entries[2] | {"mirrored": False}]) == {"laid:main"}
    assert folded(piece, [*entries[:2], entries[2] | {"pair": True}]) == {"laid:main"}


def test_what_is_cut_on_the_fold_lies_at_it_with_half_its_width() -> None:
    piece = {"it": rectangle("width", "height", on_fold=True, uses=["a", "b"])}
    entries = [
        laid("A", "it", (0, 0), (110, 120), on_fold=True),
        laid("A", "it", (0, 120), (110, 120), on_fold=True, copy=2),
    ]
    assert folded(piece, entries) == set()
    assert folded(piece, [entries[0], entries[1] | {"x": "1 mm"}]) == {"fold:main"}
    # It is never turned there; on a single layer it is opened out, and may be.
    turned = [laid("A", "it", (0, 0), (120, 110), on_fold=True, turned=90), entries[1]]
    assert folded(piece, turned) == {"turned:main"}
    opened = [
        laid("A", "it", (0, 0), (220, 120)),
        laid("A", "it", (220, 0), (120, 220), turned=90, copy=2),
    ]
    assert places(opened, document(piece)) == set()
    assert places(entries, document(piece)) == {"laid:main"}


def test_strips_on_folded_cloth_lie_across_the_fold() -> None:
    strip = {"it": rectangle(680, 40, strip=True)}
    # 700 mm on 2 x 300: with a join of 20, 720 of 600 and 120; half of each from the fold.
    entries = [
        laid("A", "it", (0, 0), (300, 60), kind="strip", on_fold=True),
        laid("A", "it", (0, 60), (60, 60), kind="strip", on_fold=True, copy=2),
    ]
    assert folded(strip, entries) == set()
    assert folded(strip, [entries[0], entries[1] | {"x": "5 mm"}]) == {"fold:main"}
    # 460 mm need no join on 2 x 300, and are longer than 300.
    alone = {"it": rectangle(440, 40, strip=True)}
    assert folded(alone, [laid("A", "it", (0, 0), (230, 60), kind="strip", on_fold=True)]) == set()
    short = {"it": rectangle(240, 40, strip=True)}
    assert folded(short, [laid("A", "it", (10, 0), (260, 60))]) == set()


def test_both_layers_of_folded_cloth_count_for_what_goes_to_waste() -> None:
    pieces = {"it": rectangle("width", "height", uses=["a", "b", "c"])}
    entries = [laid("A", "it", (0, 0), (220, 120), pair=True), laid("A", "it", (0, 120), (220, 120), copy=2)]
    # Three of 26400 mm2 on 2 x 300 x 240.
    buy = {"needed": "240 mm", "spare": "12 mm", "unit": "100 mm", "length": "300 mm", "waste": "45.0 %"}
    cloth = layout(
        entries,
        style="folded",
        usable_width="600 mm",
        washed_width="600 mm",
        width="300 mm",
        length="240 mm",
        least={"length": "220 mm", "certificate": {"kind": "area"}},
        above="at most 9.1 % above the least possible",
        offcuts=[],
        buy=buy,
    )
    assert failing(layouts(cloth, **FOLDED), document(pieces, {"usable_width": "600 mm"})) == set()


ROTARY = [
    {
        "y": "0 mm",
        "along": "120 mm",
        "columns": [
            {"x": "0 mm", "across": "220 mm", "pieces": [0]},
            {"x": "220 mm", "across": "220 mm", "pieces": [1]},
        ],
    },
    {
        "y": "120 mm",
        "along": "100 mm",
        "columns": [
            {"x": "0 mm", "across": "320 mm", "pieces": [2]},
            {"x": "320 mm", "across": "120 mm", "pieces": [3]},
        ],
    },
]


def rotary(strips: Any, pieces: list[Json] | None = None, **more: Any) -> set[str]:
    cloth = layout(pieces, style="rotary", strips=strips, cuts=["Cut a strip of 120 mm."])
    return failing(layouts(cloth, style="rotary", **more))


def test_a_rotary_cutter_frees_every_piece_by_straight_cuts() -> None:
    assert rotary(ROTARY) == set()


@pytest.mark.parametrize(
    ("path", "new"),
    [
        ((), None),
        ((), []),
        ((), ROTARY[:1]),
        ((0, "y"), "1 mm"),
        ((0, "y"), "-1 mm"),
        ((0, "along"), "119 mm"),
        ((0, "along"), "121 mm"),
        ((1, "along"), "101 mm"),
        ((1, "along"), "99 mm"),
        ((0, "along"), "0 mm"),
        ((0, "columns"), []),
        ((0, "columns"), None),
        ((0, "columns", 0, "x"), "1 mm"),
        ((0, "columns", 0, "across"), "219 mm"),
        ((0, "columns", 0, "across"), "221 mm"),
        ((0, "columns", 1, "across"), "281 mm"),
        ((0, "columns", 0, "across"), None),
        ((0, "columns", 0, "pieces"), []),
        ((0, "columns", 0, "pieces"), [1]),
        ((0, "columns", 0, "pieces"), [0, 0]),
        ((0, "columns", 0, "pieces"), [0, 2]),
        ((0, "columns", 0, "pieces"), [4]),
        ((0, "columns", 0, "pieces"), [True]),
        ((0, "columns", 0), {"x": "0 mm", "across": "220 mm", "pieces": [0], "more": 1}),
    ],
)
def test_cuts_that_do_not_free_the_pieces_are_told(path: tuple[Any, ...], new: Any) -> None:
    assert rotary(replaced(ROTARY, path, new)) == {"strips:main"}


def test_pieces_that_no_straight_cut_parts_are_told() -> None:
    # Five pieces like the arms of a windmill, and no cut goes through.
    sizes = [(200, 100), (100, 200), (200, 100), (100, 200), (100, 100)]
    at = [(0, 0), (200, 0), (100, 200), (0, 100), (100, 100)]
    pieces = {f"p{i}": rectangle(w - 20, h - 20) for i, (w, h) in enumerate(sizes)}
    entries = [laid("ABCDE"[i], f"p{i}", at[i], sizes[i]) for i in range(5)]
    columns = [{"x": "0 mm", "across": "300 mm", "pieces": [0, 1, 2, 3, 4]}]
    strips = [{"y": "0 mm", "along": "300 mm", "columns": columns}]
    cloth = layout(entries, style="rotary", strips=strips, cuts=[])
    found = failing(layouts(cloth, style="rotary"), document(pieces))
    assert {about for about in found if not about.startswith(("printed:", "least:"))} == {"strips:main"}


def test_the_blade_has_its_gap_between_strips_and_columns() -> None:
    assert rotary(ROTARY, gap="2 mm") >= {"strips:main", "apart:main"}


def test_pieces_lie_within_sheets() -> None:
    # Sheets of 500 x 170: one takes the two panels, another the band and the pocket.
    pieces = purse()
    for index, place in enumerate([(0, 0), (220, 0), (0, 0), (320, 0)]):
        pieces[index] |= {"x": mm(place[0]), "y": mm(place[1]), "sheet": index // 2}
    # 84000 mm2 on 500 are 168, so 180 in lengths of pieces: two sheets of 170. 170000 mm2 are bought.
    cloth = layout(
        pieces,
        length="340 mm",
        sheets=2,
        least={"length": "340 mm", "certificate": {"kind": "area"}},
        above="as short as can be",
        shortest=True,
        offcuts=[{"x": "440 mm", "y": "0 mm", "across": "60 mm", "along": "170 mm", "sheet": 1}],
        buy={"sheets": 2, "waste": "50.6 %", "cost": {"amount": "9.00", "currency": "EUR"}},
    )
    main = {"sheet": ["500 mm", "170 mm"], "price": {"amount": "4.50", "currency": "EUR", "per": "sheet"}}
    pattern = document(main=main)
    assert failing(layouts(cloth), pattern) == set()
    for path, new, about in (
        (("pieces", 2, "sheet"), 0, "apart:main"),
        (("pieces", 2, "sheet"), -1, "laid:main"),
        (("pieces", 2, "y"), "111 mm", "inside:main"),
        (("sheets",), 3, "printed:cloths.main.sheets"),
        (("buy", "sheets"), 3, "printed:cloths.main.buy.sheets"),
        (("buy", "cost", "amount"), "4.50", "printed:cloths.main.buy.cost.amount"),
        (("length",), "220 mm", "printed:cloths.main.length"),
        (("offcuts", 0, "along"), "171 mm", "printed:cloths.main.offcuts.0"),
    ):
        assert about in failing(layouts(replaced(cloth, path, new)), pattern)


@pytest.mark.parametrize(
    ("side", "edge", "turned", "x", "fault"),
    [
        ("left", "left", 0, 0, set()),
        ("left", "left", 0, 1, {"border:main"}),
        ("left", "left", 180, 0, {"border:main"}),
        ("left", "right", 180, 0, set()),
        ("right", "left", 180, 280, set()),
        ("right", "right", 0, 280, set()),
        ("right", "right", 0, 279, {"border:main"}),
        ("left", "top", 0, 0, {"border:main"}),
    ],
)
def test_an_edge_lies_on_the_border(side: str, edge: str, turned: int, x: int, fault: set[str]) -> None:
    piece = {"it": rectangle("width", "height", on_border=edge)}
    entries = [laid("A", "it", (x, 0), (220, 120), turned=turned)]
    assert places(entries, document(piece, {"border": side})) == fault


def test_a_piece_on_the_border_is_not_turned_aside_and_cloth_is_not_folded() -> None:
    piece = {"it": rectangle("width", "height", on_border="top")}
    entries = [laid("A", "it", (0, 0), (120, 220), turned=270)]
    assert places(entries, document(piece, {"border": "left"})) == {"turned:main"}
    sound = [laid("A", "it", (0, 0), (220, 120))]
    edge = {"it": rectangle("width", "height", on_border="left")}
    assert places(sound, document(edge, {"border": "left"}), **FOLDED) == set()


def binding(width: int, length: int, **parts: Any) -> Json:
    """A pattern whose only other piece is a tab; its binding is as long as is said."""
    tab = rectangle(100, 40, edges={"top": {"fate": "bound"}}, layers=[{"material": "felt"}])
    tape = {"binding": {"width": width, "along": ["tab.top"], "join": length - 100, "material": "main"} | parts}
    return document({"tab": tab}, materials={"main": {"usable_width": "500 mm"}, "felt": {}}, findings={"tape": tape})


def block(pattern: Json, size: tuple[int, int], cut: Json, **settings: Any) -> set[str]:
    entries = [laid("B", "tape", (0, 0), size, layer="strip", kind="block", bias=cut)]
    paper = layouts(layout(entries), **settings) | {"without": [{"material": "felt", "says": "no width"}]}
    found = failing(paper, pattern)
    return {about for about in found if not about.startswith(("printed:", "least:"))}


def test_bias_strips_are_cut_from_a_block_of_the_least_length() -> None:
    # 1000 mm, 30 wide, allowance 10. n strips have a middle line of (1000 + 2 x 10 x sqrt(2) x (n - 1))/n; the block is
    # that over sqrt(2) across (at most 500), and as much more along as n x 30 x sqrt(2).
    def size(n: int) -> tuple[int, int, float]:
        centre = (1000 + 20 * sqrt(2) * (n - 1)) / n
        return ceil(centre / sqrt(2)), ceil(centre / sqrt(2) + n * 30 * sqrt(2)), centre

    fitting = [n for n in range(1, 30) if size(n)[0] <= 500]
    best = min(fitting, key=lambda n: (size(n)[1], n))
    across, along, centre = size(best)
    assert (best, across, along) == (4, 192, 362)
    pattern = binding(30, 1000)
    bias = {"strips": 4, "centre": f"{centre:.2f} mm", "width": "30 mm"}
    assert block(pattern, (across, along), bias) == set()
    for wrong in ((191, 362), (192, 361), (192, 363)):
        assert block(pattern, wrong, bias) == {"laid:main"}
    for key, value in (("strips", 3), ("strips", True), ("centre", "271.23 mm"), ("width", "31 mm")):
        assert block(pattern, (across, along), bias | {key: value}) == {"laid:main"}
    assert block(pattern, (across, along), {"strips": 4}) == {"laid:main"}


def test_continuous_binding_is_cut_from_a_square() -> None:
    # (s - 20)2 >= 1000 x 30: s = 173.2 + 20, up to 194.
    pattern = binding(30, 1000)
    bias = {"strips": 1, "centre": "1000 mm", "width": "30 mm"}
    assert block(pattern, (194, 194), bias, bias="continuous") == set()
    assert block(pattern, (193, 193), bias, bias="continuous") == {"laid:main"}
    with pytest.raises(UnreadableInput):
        block(binding(300, 10_000), (500, 500), bias, bias="continuous")


def test_straight_binding_is_joined_from_widths_of_cloth() -> None:
    # 1000 mm of 500: with joins of 20, (1000 - 20)/(500 - 20) = 2.04, so 3 strips: 500, 500 and 40.
    sizes = [(500, 30), (500, 30), (40, 30)]
    entries = [
        laid("B", "tape", (0, 30 * i), size, layer="strip", kind="strip", copy=i + 1) for i, size in enumerate(sizes)
    ]
    pattern = binding(30, 1000, cut_on="straight")
    paper = layouts(layout(entries)) | {"without": [{"material": "felt", "says": "no width"}]}
    found = failing(paper, pattern)
    assert not {about for about in found if not about.startswith(("printed:cloths.", "least:"))}


def test_pieces_on_the_bias_lie_in_a_square() -> None:
    # (220 + 120)/sqrt(2) = 240.4.
    piece = {"it": rectangle("width", "height", grain="bias")}
    assert places([laid("A", "it", (0, 0), (241, 241))], document(piece)) == set()
    assert places([laid("A", "it", (0, 0), (240, 240))], document(piece)) == {"laid:main"}
