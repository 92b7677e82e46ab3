"""Pairs of slanted pieces laid head to tail by hand, and everything that must not pass for one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.verify.exact.fraction import Fraction
from grading.verify.geometry.hulls import are_apart, hull_of
from tests.grading.verify.cloth.purse import Json, document, failing, judged, laid, layouts, mm, rectangle, replaced
from tests.grading.verify.cloth.wings import (
    CORNERS,
    TRAPEZOID,
    bag,
    blamed,
    blamed_of,
    entry,
    grade,
    moved,
    nested_layout,
    polygon,
    wings,
    without,
)


def test_a_sound_layout_with_nested_pairs_is_confirmed() -> None:
    verdict = judged(layouts(nested_layout(), grade()), bag(), grade())
    assert not verdict.failing
    assert "nested:main" in {claim.about for claim in verdict.claims}


def test_a_layout_without_pairs_says_nothing_of_them() -> None:
    assert "nested:main" not in {claim.about for claim in judged(layouts()).claims}


STEPS = [(index, key, by) for index in range(4) for key in ("x", "y") for by in (-1, 1)]


def broken_by_shapely(pieces: list[Json]) -> set[str]:
    """What a layout of the wings breaks: cut lines of a pair or boxes of others overlap, or lie beyond the cloth."""
    boxes, lines = [shapely.box(*polygon(piece).bounds) for piece in pieces], [polygon(piece) for piece in pieces]
    found = set()
    for index, piece in enumerate(pieces):
        for other in range(index):
            is_pair = piece["nested"] == pieces[other]["nested"]
            first, second = (lines if is_pair else boxes)[other], (lines if is_pair else boxes)[index]
            if first.intersection(second).area > 1e-9:
                found.add("apart:main")
    if not all(shapely.box(0, 0, 500, 1000).covers(box) for box in boxes):
        found.add("inside:main")
    return found


@pytest.mark.parametrize(("index", "key", "by"), STEPS)
def test_a_nested_piece_moved_by_a_step_is_blamed_exactly_for_what_it_breaks(index: int, key: str, by: int) -> None:
    here = float(wings()[index][key].split()[0])
    pieces = moved(wings(), index, **{key: here + by})
    assert blamed(pieces) == broken_by_shapely(pieces)


@given(st.integers(0, 260), st.integers(0, 120))
@settings(max_examples=200, deadline=None)
def test_cut_lines_overlap_where_shapely_says_so(x: int, y: int) -> None:
    pieces = [entry(1, (0, 0), 0, 1), entry(2, (x, y), 180, 1)]
    two = bag(uses=["a", "b"])
    assert ("apart:main" in blamed(pieces, two)) == ("apart:main" in broken_by_shapely(pieces))


@given(st.integers(0, 260), st.integers(0, 120), st.integers(1, 30))
@settings(max_examples=200, deadline=None)
def test_pieces_that_pass_with_a_gap_have_it_between_them(x: int, y: int, gap: int) -> None:
    pieces = [entry(1, (0, 0), 0, 1), entry(2, (x, y), 180, 1)]
    passes = "apart:main" not in blamed(pieces, bag(uses=["a", "b"]), gap=f"{gap} mm")
    assert not passes or polygon(pieces[0]).distance(polygon(pieces[1])) >= gap - 1e-9


@pytest.mark.parametrize(("shift", "faults"), [(180, 0), (181, 0), (179, 1), (175, 1)])
def test_the_gap_is_kept_at_right_angles_to_the_slanted_side(shift: int, faults: int) -> None:
    pieces = moved(moved(wings(shift), 2, y=104), 3, y=104)
    cloth = nested_layout(pieces)
    assert blamed_of(cloth, gap="4 mm") == ({"apart:main"} if faults else set())
    assert polygon(pieces[0]).distance(polygon(pieces[1])) == pytest.approx((shift - 175) * 0.8)


def test_a_line_that_reaches_in_by_two_hundredths_is_told() -> None:
    # The ruler's marks are hundredths here; the cut lines touch at 175 mm.
    for shift, faults in ((175.0, set()), (174.99, {"apart:main"}), (174.98, {"apart:main"}), (175.01, set())):
        pieces = [entry(1, (0, 0), 0, 1), entry(2, (shift, 0), 180, 1)]
        size = {"name": None, "request": {"scale": 1, "ruler": "0.01 mm"}}
        assert blamed(pieces, bag(uses=["a", "b"]), grade(size=size)) == faults


def test_the_points_are_those_that_the_grade_prints() -> None:
    # A hundredth more is within what may be printed, and the lines meet.
    wide = [(0, 0), (100, 0), (175.01, -100), (-75, -100)]
    assert blamed(wings(), of=grade(wide)) == set()
    broad = [(0, 0), (100.01, 0), (175, -100), (-75, -100)]
    assert blamed(wings(), of=grade(broad)) == {"apart:main"}
    assert blamed(wings(), of=grade([(0, 0), (100.02, 0), (175, -100), (-75, -100)])) == {"apart:main"}
    slim = [(10, 0), (90, 0), (175, -100), (-75, -100)]
    assert blamed(moved(wings(), 1, x=174), of=grade(slim)) == {"apart:main"}


UNPRINTED = [
    {},
    {"wing": None},
    {"wing": {}},
    {"wing": {"cut": None}},
    {"wing": {"cut": [1] * 4}},
    {"wing": {"cut": []}},
]


@pytest.mark.parametrize("pieces", [*UNPRINTED, []])
def test_without_printed_cut_lines_nothing_nested_is_confirmed(pieces: Any) -> None:
    assert blamed(wings(), of=grade(pieces=pieces)) == {"apart:main"}
    apart = [entry(n + 1, (250 * (n % 2), 100 * (n // 2)), 0, None) for n in range(4)]
    assert blamed(apart, of=grade(pieces=pieces)) == set()


FORMS = [0, -1, True, 1.0, "1", None, [1]]


@pytest.mark.parametrize("number", FORMS)
def test_a_pair_has_a_whole_number(number: Any) -> None:
    pieces = moved(wings(), 0, nested=number)
    found = failing(layouts(nested_layout(pieces), grade()), bag(), grade())
    assert found > {"printed:cloths.main.pieces.0.nested", "nested:main", "apart:main"}


def test_each_number_is_that_of_two_entries() -> None:
    assert blamed(without(wings(), 0)) == {"nested:main", "apart:main"}
    three = moved(wings(), 2, nested=1)
    assert blamed(three) == {"nested:main", "apart:main"}
    all_four = moved(three, 3, nested=1)
    assert blamed(all_four) == {"nested:main", "apart:main"}


def test_two_pieces_nested_without_turning_are_told() -> None:
    for turned in (0, 90, 270):
        pieces = moved(wings(), 1, turned=turned)
        if turned in {90, 270}:
            pieces = moved(pieces, 1, across="100 mm", along="250 mm")
        assert "nested:main" in blamed(pieces)
    # Both upside down is as good as neither.
    assert "nested:main" in blamed(moved(wings(), 0, turned=180))
    assert blamed(moved(moved(wings(), 0, turned=180), 1, turned=0)) == set()


def test_only_entries_that_follow_one_another_are_a_pair() -> None:
    pieces = [wings()[place] for place in (0, 2, 1, 3)]
    assert blamed(pieces) == {"nested:main", "apart:main"}
    assert blamed([wings()[place] for place in (2, 3, 0, 1)]) == set()
    # The second of the two may come first in the row.
    swapped = [entry(2, (0, 0), 0, 1), entry(1, (175, 0), 180, 1), *wings()[2:]]
    assert blamed(swapped) == set()


def test_pairs_are_of_one_row() -> None:
    two = [{"material": "main"}, {"material": "main", "name": "facing"}]
    pattern = bag(uses=["a", "b"], layers=two)
    rows = [("main", 1), ("facing", 1), ("main", 2), ("facing", 2)]
    pieces = [piece | {"layer": layer, "copy": number} for piece, (layer, number) in zip(wings(), rows, strict=True)]
    assert blamed(pieces, pattern) == {"nested:main", "apart:main"}
    rows.sort(reverse=True)
    pieces = [piece | {"layer": layer, "copy": number} for piece, (layer, number) in zip(wings(), rows, strict=True)]
    assert blamed(pieces, pattern) == set()


def test_a_rectangle_is_nested_with_nothing() -> None:
    pattern = document({"it": rectangle("width", "height", uses=["a", "b"])})
    numbers = {"nested": 1}
    pieces = [
        laid("A", "it", (0, 0), (220, 120), **numbers),
        laid("A", "it", (220, 0), (220, 120), turned=180, copy=2, **numbers),
    ]
    assert blamed(pieces, pattern) == {"nested:main"}
    assert blamed(without(pieces, 0, 1), pattern) == set()


BENT = {
    "start": [0, 0],
    "edges": [
        {"name": "top", "to": [100, 0]},
        {"name": "right", "to": [175, -100]},
        {"name": "bottom", "to": [-75, -100], "arc": "right", "rise": 5},
        {"name": "left", "to": [0, 0]},
    ],
}
# Of each: its cloth, what is said of the piece, and the box that it is cut from.
NEVER: dict[str, tuple[Json, Json, tuple[int, int]]] = {
    "one-way cloth": ({"direction": "one-way"}, {}, (250, 100)),
    "a print that holds them": ({"repeat": {"across": "5 mm"}}, {"motif": {"point": [0, 0]}}, (250, 100)),
    "the border": ({"border": "left"}, {"on_border": "left"}, (250, 100)),
    "cut rough and trimmed": ({}, {"layers": [{"material": "main", "oversize": 5}]}, (260, 110)),
    "without its allowance": ({}, {"layers": [{"material": "main", "inset": 5}]}, (240, 90)),
    # (250 + 100)/sqrt(2) is 247.5.
    "grain on the bias": ({}, {"grain": "bias"}, (248, 248)),
    "a curve": ({}, {"outline": BENT}, (250, 105)),
}


@pytest.mark.parametrize("case", NEVER)
def test_what_is_never_nested(case: str) -> None:
    main, parts, (across, along) = NEVER[case]
    pieces = [piece | {"across": mm(across), "along": mm(along)} for piece in wings()]
    found = failing(layouts(nested_layout(pieces), grade()), bag(main, **parts), grade())
    assert {"nested:main", "apart:main"} <= found
    assert "laid:main" not in found


@pytest.mark.parametrize("style", ["folded", "rotary"])
def test_only_scissors_cut_nested_pairs(style: str) -> None:
    pattern = bag({"usable_width": "1000 mm"})
    assert "nested:main" in failing(layouts(nested_layout(), grade(), style=style), pattern, grade())


def test_mirrored_pieces_are_nested_with_mirrored_ones() -> None:
    leaning = {"trapezoid": {"top": 100, "bottom": 250, "height": 100, "lean": 75}}
    corners: Sequence[tuple[float, float]] = [(0, 0), (100, 0), (250, -100), (0, -100)]
    uses = ["a", "b", {"name": "c", "mirrored": True}, {"name": "d", "mirrored": True}]
    pattern = bag(outline=leaning, uses=uses)
    # Only one side slants, by 150: a plain one's right side, a mirrored one's left.
    plain = [entry(1, (0, 0), 0, 1), entry(2, (100, 0), 180, 1)]
    mirrored = [entry(3, (100, 100), 0, 2, mirrored=True), entry(4, (0, 100), 180, 2, mirrored=True)]
    assert blamed([*plain, *mirrored], pattern, grade(corners)) == set()
    for pair in (plain, mirrored):
        assert polygon(pair[0], corners).intersection(polygon(pair[1], corners)).area == pytest.approx(0)
    mixed = [plain[0], mirrored[1] | {"x": "100 mm", "y": "0 mm", "nested": 1}, plain[1], mirrored[0]]
    assert "nested:main" in blamed(mixed, pattern, grade(corners))
    # Mirrored, with the places of plain ones, their upright sides would lie across the slanted ones.
    wrong = [plain[0], plain[1], mirrored[0] | {"x": "0 mm"}, mirrored[1] | {"x": "100 mm"}]
    assert blamed(wrong, pattern, grade(corners)) == {"apart:main"}


def test_a_pair_is_turned_aside_where_the_cloth_allows_it() -> None:
    # Turned by 90 more the pair goes 175 along.
    aside = [
        entry(1, (0, 175), 90, 1),
        entry(2, (0, 0), 270, 1),
        entry(3, (100, 175), 90, 2),
        entry(4, (100, 0), 270, 2),
    ]
    assert blamed(aside) == set()
    assert polygon(aside[0]).intersection(polygon(aside[1])).area == pytest.approx(0)
    assert blamed(moved(aside, 1, y=1)) == {"apart:main"}
    assert blamed(aside, bag({"direction": "two-way"})) == {"turned:main"}
    assert blamed(wings(), bag({"direction": "two-way"})) == set()


def test_grain_across_lies_along_the_cloth() -> None:
    # At 0 the left of the drawing lies towards greater y, so the wing is upright: 100 across, 250 along.
    upright = [
        laid("A", "wing", (0, 0), (100, 250), nested=1),
        laid("A", "wing", (0, 175), (100, 250), copy=2, turned=180, nested=1),
    ]
    pattern = bag(uses=["a", "b"], grain="across")
    assert blamed(upright, pattern) == set()
    assert blamed(moved(upright, 1, y=174), pattern) == {"apart:main"}


def test_a_nested_pair_keeps_the_gap_from_all_others() -> None:
    pieces = wings()
    # The third would fit the notch beside the first by its cut line; it is of another pair.
    slid = moved(moved(pieces, 2, x=0, y=100), 3, x=175, y=99)
    assert blamed(slid) == {"apart:main"}


@pytest.mark.parametrize(
    ("path", "new", "about"),
    [
        (("above",), "as short as can be", "printed:cloths.main.above"),
        (("above",), "at most 0.0 % above the least possible with these pairs", "printed:cloths.main.above"),
        (("shortest",), False, "printed:cloths.main.shortest"),
        (("least", "length"), "201 mm", "least:main"),
        (("buy", "waste"), "0.0 %", "printed:cloths.main.buy.waste"),
        (("offcuts", 0, "x"), "424 mm", "printed:cloths.main.offcuts.0"),
    ],
)
def test_what_is_printed_of_a_layout_with_pairs_counts_them_as_one(path: tuple[Any, ...], new: Any, about: str) -> None:
    paper = layouts(replaced(nested_layout(), path, new), grade())
    assert about in failing(paper, bag(), grade())


def test_how_far_above_the_least_says_with_which_pairs() -> None:
    cloth = nested_layout(
        least={"length": "170 mm", "certificate": {"kind": "area"}},
        above="at most 17.7 % above the least possible with these pairs",
        shortest=False,
    )
    assert failing(layouts(cloth, grade()), bag(), grade()) == set()


def test_a_certificate_counts_a_pair_as_one_item() -> None:
    # Each alone, two wings of 250 lie side by side on 500; the two pairs of 425 do not, whether turned or not.
    strict = bag({"direction": "two-way"})
    proof = {"length": "200 mm", "certificate": {"kind": "one after another", "items": [0, 1]}}
    cloth = nested_layout(least=proof, direction="two-way")
    assert failing(layouts(cloth, grade()), strict, grade()) == set()
    for items in ([0, 2], [0, 1, 2, 3]):
        wrong = replaced(cloth, ("least", "certificate", "items"), items)
        assert failing(layouts(wrong, grade()), strict, grade()) == {"least:main"}
    apart = [entry(n + 1, (250 * (n % 2), 100 * (n // 2)), 0, None) for n in range(4)]
    found = failing(layouts(nested_layout(apart, least=proof, direction="two-way"), grade()), strict, grade())
    assert "least:main" in found


def test_weights_are_those_of_the_box_about_both() -> None:
    weights = [{"across": 425, "along": 100, "ways": [1]}]
    proof = {"length": "200 mm", "certificate": {"kind": "bars", "weights": weights}}
    cloth = nested_layout(least=proof, direction="two-way")
    strict = bag({"direction": "two-way"})
    assert failing(layouts(cloth, grade()), strict, grade()) == set()
    # The box is measured as it lies with the two turned by 0 and 180, however it lies.
    aside = [
        entry(1, (0, 175), 90, 1),
        entry(2, (0, 0), 270, 1),
        entry(3, (100, 175), 90, 2),
        entry(4, (100, 0), 270, 2),
    ]
    # Turned, each weighs as much over 425 as unturned over 100 with 4 and 17: at most 5 x 4 of them on 500 mm.
    weights = [{"across": 425, "along": 100, "ways": [17, 4]}]
    proof = {"length": "100 mm", "certificate": {"kind": "bars", "weights": weights}}
    assert "least:main" not in failing(layouts(nested_layout(aside, least=proof), grade()), bag(), grade())
    for key in ("across", "along"):
        wrong = replaced(proof, ("certificate", "weights", 0, key), 250)
        assert "least:main" in failing(layouts(nested_layout(aside, least=wrong), grade()), bag(), grade())


def test_pairs_lie_on_one_sheet() -> None:
    main = {"sheet": ["500 mm", "200 mm"]}
    one = [piece | {"sheet": 0} for piece in wings()]
    assert blamed(one, bag(main)) == set()
    two = [piece | {"sheet": 0 if place in {0, 2} else 1} for place, piece in enumerate(one)]
    assert blamed(two, bag(main)) == {"nested:main"}


PLACES = st.tuples(st.integers(-40, 40), st.integers(-40, 40))
SPOTS = st.lists(PLACES, min_size=3, max_size=8)


@given(SPOTS, SPOTS, PLACES)
@settings(max_examples=300, deadline=None)
def test_hulls_are_apart_where_shapely_finds_no_common_area(first: Any, second: Any, by: tuple[int, int]) -> None:
    moved_by = [(x + by[0], y + by[1]) for x, y in second]
    one, other = (shapely.MultiPoint(spots).convex_hull for spots in (first, moved_by))
    exact, beside = (hull_of([(Fraction(x), Fraction(y)) for x, y in spots]) for spots in (first, moved_by))
    if isinstance(one, shapely.Polygon) and isinstance(other, shapely.Polygon):
        assert are_apart(exact, beside, Fraction(0)) == (one.intersection(other).area < 1e-9)
        assert {(float(x), float(y)) for x, y in exact} == set(one.exterior.coords)


def test_the_wing_is_the_one_of_the_pattern() -> None:
    assert shapely.Polygon(CORNERS).bounds == (-75, -100, 175, 0)
    assert TRAPEZOID["trapezoid"] == {"top": 100, "bottom": 250, "height": 100}
