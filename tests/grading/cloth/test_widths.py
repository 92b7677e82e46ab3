"""The same pieces on cloths of other widths, and on fat quarters."""

from __future__ import annotations

import pytest

from grading.exact import read_length
from tests.grading.cloth.laid import Json, bag, laid, rectangle

QUICK: Json = {"effort": "quick"}


def test_the_usual_widths_are_told_of() -> None:
    metric = laid(bag({"panel": rectangle(850, 400)}), QUICK)
    assert [other["usable_width"] for other in metric["widths"]] == [
        "900 mm", "1100 mm", "1120 mm", "1370 mm", "1500 mm"
    ]  # fmt: skip
    inches = bag({"panel": rectangle(30, 10)}, {"usable_width": "44 in"}, unit="in", ruler="1/8 in")
    assert [other["usable_width"] for other in laid(inches, QUICK)["widths"]] == [
        "36 in", "42 in", "44 in", "54 in", "60 in"
    ]  # fmt: skip


def test_a_width_that_a_piece_does_not_fit_has_no_length() -> None:
    document = bag({"panel": rectangle(950, 400)}, {"direction": "one-way"})
    rows = laid(document, QUICK | {"widths": ["900 mm", "950 mm", "1500 mm"]})["widths"]
    assert [row["length"] for row in rows] == [None, "400 mm", "400 mm"]
    assert [row["buy"] for row in rows] == [None, "500 mm", "500 mm"]


def test_two_abreast_take_half_the_length() -> None:
    document = bag({"panel": rectangle(500, 400, uses=["front", "back"])}, {"direction": "one-way"})
    rows = laid(document, QUICK | {"widths": ["999 mm", "1000 mm"]})["widths"]
    assert [row["length"] for row in rows] == ["800 mm", "400 mm"]


def test_widths_shrink_as_the_cloth_does() -> None:
    document = bag({"panel": rectangle(500, 400, uses=["front", "back"])}, {"direction": "one-way"})
    shrunk = {"cloths": {"main": {"tested": {"across": "10 %"}}}}
    rows = laid(document, QUICK | shrunk | {"widths": ["1111 mm", "1112 mm"]})["widths"]
    assert [row["length"] for row in rows] == ["800 mm", "400 mm"]


def test_strips_on_wider_cloth_never_take_more() -> None:
    document = bag({"band": rectangle(3000, 50, strip=True), "panel": rectangle(400, 300)})
    rows = laid(document, QUICK | {"widths": ["600 mm", "700 mm", "1001 mm", "1400 mm"]})["widths"]
    lengths = [read_length(row["length"]) for row in rows]
    assert lengths == sorted(lengths, reverse=True)


@pytest.mark.parametrize(
    ("pieces", "quarters"),
    [
        ({"panel": rectangle(22, 18)}, 1),
        ({"panel": rectangle(18, 22)}, 1),  # turned
        ({"panel": rectangle(11, 9, uses=["a", "b", "c", "d"])}, 1),
        ({"panel": rectangle(11, 9, uses=["a", "b", "c", "d", "e"])}, 2),
        ({"panel": rectangle(12, 10, uses=["a", "b", "c"])}, 2),
        ({"panel": rectangle(12, 16, uses=["a", "b", "c"])}, 3),
        ({"panel": rectangle(23, 18)}, None),
    ],
)
def test_fat_quarters_are_counted(pieces: dict[str, Json], quarters: int | None) -> None:
    """A fat quarter is 22 by 18 in."""
    document = bag(pieces, {"usable_width": "44 in"}, unit="in", ruler="1/8 in", allowance="1/4 in")
    assert laid(document, QUICK | {"widths": []})["fat_quarters"] == quarters
