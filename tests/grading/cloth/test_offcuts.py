"""Offcuts are free of pieces, apart from each other, within what is laid, and as large as was asked."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box
from shapely.ops import unary_union

from grading.cloth.offcuts import Span, greatest_free
from grading.exact import read_length
from tests.grading.cloth.laid import Json, bag, box_of, laid, pairs_of, rectangle

QUICK: Json = {"effort": "quick", "widths": []}
SIZES = st.lists(st.tuples(st.integers(30, 400), st.integers(30, 400)), min_size=1, max_size=7)


@given(sizes=SIZES, gap=st.integers(0, 4), least=st.integers(20, 120))
@settings(max_examples=20)
def test_offcuts_are_free_and_apart(sizes: list[tuple[int, int]], gap: int, least: int) -> None:
    pieces = {f"piece_{number}": rectangle(*size) for number, size in enumerate(sizes)}
    layout = laid(bag(pieces), QUICK | {"gap": f"{gap} mm", "offcut": f"{least} mm"})
    offcuts = [box_of(offcut) for offcut in layout["offcuts"]]
    laid_on = [box_of(piece) for piece in layout["pieces"]]
    length = read_length(layout["length"])
    assert all(one.apart(other) for one, other in pairs_of(offcuts))
    for offcut in offcuts:
        assert all(offcut.apart(piece, Fraction(gap)) for piece in laid_on)
        assert offcut.left >= 0 and offcut.low >= 0 and offcut.right <= 1000 and offcut.high <= length
        assert offcut.right - offcut.left >= least and offcut.high - offcut.low >= least


def test_the_largest_rectangle_beside_the_pieces_comes_first() -> None:
    layout = laid(bag({"panel": rectangle(600, 400)}, {"direction": "two-way"}), QUICK)
    assert layout["offcuts"] == [{"x": "600 mm", "y": "0 mm", "across": "400 mm", "along": "400 mm"}]


def spans(points: list[tuple[int, int, int, int]]) -> list[Span]:
    return [
        Span(Fraction(left), Fraction(low), Fraction(left + width), Fraction(low + height))
        for left, low, width, height in points
    ]


PLACES = st.lists(
    st.tuples(st.integers(0, 9), st.integers(0, 9), st.integers(1, 5), st.integers(1, 5)), min_size=0, max_size=6
)


@given(places=PLACES)
def test_free_rectangles_cover_just_what_is_not_taken(places: list[tuple[int, int, int, int]]) -> None:
    """Against the areas of shapely."""
    whole, taken = Span(Fraction(0), Fraction(0), Fraction(10), Fraction(10)), spans(places)
    free = greatest_free(whole, taken)
    shapes = unary_union([box(*map(float, (one.left, one.low, one.right, one.high))) for one in free])
    pieces = unary_union([box(*map(float, (one.left, one.low, one.right, one.high))) for one in taken])
    assert shapes.area == box(0, 0, 10, 10).difference(pieces).area
    assert shapes.intersection(pieces).area == 0
    assert not any(one.contains(other) for one in free for other in free if one != other)
