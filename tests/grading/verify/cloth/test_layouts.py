"""Layouts laid by hand, each claim seen to hold and to fail; overlaps are found by shapely too."""

from __future__ import annotations

from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.verify import UnreadableInput
from tests.grading.verify.cloth.purse import (
    Json,
    document,
    failing,
    grade,
    judged,
    laid,
    layout,
    layouts,
    mm,
    places,
    purse,
    rectangle,
    replaced,
)


def test_a_sound_layout_is_confirmed() -> None:
    verdict = judged(layouts())
    assert not verdict.failing
    claims = {claim.about for claim in verdict.claims}
    assert {"laid:main", "inside:main", "apart:main", "turned:main", "least:main"} < claims
    assert {"printed:cloths.main.length", "printed:cloths.main.buy.needed", "printed:cloths.main.above"} < claims


def moved(pieces: list[Json], index: int, **parts: Any) -> list[Json]:
    return [piece | parts if place == index else piece for place, piece in enumerate(pieces)]


def boxes(pieces: list[Json]) -> list[shapely.Polygon]:
    numbers = [[float(piece[key].split()[0]) for key in ("x", "y", "across", "along")] for piece in pieces]
    return [shapely.box(x, y, x + across, y + along) for x, y, across, along in numbers]


def broken_by_shapely(pieces: list[Json], width: float = 500) -> set[str]:
    """Which claims about places a layout breaks, by shapely's areas and bounds."""
    found, shapes = set(), boxes(pieces)
    tree = shapely.STRtree(shapes)
    pairs = tree.query(shapes, predicate="intersects").T
    if any(one < other and shapes[one].intersection(shapes[other]).area > 0 for one, other in pairs):
        found.add("apart:main")
    cloth = shapely.box(0, 0, width, 100_000)
    if not all(cloth.covers(shape) for shape in shapes):
        found.add("inside:main")
    return found


STEPS = [(index, key, by) for index in range(4) for key in ("x", "y") for by in (-1, 1)]


@pytest.mark.parametrize(("index", "key", "by"), STEPS)
def test_each_place_moved_by_a_step_is_blamed_exactly_for_what_it_breaks(index: int, key: str, by: int) -> None:
    here = float(purse()[index][key].split()[0])
    pieces = moved(purse(), index, **{key: mm(here + by)})
    paper = layouts(layout(pieces))
    blamed = failing(paper)
    assert {about for about in blamed if not about.startswith("printed:")} == broken_by_shapely(pieces)
    # What is printed of the layout is blamed only where it is no longer so: the length, and what follows from it.
    end = max(box.bounds[3] for box in boxes(pieces))
    assert ("printed:cloths.main.length" in blamed) == (end != 220)
    free = shapely.box(440, 0, 500, 220)
    is_taken = any(box.intersection(free).area > 0 for box in boxes(pieces))
    assert ("printed:cloths.main.offcuts.0" in blamed) == (is_taken or end < 220)
    assert blamed or not broken_by_shapely(pieces)


def test_a_piece_that_has_room_may_lie_anywhere_in_it() -> None:
    pieces = moved(purse(), 3, x=mm(330), y=mm(120))
    assert failing(layouts(layout(pieces, offcuts=[]))) == set()


@st.composite
def heaps(draw: st.DrawFn) -> list[Json]:
    """The pieces of the purse thrown on the cloth, on a coarse grid so that edges often meet."""
    pieces = purse()
    for index, piece in enumerate(pieces):
        turned = draw(st.sampled_from([0, 90, 180, 270]))
        across, along = (piece["along"], piece["across"]) if turned in {90, 270} else (piece["across"], piece["along"])
        x, y = (20 * draw(st.integers(0, 24)) for _ in range(2))
        place = {"x": mm(x), "y": mm(y), "across": across, "along": along, "turned": turned}
        pieces[index] = piece | place
    return pieces


@given(heaps())
@settings(max_examples=300, deadline=None)
def test_overlaps_are_those_that_shapely_finds(pieces: list[Json]) -> None:
    assert places(pieces) == broken_by_shapely(pieces)


@given(heaps(), st.integers(1, 40))
@settings(max_examples=200, deadline=None)
def test_pieces_nearer_than_the_gap_are_those_whose_grown_boxes_overlap(pieces: list[Json], gap: int) -> None:
    half = [shape.buffer(gap / 2, join_style="mitre") for shape in boxes(pieces)]
    near = any(a.intersection(b).area > 1e-6 for i, a in enumerate(half) for b in half[:i])
    assert ("apart:main" in places(pieces, gap=mm(gap))) == near


