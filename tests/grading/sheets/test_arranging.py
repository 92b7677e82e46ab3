"""How pieces are laid on pages: apart from each other, on the pages that they name, and on few of them."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from grading.drawing.papers import paper
from grading.sheets.arranging import arrange

SIDES = st.floats(min_value=5, max_value=700, allow_nan=False)
PIECES = st.lists(st.tuples(SIDES, SIDES), min_size=1, max_size=12)
PAPERS = st.sampled_from(["A4", "A3", "letter", "roll-36in", "roll-300mm"])


def _both(size: tuple[float, float]) -> tuple[tuple[float, float], tuple[float, float]]:
    return size, size[::-1]


@settings(max_examples=60, deadline=None)
@given(PIECES, PAPERS)
def test_no_two_pieces_overlap(sizes: list[tuple[float, float]], name: str) -> None:
    spots = arrange([_both(size) for size in sizes], paper(name))
    shapes = [box(each.box.left, each.box.low, each.box.right, each.box.top) for each in spots]
    assert all(
        one.intersection(other).area < 1e-6 for number, one in enumerate(shapes) for other in shapes[number + 1 :]
    )
    for size, spot in zip(sizes, spots, strict=True):
        assert (spot.box.width, spot.box.height) == ((size[1], size[0]) if spot.turned else size) or abs(
            spot.box.width - size[1 if spot.turned else 0]
        ) < 1e-6


@settings(max_examples=60, deadline=None)
@given(PIECES, PAPERS)
def test_every_piece_lies_on_the_pages_that_it_names(sizes: list[tuple[float, float]], name: str) -> None:
    on = paper(name)
    (across, down), (width, height) = on.pitch, on.frame
    for spot in arrange([_both(size) for size in sizes], on):
        rows, columns = {row for row, _ in spot.pages}, {column for _, column in spot.pages}
        assert len(spot.pages) == len(rows) * len(columns)
        assert min(columns) * across <= spot.box.left + 1e-3
        assert spot.box.right <= max(columns) * across + width + 1e-3
        assert min(rows) * down <= spot.box.low + 1e-3
        assert spot.box.top <= max(rows) * down + height + 1e-3


def test_what_fits_on_one_page_is_not_cut_up() -> None:
    spots = arrange([_both((180, 255)), _both((255, 180)), _both((100, 100)), _both((80, 90))], paper("A4"))
    assert all(len(spot.pages) == 1 for spot in spots)
    assert len({page for spot in spots for page in spot.pages}) == 3


def test_small_pieces_lie_on_pages_that_large_ones_have_left_room_on() -> None:
    spots = arrange([_both((320, 420)), _both((150, 90)), _both((80, 60))], paper("A4"))
    assert len({page for spot in spots for page in spot.pages}) == 4


def test_pages_of_a4_keep_their_margins_and_overlap_by_a_centimetre() -> None:
    # ISO 216: 210 × 297 mm.
    assert (paper("A4").width, paper("A4").height) == (210, 297)
    assert paper("A4").frame == (190, 271)
    assert paper("A4").pitch == (180, 261)
