"""For a rotary cutter: straight cuts free every piece, and are told in order."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from grading.exact import read_length
from tests.grading.cloth.laid import Json, bag, box_of, laid, length_of, rectangle

QUICK: Json = {"effort": "quick", "widths": [], "style": "rotary"}
SIZES = st.lists(st.tuples(st.integers(20, 300), st.integers(20, 300)), min_size=1, max_size=10)


@given(sizes=SIZES, gap=st.sampled_from([0, 3]), edge=st.sampled_from([0, 15]))
@settings(max_examples=20)
def test_strips_columns_and_pieces_follow_each_other(sizes: list[tuple[int, int]], gap: int, edge: int) -> None:
    pieces = {f"piece_{number}": rectangle(*size) for number, size in enumerate(sizes)}
    layout = laid(bag(pieces), QUICK | {"gap": f"{gap} mm", "edge": f"{edge} mm"})
    boxes = [box_of(piece) for piece in layout["pieces"]]
    cut: list[int] = []
    strips = [(read_length(strip["y"]), read_length(strip["along"]), strip) for strip in layout["strips"]]
    assert all(y + along + gap <= other for (y, along, _), (other, _, _) in pairwise(strips))
    for y, along, strip in strips:
        columns = [(read_length(column["x"]), read_length(column["across"]), column) for column in strip["columns"]]
        assert all(x + across + gap <= other for (x, across, _), (other, _, _) in pairwise(columns))
        assert columns[0][0] >= edge and columns[-1][0] + columns[-1][1] <= 1000 - edge
        for x, across, column in columns:
            stack = sorted((boxes[place] for place in column["pieces"]), key=lambda box: box.low)
            assert all(one.high + gap <= other.low for one, other in pairwise(stack))
            assert all(x <= box.left and box.right <= x + across for box in stack)
            assert all(y <= box.low and box.high <= y + along for box in stack)
            cut += column["pieces"]
    assert sorted(cut) == list(range(len(boxes)))


@given(sizes=SIZES)
@settings(max_examples=10)
def test_scissors_never_take_more_than_straight_cuts(sizes: list[tuple[int, int]]) -> None:
    document = bag({f"piece_{number}": rectangle(*size) for number, size in enumerate(sizes)})
    assert length_of(laid(document, QUICK | {"style": "scissors"})) <= length_of(laid(document, QUICK))


def test_cuts_are_told_in_the_order_in_which_they_are_made() -> None:
    pieces = {"panel": rectangle(600, 400), "pocket": rectangle(300, 200, uses=["upper", "lower"])}
    layout = laid(bag(pieces, {"direction": "one-way"}), QUICK)
    assert layout["length"] == "400 mm"
    assert len(layout["strips"]) == 1
    first, *columns = layout["cuts"]
    assert first == "Strip 1: cut across the whole cloth, 400 mm wide, from 0 mm to 400 mm from the cut end."
    assert any("it is A (600 mm × 400 mm)" in text for text in columns)
    assert any("B (300 mm × 200 mm) and B (300 mm × 200 mm)" in text for text in columns)


def test_more_freedom_never_takes_more_in_strips_either() -> None:
    document = bag({f"piece_{size}": rectangle(3 * size, 700 - size) for size in (40, 90, 130, 180, 220)})
    lengths = [
        length_of(laid(document, QUICK | {"cloths": {"main": {"direction": direction}}}))
        for direction in ("any", "two-way", "one-way")
    ]
    assert lengths == sorted(lengths)


def test_strips_on_wider_cloth_never_take_more() -> None:
    document = bag({f"piece_{size}": rectangle(3 * size, 700 - size) for size in (40, 90, 130, 180, 220)})
    rows = laid(document, QUICK | {"widths": ["700 mm", "800 mm", "1000 mm", "1500 mm"]})["widths"]
    lengths = [read_length(row["length"]) for row in rows]
    assert lengths == sorted(lengths, reverse=True)