WRONG = [
    (("pieces", 1, "copy"), 1, "laid:main"),
    (("pieces", 1, "copy"), 3, "laid:main"),
    (("pieces", 0, "letter"), "Z", "laid:main"),
    (("pieces", 0, "layer"), "lining", "laid:main"),
    (("pieces", 0, "piece"), "pocket", "laid:main"),
    (("pieces", 0, "mirrored"), True, "laid:main"),
    (("pieces", 0, "mirrored"), 0, "laid:main"),
    (("pieces", 0, "across"), "219 mm", "laid:main"),
    (("pieces", 0, "along"), "121 mm", "laid:main"),
    (("pieces", 0, "across"), "22 cm", "laid:main"),
    (("pieces", 0, "x"), "0", "laid:main"),
    (("pieces", 0, "x"), "0.0 mm", "laid:main"),
    (("pieces", 0, "kind"), "strip", "laid:main"),
    (("pieces", 0, "turned"), 45, "laid:main"),
    (("pieces", 0, "turned"), False, "laid:main"),
    (("pieces", 0, "turned"), 90, "laid:main"),
    (("pieces", 0, "pair"), True, "laid:main"),
    (("pieces", 0, "on_fold"), True, "laid:main"),
    (("pieces", 0, "sheet"), 0, "laid:main"),
    (("pieces", 0, "bias"), {}, "laid:main"),
    (("pieces", 0, "more"), 1, "laid:main"),
    (("pieces", 0), None, "laid:main"),
    (("pieces",), "none", "laid:main"),
    (("pieces",), purse()[:3], "laid:main"),
    (("pieces",), [*purse(), purse()[3]], "laid:main"),
    (("pieces", 2, "x"), "0.5 mm", "inside:main"),
    (("pieces", 0, "y"), "-1 mm", "inside:main"),
    (("style",), "rotary", "printed:cloths.main.style"),
    (("usable_width",), "501 mm", "printed:cloths.main.usable_width"),
    (("washed_width",), "499 mm", "printed:cloths.main.washed_width"),
    (("width",), "499 mm", "printed:cloths.main.width"),
    (("grid",), "2 mm", "printed:cloths.main.grid"),
    (("direction",), "two-way", "printed:cloths.main.direction"),
    (("repeat",), {"across": "10 mm"}, "printed:cloths.main.repeat"),
    (("length",), "221 mm", "printed:cloths.main.length"),
    (("above",), "at most 22.2 % above the least possible", "printed:cloths.main.above"),
    (("above",), "as short as can be", "printed:cloths.main.above"),
    (("shortest",), True, "printed:cloths.main.shortest"),
    (("shortest",), 0, "printed:cloths.main.shortest"),
    (("least", "length"), "181 mm", "least:main"),
    (("least", "length"), "18 cm", "least:main"),
    (("least", "certificate"), {"kind": "hope"}, "least:main"),
    (("least", "certificate"), None, "least:main"),
    (("least",), None, "least:main"),
    (("offcuts",), None, "printed:cloths.main.offcuts"),
    (("offcuts", 0), None, "printed:cloths.main.offcuts.0"),
    (("offcuts", 0, "x"), "439 mm", "printed:cloths.main.offcuts.0"),
    (("offcuts", 0, "across"), "61 mm", "printed:cloths.main.offcuts.0"),
    (("offcuts", 0, "along"), "221 mm", "printed:cloths.main.offcuts.0"),
    (("offcuts", 0, "across"), "49 mm", "printed:cloths.main.offcuts.0"),
    (("offcuts", 0, "y"), "-1 mm", "printed:cloths.main.offcuts.0"),
    (("offcuts",), layout()["offcuts"] * 2, "printed:cloths.main.offcuts.1"),
    (("buy", "needed"), "221 mm", "printed:cloths.main.buy.needed"),
    (("buy", "spare"), "12 mm", "printed:cloths.main.buy.spare"),
    (("buy", "unit"), "99 mm", "printed:cloths.main.buy.unit"),
    (("buy", "length"), "301 mm", "printed:cloths.main.buy.length"),
    (("buy", "waste"), "23.7 %", "printed:cloths.main.buy.waste"),
    (("buy", "cost"), {"amount": "1.00", "currency": "EUR"}, "printed:cloths.main.buy.cost"),
    (("buy", "repeats"), 1, "printed:cloths.main.buy.repeats"),
    (("buy",), None, "printed:cloths.main.buy"),
    (("widths",), [{"usable_width": "900 mm"}], "printed:cloths.main.widths"),
    (("widths",), [{"usable_width": "wide", "length": None, "buy": None}], "printed:cloths.main.widths"),
    (("fat_quarters",), 0, "printed:cloths.main.fat_quarters"),
    (("fat_quarters",), True, "printed:cloths.main.fat_quarters"),
    (("says",), 1, "printed:cloths.main.says"),
    (("cuts",), ["cut"], "printed:cloths.main.cuts"),
    (("strips",), [], "printed:cloths.main.strips"),
    (("sheets",), 1, "printed:cloths.main.sheets"),
    (("more",), 1, "printed:cloths.main.more"),
]


@pytest.mark.parametrize(("path", "new", "about"), WRONG, ids=range(len(WRONG)))
def test_each_wrong_word_or_number_is_told(path: tuple[Any, ...], new: Any, about: str) -> None:
    cloth = replaced(layout(), path[:-1], {**_at(layout(), path[:-1]), path[-1]: new}) if _is_new(path) else None
    assert about in failing(layouts(cloth or replaced(layout(), path, new)))


def _at(value: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        value = value[key]
    return value


def _is_new(path: tuple[Any, ...]) -> bool:
    here = _at(layout(), path[:-1])
    return isinstance(here, dict) and path[-1] not in here


HEADS = [
    ("format", 2),
    ("format", True),
    ("pattern", "Bag"),
    ("size", {"name": "base", "request": {"scale": 1}}),
    ("ruler", "2 mm"),
    ("without", [{"material": "main", "says": ""}]),
    ("cloths", {}),
    ("cloths", {"main": layout(), "lining": layout()}),
    ("more", 1),
]


@pytest.mark.parametrize(("key", "value"), HEADS)
def test_a_paper_about_another_bag_does_not_hold(key: str, value: Any) -> None:
    assert f"printed:{key}" in failing(layouts() | {key: value})


@pytest.mark.parametrize("nothing", [None, [], "as usual"])
def test_a_cloth_without_its_layout_is_told(nothing: Any) -> None:
    assert failing(layouts() | {"cloths": {"main": nothing}}) == {"laid:main"}


@pytest.mark.parametrize(
    "changes",
    [
        {"style": "torn"},
        {"gap": "-1 mm"},
        {"edge": "30 m"},
        {"spare": "much"},
        {"seed": 1.5},
        {"seed": -1},
        {"widths": ["0 mm"]},
        {"cloths": {"silk": {}}},
        {"cloths": {"main": {"colour": "red"}}},
        {"cloths": {"main": {"usable_width": "0 mm"}}},
        {"edge": "250 mm"},
        {"gap": "1/1000000007 mm"},
    ],
)
def test_settings_that_cannot_be_are_refused(changes: Json) -> None:
    with pytest.raises(UnreadableInput):
        judged(layouts(**changes))


def test_settings_have_to_be_told_in_full() -> None:
    paper = layouts()
    for key in ("style", "gap", "edge", "spare", "bias", "effort", "seed", "widths", "offcut"):
        settings = {name: value for name, value in paper["settings"].items() if name != key}
        with pytest.raises(UnreadableInput):
            judged(paper | {"settings": settings})


@pytest.mark.parametrize("paper", [None, [], {}, {"kind": "grade"}, {"kind": "layouts"}])
def test_what_is_no_paper_about_layouts_is_refused(paper: Any) -> None:
    with pytest.raises(UnreadableInput):
        judged(paper)


def test_another_size_has_other_measures() -> None:
    wider = grade(width="201 mm")
    assert failing(layouts(of=wider), of=wider) == {"laid:main"}


@pytest.mark.parametrize(
    ("direction", "turned", "holds"),
    [("any", 90, True), ("any", 180, True), ("two-way", 180, True), ("two-way", 90, False), ("one-way", 180, False)],
)
def test_a_piece_is_turned_as_its_cloth_allows(direction: str, turned: int, holds: bool) -> None:
    size = (100, 120) if turned == 90 else (120, 100)
    pieces = moved(purse(), 3, turned=turned, across=mm(size[0]), along=mm(size[1]))
    assert places(pieces, document(main={"direction": direction})) == (set() if holds else {"turned:main"})


UPS = [
    ("along", "top", 0),
    ("along", "bottom", 180),
    ("along", "left", 0),
    ("across", "left", 0),
    ("across", "right", 180),
    ("across", "top", 0),
]


@pytest.mark.parametrize(("grain", "up", "turned"), UPS)
def test_on_one_way_cloth_every_piece_lies_with_its_upper_end_the_same_way(grain: str, up: str, turned: int) -> None:
    pattern = document({"it": rectangle("width", "height", grain=grain, up=up)}, {"direction": "one-way"})
    size = (220, 120) if grain == "along" else (120, 220)
    for way in (0, 180):
        pieces = [laid("A", "it", (0, 0), size, turned=way)]
        assert places(pieces, pattern) == (set() if way == turned else {"turned:main"})


def test_an_edge_of_another_name_is_up_where_it_runs_as_top_or_bottom_do() -> None:
    # A house: clockwise from its lower left corner; the floor runs to the left, as a bottom does.
    edges = [("wall", [0, 80]), ("roof", [100, 80]), ("far", [100, 0]), ("floor", [0, 0])]
    outline = {"start": [0, 0], "edges": [{"name": name, "to": end} for name, end in edges]}
    for up, turned in (("roof", 0), ("floor", 180), ("wall", 0), ("far", 0)):
        piece = rectangle(1, 1, up=up) | {"outline": outline}
        pieces = [laid("A", "it", (0, 0), (120, 100), turned=turned)]
        assert places(pieces, document({"it": piece}, {"direction": "one-way"})) == set()
        assert places(moved(pieces, 0, turned=180 - turned), document({"it": piece}, {"direction": "one-way"}))


def test_washed_cloth_is_narrower_and_more_of_it_is_bought() -> None:
    main = {"usable_width": "526.4 mm", "shrinkage": {"across": "5 %", "along": "4 %"}, "sold_by": "25 cm"}
    # 526.4 x 0.95 = 500.08, put down to 500; 220/0.96 = 229.17, up to 230; 5 % of it are 11.5, up to 12; 242 of 250.
    buy = {"needed": "230 mm", "spare": "12 mm", "unit": "250 mm", "length": "250 mm", "waste": "23.6 %"}
    cloth = layout(usable_width="526.4 mm", washed_width="500.08 mm", buy=buy)
    assert failing(layouts(cloth), document(main=main)) == set()
    unwashed = layout(usable_width="526.4 mm", washed_width="526.4 mm", width="526 mm")
    unwashed["buy"] = {"needed": "220 mm", "spare": "11 mm", "unit": "250 mm", "length": "250 mm", "waste": "27.4 %"}
    assert failing(layouts(unwashed), document(main=main | {"washed": False})) == set()
    tested = layout(usable_width="526.4 mm", washed_width="500.08 mm", buy=buy)
    main_untested = main | {"shrinkage": {"across": "1 %"}}
    cloths = {"main": {"tested": {"across": "5 %", "along": "4 %"}}}
    assert failing(layouts(tested, cloths=cloths), document(main=main_untested)) == set()


def test_the_cut_list_counts_on_the_washed_width() -> None:
    # 500 x 0.9 = 450 mm: a strip of 460 mm has to be joined, and takes 460 + 2 x 10 of 450 and 30.
    strip = {"it": rectangle(440, 40, strip=True)}
    pieces = [
        laid("A", "it", (0, 0), (450, 60), kind="strip"),
        laid("A", "it", (0, 60), (30, 60), kind="strip", copy=2),
    ]
    main = {"shrinkage": {"across": "10 %"}}
    assert places(pieces, document(strip, main)) == set()
    swapped = [pieces[1] | {"copy": 1}, pieces[0] | {"copy": 2}]
    assert places(swapped, document(strip, main)) == set()
    assert places(pieces[:1], document(strip, main)) == {"laid:main"}
    assert places(moved(pieces, 1, across="31 mm"), document(strip, main)) == {"laid:main"}
    assert places([laid("A", "it", (0, 0), (460, 60))], document(strip)) == set()


def test_what_is_kept_clear_at_the_edges_counts_from_the_left() -> None:
    pattern = document(main={"usable_width": "521 mm"})
    pieces = [piece | {"x": mm(float(piece["x"].split()[0]) + 10)} for piece in purse()]
    assert places(pieces, pattern, edge="10 mm") == set()
    assert places(purse(), pattern, edge="10 mm") == {"inside:main"}


def test_cloth_without_a_width_is_named_apart() -> None:
    pieces = {"panel": rectangle("width", "height", layers=[{"material": "felt"}])}
    pattern = document(pieces, materials={"felt": {"says": "felt"}})
    paper = layouts() | {"cloths": {}, "without": [{"material": "felt", "says": "it has no width"}]}
    assert failing(paper, pattern) == set()
    assert failing(paper | {"without": []}, pattern) == {"printed:without"}


def test_what_cloth_costs_follows_from_what_is_bought() -> None:
    # 300 mm of 12.35 a metre are 3.705, half up 3.71.
    main = {"price": {"amount": "12.35", "currency": "EUR", "per": "1 m"}}
    bought = layout()["buy"] | {"cost": {"amount": "3.71", "currency": "EUR"}}
    assert failing(layouts(layout(buy=bought)), document(main=main)) == set()
    for cost in ({"amount": "3.70", "currency": "EUR"}, {"amount": "3.71", "currency": "USD"}):
        assert failing(layouts(layout(buy=bought | {"cost": cost})), document(main=main))
    assert failing(layouts(), document(main=main)) == {"printed:cloths.main.buy.cost"}
